import type { CheckedLog, FitnessResult, GearPulls, LogsTogether, LogWork } from '../../result/index.js';
import { enoughPulls, enoughSteadyS, logToo, pullNext, steadyNext } from './logFitness.js';

/** What one log adds to what several are good for: a few numbers, so that many logs can be summed up without being held. */
export interface LogShare {
  readonly fitness: readonly FitnessResult[];
  /** Engine speed over road speed of each pull, rpm per m/s. */
  readonly ratios: readonly (number | null)[];
}

/** Ratios that differ by less are one gear: slip, wear and coarse speeds. */
const oneGear = 1.07;

/** The share of one log; null where it could not be read. */
export function shareOf({ fitness, stretches }: CheckedLog): LogShare | null {
  if (fitness === undefined) return null;
  return { fitness, ratios: stretches.flatMap(({ kind, rpmPerMps = null }) => (kind === 'pull' ? [rpmPerMps] : [])) };
}

/**
 * What several logs are good for together: pulls by gear, idle, cruise, and what is still missing for a comparison of two setups.
 *
 * Validity: the logs are of one car; the amounts are common practice, no source.
 */
export function logsTogether(shares: readonly LogShare[]): LogsTogether {
  const works = (['pull', 'idle', 'cruise'] as const).map((work) => workOf(work, shares));
  const gears = gearsOf(shares);
  const most = gears.filter(({ rpmPerMps }) => rpmPerMps !== null)[0]?.pulls ?? 0;
  const missingForComparison = [
    ...(most < 2 * enoughPulls
      ? [
          `${2 * enoughPulls} pulls in one gear, ${enoughPulls} of each setup (${most === 0 ? 'none' : most} ${most === 1 ? 'is' : 'are'} there)`,
        ]
      : []),
    ...(works[0]!.missing.includes('road speed') ? ['road speed'] : []),
  ];
  return { logs: shares.length, works, gears, missingForComparison };
}

function workOf(work: LogWork, shares: readonly LogShare[]): FitnessResult {
  const each = shares.flatMap(({ fitness }) => fitness.filter((one) => one.work === work));
  const usable = each.filter(({ verdict }) => verdict !== 'not fit');
  const amount = each.reduce((sum, one) => sum + one.amount, 0);
  const from = usable.length > 0 ? usable : each;
  const enough = work === 'pull' ? enoughPulls : enoughSteadyS;
  const what = `${enough} `;
  // An amount that each log lacks is no gap where the logs have it together.
  const plainly = (name: string): string => name.replace(/ \(it updates.*\)$/, '');
  const missing = [...new Set(from.flatMap((one) => one.missing.map(plainly)))]
    .filter((name) => !(name.startsWith(what) && amount >= enough))
    .flatMap((name) => {
      const lacking = from.filter((one) => one.missing.some((each) => plainly(each) === name)).length;
      if (lacking === from.length) return [name];
      return lacking * 2 >= from.length ? [`${name} (in ${lacking} of ${from.length} logs)`] : [];
    });
  const channels = missing.filter((name) => !/^\d/.test(name) && !name.startsWith('engine speed 10'));
  const short = amount < enough;
  const next =
    work === 'pull'
      ? [...(short ? [pullNext] : []), ...(channels.length > 0 ? [logToo(channels)] : [])]
      : steadyNext(work, short, channels);
  const some = usable.length === 0 ? '' : ` in ${usable.length} of ${shares.length} logs`;
  const found =
    work === 'pull'
      ? amount === 0
        ? 'no full-throttle pull'
        : `${amount} at full throttle${some}`
      : amount < 1
        ? `no ${work === 'idle' ? 'warm idle' : 'steady speed'}`
        : `${amount.toFixed(0)} s ${work === 'idle' ? 'of warm idle' : 'at steady speed'}${some}`;
  return { work, amount, found, missing, next, verdict: usable.length === 0 ? 'not fit' : missing.length > 0 ? 'fit with gaps' : 'fit' };
}

function gearsOf(shares: readonly LogShare[]): GearPulls[] {
  const pulls = shares.flatMap(({ ratios }, log) => ratios.map((ratio) => ({ ratio, log })));
  const known = pulls.flatMap(({ ratio, log }) => (ratio === null ? [] : [{ ratio, log }])).sort((a, b) => a.ratio - b.ratio);
  const groups: { ratio: number; log: number }[][] = [];
  for (const pull of known) {
    const group = groups.at(-1);
    if (group !== undefined && pull.ratio <= oneGear * group[0]!.ratio) group.push(pull);
    else groups.push([pull]);
  }
  const gears = groups.map(
    (group): GearPulls => ({
      rpmPerMps: group[group.length >> 1]!.ratio,
      pulls: group.length,
      logs: new Set(group.map(({ log }) => log)).size,
    }),
  );
  const unknown = pulls.filter(({ ratio }) => ratio === null);
  if (unknown.length > 0) gears.push({ rpmPerMps: null, pulls: unknown.length, logs: new Set(unknown.map(({ log }) => log)).size });
  return gears.sort((a, b) => b.pulls - a.pulls);
}
