import type { Finding } from '../findings/index.js';
import { missingText, pullPlace, readingName, rpmToTen, whoseLimit } from './pullPlace.js';
import { sustainedHighest } from './sustained.js';
import type { AssumedLimit, WarningLimits, Watched, WatchedPull } from './warningTypes.js';

/** 90 °C. Common practice, no source: beyond it spark is usually taken away and knock comes near. */
const assumedMaxK = 363.15;
/** Common practice, no source: heat that one pull leaves for the next. */
const soakedByK = 10;

/** Charge temperature in the pulls: too hot, or hotter at the start of each pull. */
export function watchChargeHeat(pulls: readonly WatchedPull[], limits: WarningLimits): Watched {
  const limitK = limits.maxChargeTemperatureK ?? assumedMaxK;
  const findings: Finding[] = [];
  let hottest: { readonly pull: WatchedPull; readonly index: number; readonly valueK: number } | null = null;
  const starts: Start[] = [];
  for (const pull of pulls) {
    const values = pull.chargeTemperatureK;
    if (!values) continue;
    const index = values.findIndex((value) => Number.isFinite(value));
    if (index >= 0) starts.push({ pull, index, valueK: values[index]! });
    const held = sustainedHighest(pull.timeS, values);
    if (held === null) continue;
    if (hottest === null || held.value > hottest.valueK) hottest = { pull, index: held.index, valueK: held.value };
    if (held.value <= limitK) continue;
    findings.push({
      code: 'W_CHARGE_HOT',
      severity: 'warning',
      message: `Charge temperature held ${celsius(held.value)} at ${rpmToTen(pull.engineSpeedRpm[held.index]!)} in ${readingName(pull, held.index)}, limit ${celsius(limitK)}. Hot charge knocks earlier and loses power.`,
      where: pullPlace(pull, held.index),
      fix: 'Stop and let it cool; check the cooler’s pump and flow, and shorten or space the pulls.',
    });
  }
  if (hottest === null) {
    const text = 'Charge temperature was not logged often enough in the pulls to judge.';
    return { details: [{ quantity: 'charge temperature', level: 'not measured', text }], findings, assumptions: [] };
  }
  const stop = findings.length > 0;
  const { first, warmest } = mostSoaked(starts);
  const soaked = warmest.valueK - first.valueK;
  if (soaked > soakedByK) {
    findings.push({
      code: 'W_CHARGE_HEATING',
      severity: 'warning',
      message: `${warmest.pull.name} began ${soaked.toFixed(0)} K hotter (charge ${celsius(warmest.valueK)}) than ${first.pull.name} (${celsius(first.valueK)}): heat is left from pull to pull, so later pulls are weaker and nearer to knock.`,
      where: pullPlace(warmest.pull, warmest.index),
      fix: 'Wait until the charge is back within a few degrees of the first pull before each further one.',
    });
  }
  const at = `${readingName(hottest.pull, hottest.index)}, ${rpmToTen(hottest.pull.engineSpeedRpm[hottest.index]!)}`;
  const beside = soaked > soakedByK ? ` Pulls began up to ${soaked.toFixed(0)} K hotter than the first of their outing.` : '';
  const assumptions: AssumedLimit[] = [];
  const assumed = limits.maxChargeTemperatureK === undefined || limits.maxChargeTemperatureK === null;
  if (assumed) {
    assumptions.push({
      quantity: 'hottest charge allowed at full load',
      value: limitK,
      unit: 'K',
      spread: null,
      source: 'common practice, no source',
      where: 'every pull',
      field: null,
    });
  }
  const text = `Hottest charge was ${celsius(hottest.valueK)}, limit ${celsius(limitK)} (${whoseLimit(assumed)}; ${at}).${beside}${missingText(pulls.length, starts.length)}`;
  return {
    details: [{ quantity: 'charge temperature', level: stop ? 'stop' : 'nothing alarming seen', text }],
    findings,
    assumptions,
  };
}

interface Start {
  readonly pull: WatchedPull;
  readonly valueK: number;
  readonly index: number;
}

/** The pull that began hottest against the first one of its outing, or of its log where no outing is known: another day is no heat left over. */
function mostSoaked(starts: readonly Start[]): { readonly first: Start; readonly warmest: Start } {
  const firsts = new Map<string, Start>();
  let most = { first: starts[0]!, warmest: starts[0]! };
  for (const start of starts) {
    const trip = JSON.stringify([start.pull.outing ?? null, start.pull.outing ? null : (start.pull.path ?? null)]);
    const first = firsts.get(trip) ?? start;
    firsts.set(trip, first);
    if (start.valueK - first.valueK > most.warmest.valueK - most.first.valueK) most = { first, warmest: start };
  }
  return most;
}

function celsius(temperatureK: number): string {
  const c = temperatureK - 273.15;
  return `${c.toFixed(0)} °C (${(c * 1.8 + 32).toFixed(0)} °F)`;
}
