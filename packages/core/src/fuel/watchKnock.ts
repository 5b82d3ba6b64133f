import type { Finding } from '../findings/index.js';
import { missingText, pullPlace, readingName, rpmToTen, whoseLimit } from './pullPlace.js';
import type { AssumedLimit, WarningLimits, Watched, WatchedPull } from './warningTypes.js';

/** Common practice, no source: more retard than this at full load means that the engine knocked hard. */
const assumedMaxRetardDeg = 4;
/** Common practice, no source: growth that stands out of the one- or two-degree steps in which controls act. */
const grownByDeg = 2;
const grownToDeg = 3;

/** Retard below this is said in the details only. Common practice, no source. */
const worthSayingDeg = 0.5;

interface Retard {
  readonly pull: WatchedPull;
  readonly largestDeg: number;
  readonly index: number;
  /** Mean of the last third of the pull's readings less that of the first third; NaN with fewer than six. */
  readonly growthDeg: number;
  readonly lastThirdDeg: number;
}

/** Knock retard in the pulls: how large, and whether it grows within a pull or from pull to pull. */
export function watchKnock(pulls: readonly WatchedPull[], limits: WarningLimits): Watched {
  const limitDeg = limits.maxKnockRetardDeg ?? assumedMaxRetardDeg;
  const seen = pulls.map(retardOf).filter((retard) => retard !== null);
  if (seen.length === 0) {
    const text = 'Knock retard was not logged in the pulls: whether the engine knocked is unknown.';
    return { details: [{ quantity: 'knock retard', level: 'not measured', text }], findings: [], assumptions: [] };
  }
  const findings: Finding[] = [];
  for (const retard of seen) {
    if (retard.largestDeg >= limitDeg) findings.push(largeFinding(retard, limitDeg));
    else if (retard.growthDeg >= grownByDeg && retard.lastThirdDeg >= grownToDeg) findings.push(growingFinding(retard));
  }
  const rise = riseFromPullToPull(seen);
  if (rise !== null) findings.push(rise);

  const largest = seen.reduce((a, b) => (b.largestDeg > a.largestDeg ? b : a));
  const at = `${readingName(largest.pull, largest.index)}, ${rpmToTen(largest.pull.engineSpeedRpm[largest.index]!)}`;
  const missing = missingText(pulls.length, seen.length);
  const assumptions: AssumedLimit[] = [];
  const assumed = limits.maxKnockRetardDeg === undefined || limits.maxKnockRetardDeg === null;
  if (assumed) {
    assumptions.push({
      quantity: 'largest knock retard allowed at full load',
      value: limitDeg,
      unit: 'deg',
      spread: null,
      source: 'common practice, no source',
      where: 'every pull',
      field: null,
    });
  }
  const stop = findings.length > 0;
  const text = stop
    ? `${largest.largestDeg >= limitDeg ? `Knock retard reached ${largest.largestDeg.toFixed(1)}°, limit ${limitDeg.toFixed(1)}° (${whoseLimit(assumed)})` : `Knock retard is growing, up to ${largest.largestDeg.toFixed(1)}°`} (${at}).${missing}`
    : `Largest knock retard was ${largest.largestDeg.toFixed(1)}°, limit ${limitDeg.toFixed(1)}° (${whoseLimit(assumed)}; ${at}).${missing}`;
  const remark =
    !stop && assumed && largest.largestDeg >= worthSayingDeg
      ? `Knock control pulled up to ${largest.largestDeg.toFixed(1)}° of timing; limit ${limitDeg.toFixed(1)}° (assumed).`
      : '';
  return { remark, details: [{ quantity: 'knock retard', level: stop ? 'stop' : 'nothing alarming seen', text }], findings, assumptions };
}

function retardOf(pull: WatchedPull): Retard | null {
  if (!pull.knockRetardDeg) return null;
  const readings: number[] = [];
  let largestDeg = Number.NEGATIVE_INFINITY;
  let index = 0;
  for (const [i, value] of pull.knockRetardDeg.entries()) {
    if (!Number.isFinite(value)) continue;
    const magnitude = Math.abs(value);
    readings.push(magnitude);
    if (magnitude > largestDeg) {
      largestDeg = magnitude;
      index = i;
    }
  }
  if (readings.length === 0) return null;
  const third = Math.floor(readings.length / 3);
  const lastThirdDeg = third >= 2 ? mean(readings.slice(-third)) : Number.NaN;
  const growthDeg = third >= 2 ? lastThirdDeg - mean(readings.slice(0, third)) : Number.NaN;
  return { pull, largestDeg, index, growthDeg, lastThirdDeg };
}

/** Holds the last pull against the middle of the ones before; pulls stand in the order they were driven. */
function riseFromPullToPull(seen: readonly Retard[]): Finding | null {
  if (seen.length < 2) return null;
  const earlier = seen.slice(0, -1).map((retard) => retard.largestDeg);
  earlier.sort((a, b) => a - b);
  const middle = earlier.length >> 1;
  const first = earlier.length % 2 === 1 ? earlier[middle]! : (earlier[middle - 1]! + earlier[middle]!) / 2;
  const last = seen.at(-1)!.largestDeg;
  if (last < grownToDeg || last - first < grownByDeg) return null;
  const end = seen.at(-1)!;
  return {
    code: 'W_KNOCK_GROWING',
    severity: 'warning',
    message: `Knock retard grew from pull to pull, from ${first.toFixed(1)}° in the middle of the earlier ones to ${last.toFixed(1)}° in ${end.pull.name}. Heat or fuel is running out of margin, and power falls with the spark.`,
    where: pullPlace(end.pull, end.index),
    fix: 'Stop, let the engine and the charge cool; check the fuel’s octane and have spark or boost reduced before more full-load pulls.',
  };
}

function largeFinding(retard: Retard, limitDeg: number): Finding {
  const { pull, index, largestDeg } = retard;
  return {
    code: 'W_KNOCK',
    severity: 'warning',
    message: `Knock retard reached ${largestDeg.toFixed(1)}° at ${rpmToTen(pull.engineSpeedRpm[index]!)} in ${readingName(pull, index)}, limit ${limitDeg.toFixed(1)}°. Knock breaks pistons and ring lands.`,
    where: pullPlace(pull, index),
    fix: 'Stop full-load pulls. Check fuel octane, mixture and charge temperature; have spark or boost reduced there.',
  };
}

function growingFinding(retard: Retard): Finding {
  const { pull, index, growthDeg, largestDeg } = retard;
  return {
    code: 'W_KNOCK_GROWING',
    severity: 'warning',
    message: `Knock retard grew by ${growthDeg.toFixed(1)}° within ${pull.name}, to ${largestDeg.toFixed(1)}°.`,
    where: pullPlace(pull, index),
    fix: 'Stop full-load pulls until the cause is known: charge heat, fuel octane, mixture or too much spark at the top end.',
  };
}

function mean(values: readonly number[]): number {
  return values.reduce((sum, value) => sum + value, 0) / values.length;
}
