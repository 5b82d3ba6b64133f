import type { Finding } from '../findings/index.js';
import { missingText, pullPlace, readingName, rpmToTen } from './pullPlace.js';
import { readingsAt } from './readingsAt.js';
import { sustainedHighest } from './sustained.js';
import type { WarningLimits, Watched, WatchedPull } from './warningTypes.js';

/** Common practice, no source: a tenth less pressure is about a twentieth less fuel (flow goes with the root of pressure). */
const sagShare = 0.1;
/** Above this the pump is a direct-injection one, whose pressure follows a command that is not in these channels. */
const directInjectionPa = 2.5e6;

/** Fuel pressure in the pulls: whether it falls below where the pull began, counted against what the rail should do. */
export function watchFuelPressure(pulls: readonly WatchedPull[], limits: WarningLimits): Watched {
  const findings: Finding[] = [];
  const rail = limits.fuelRail ?? null;
  let judged = 0;
  let direct = 0;
  let worstOther = 0;
  let worst: (Sag & { readonly rail: Rail; readonly pull: WatchedPull }) | null = null;
  for (const pull of pulls) {
    const railPa = pull.fuelPressurePa;
    if (!railPa) continue;
    const finite = railPa.filter((value) => Number.isFinite(value));
    if (finite.length < 4) continue;
    if (median(finite) > directInjectionPa) {
      direct += 1;
      continue;
    }
    const sag = judgedSag(pull, railPa, rail);
    if (sag === null) continue;
    judged += 1;
    worstOther = Math.max(worstOther, sag.otherShare);
    const { share, dropPa, index } = sag;
    if (worst === null || share > worst.share) worst = { pull, ...sag };
    if (share <= sagShare) continue;
    findings.push({
      code: 'W_FUEL_PRESSURE_SAG',
      severity: 'warning',
      message: `Fuel pressure sagged by ${pressure(dropPa)} (${(100 * share).toFixed(0)} %) at ${rpmToTen(pull.engineSpeedRpm[index]!)} in ${readingName(pull, index)}. The injectors give less than the calibration expects, and the mixture goes lean.`,
      where: pullPlace(pull, index),
      fix: 'Stop full-load pulls. Check pump voltage, filter, line size and the pump’s flow at this pressure before going on.',
    });
  }
  if (worst === null) {
    const text =
      direct > 0
        ? 'Fuel pressure is that of a direct-injection pump, and the pressure it was asked for is not in the log: whether it sagged cannot be told.'
        : 'Fuel pressure was not logged in the pulls (at least four readings a pull are needed): whether it sagged is unknown.';
    return { details: [{ quantity: 'fuel pressure', level: 'not measured', text }], findings, assumptions: [] };
  }
  const at = `${readingName(worst.pull, worst.index)}, ${rpmToTen(worst.pull.engineSpeedRpm[worst.index]!)}`;
  const stop = findings.length > 0;
  // Nobody said what the rail does, and the other reading of it would sag too far: that is no reason for calm.
  const doubtful = !stop && worstOther > sagShare;
  const known = missingText(pulls.length, judged);
  const how =
    rail !== null || !worst.pull.manifoldPressurePa
      ? ''
      : ` Nobody said whether the rail follows manifold pressure; it is taken as ${worst.rail === 'fixed' ? 'fixed' : 'following it'}, which sags less.`;
  const across = worst.rail === 'referenced' && worst.pull.manifoldPressurePa;
  const whose = across ? 'Pressure across the injectors' : 'Fuel pressure';
  const lower = across ? 'pressure across the injectors' : 'fuel pressure';
  const text = stop
    ? `${whose} sagged by ${pressure(worst.dropPa)}, ${(100 * worst.share).toFixed(0)} % (${at}).${known}${how}`
    : `Largest fall of ${lower} was ${pressure(Math.max(0, worst.dropPa))}, ${(100 * Math.max(0, worst.share)).toFixed(0)} % (${at}).${known}${how}${doubtful ? ` If the rail does the other, pressure sags by ${(100 * worstOther).toFixed(0)}%: enter car.injectors.rail.` : ''}`;
  return {
    details: [{ quantity: 'fuel pressure', level: stop ? 'stop' : doubtful ? 'not measured' : 'nothing alarming seen', text }],
    findings,
    assumptions: [],
  };
}

type Rail = 'referenced' | 'fixed';
const rails = ['fixed', 'referenced'] as const;

/** What should stay constant in a pull: rail less manifold pressure (above the weather's) where the rail follows it, the rail's own where it does not. */
function steadyPressurePa(pull: WatchedPull, railPa: Float64Array, rail: Rail): Float64Array {
  if (rail === 'fixed' || !pull.manifoldPressurePa) return Float64Array.from(railPa);
  const manifoldPa = readingsAt(pull.timeS, pull.manifoldPressurePa, pull.timeS);
  const stationPa = pull.stationPressurePa ?? 101325;
  return railPa.map((value, i) => value - (manifoldPa[i]! - stationPa));
}

interface Sag {
  readonly index: number;
  readonly dropPa: number;
  /** Of the pressure across the injector where the rail follows, and of the rail's where it does not. */
  readonly share: number;
}

/** Largest fall held for at least two readings, against the first quarter of the pull; null with too few readings. */
function sagOf(pull: WatchedPull, watchedPa: Float64Array): Sag | null {
  const readings = watchedPa.filter((value) => Number.isFinite(value));
  if (readings.length < 4) return null;
  const startPa = median(readings.slice(0, Math.max(2, Math.floor(readings.length / 4))));
  const held = sustainedHighest(
    pull.timeS,
    watchedPa.map((value) => startPa - value),
  );
  return held === null ? null : { index: held.index, dropPa: held.value, share: held.value / startPa };
}

/** The fall of one pull by what the rail does, or, where nobody said, by the reading that sags less: a rail that follows boost looks sagging when taken for a fixed one, and the other way round. */
function judgedSag(
  pull: WatchedPull,
  railPa: Float64Array,
  rail: Rail | null,
): (Sag & { readonly rail: Rail; readonly otherShare: number }) | null {
  const tried = (rail !== null ? [rail] : pull.manifoldPressurePa ? rails : (['fixed'] as const)).flatMap((one) => {
    const sag = sagOf(pull, steadyPressurePa(pull, railPa, one));
    return sag === null ? [] : [{ ...sag, rail: one }];
  });
  if (tried.length === 0) return null;
  const least = tried.reduce((a, b) => (b.share < a.share ? b : a));
  return { ...least, otherShare: Math.max(...tried.map(({ share }) => share)) };
}

function median(values: ArrayLike<number>): number {
  const sorted = Float64Array.from(values).sort();
  const middle = sorted.length >> 1;
  return sorted.length % 2 === 1 ? sorted[middle]! : (sorted[middle - 1]! + sorted[middle]!) / 2;
}

function pressure(pressurePa: number): string {
  return `${(pressurePa / 1000).toFixed(0)} kPa (${(pressurePa / 6894.757293168361).toFixed(1)} psi)`;
}
