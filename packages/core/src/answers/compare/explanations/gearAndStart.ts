import type { Explanation, PowerDifference } from '../../../compare/index.js';
import { channelOf, type FittedSetup, pullsCurve } from '../../../pulls/index.js';
import { rpmText } from '../../../units/index.js';
import { meanOfPulls } from './pullMeans.js';

/** Pulls start apart when they start further apart than this, rpm; and gain engine speed at another rate from here on, as a share. */
const leastStartRpm = 300;
const leastRatio = 0.09;
/** Manifold pressures agree within this, beside what differs alike along the upper half. */
const agreeing = 0.02;
/** How far above the later start boost may still be building where no pressure was logged, rpm; common practice, no source. */
const buildingRpm = 1500;
/** What building boost may make of power there, as a share; common practice, no source. */
const buildingShare = 0.1;

/**
 * Pulls in another gear, from another start, or after wheelspin on one side only: boost that builds with time is at another point of its
 * way at the same engine speed. Without such boost gear and start change nothing that is not in the calculation already.
 */
export function gearAndStart(before: FittedSetup, after: FittedSetup, difference: PowerDifference): Explanation[] {
  const { boostControl } = before.used[0]!.run.inputs;
  if (boostControl === 'none' || boostControl === 'fixed-ratio') return [];
  const what = differing(before, after);
  if (what === null) return [];
  const { engineSpeedRpm, beforeW } = difference;
  const pressures = [before, after].map(
    (setup) => pullsCurve(setup.used, channelOf(['manifold-pressure']), engineSpeedRpm, [], 'manifold-pressure')?.curve.mean ?? null,
  );
  const [first, second] = [pressures[0] ?? null, pressures[1] ?? null];
  if (first === null || second === null) {
    // Of an engine whose boost nobody states or logs it is possible, and no more.
    const until = Math.max(startRpm(before), startRpm(after)) + buildingRpm;
    const highW = beforeW.map((w, i) => (engineSpeedRpm[i]! <= until ? buildingShare * w : 0));
    return [
      {
        name: 'gear and start',
        standing: 'assumed',
        sentence: `${what}, and nothing says whether the engine has boost that builds with time`,
        settle: 'Log pulls in one gear from one engine speed, or say boost-control: none, or log manifold pressure.',
        lowW: highW.map((value) => -value),
        highW,
      },
    ];
  }
  const from = agreesFrom(first, second);
  if (from === 0) return [];
  const boundless = beforeW.map((_, i) => (i < from ? Number.POSITIVE_INFINITY : 0));
  const stays =
    from < engineSpeedRpm.length
      ? `: only from ${rpmText(engineSpeedRpm[from]!)} up are the pressures alike`
      : ': the pressures agree nowhere';
  return [
    {
      name: 'gear and start',
      standing: 'measured',
      sentence: `${what}, and boost builds with time${stays}`,
      settle: 'Log pulls of both setups in one gear, from one engine speed.',
      lowW: boundless.map((value) => (value === 0 ? 0 : -value)),
      highW: boundless,
    },
  ];
}

function startRpm(setup: FittedSetup): number {
  return meanOfPulls(setup, ({ pull }) => pull.fromRpm ?? Number.NaN);
}

/** In what the pulls differ, as the begin of a sentence; null where they do not. */
function differing(before: FittedSetup, after: FittedSetup): string | null {
  const ratio = (setup: FittedSetup): number => meanOfPulls(setup, ({ prepared }) => Math.log(prepared!.motion.rpmPerMps));
  if (Math.abs(ratio(after) - ratio(before)) > leastRatio) return 'the pulls were made in different gears';
  const spun = (setup: FittedSetup): boolean =>
    setup.used.some(({ pull }) => pull.cuts.some(({ reason }) => reason.startsWith('wheelspin')));
  if (spun(before) !== spun(after)) return `the tires spin in pulls of ${spun(after) ? after.name : before.name} only`;
  const apart = startRpm(after) - startRpm(before);
  return Math.abs(apart) > leastStartRpm ? `the pulls start ${rpmText(Math.abs(apart))} apart` : null;
}

/** First point from which on the pressures differ as they do along the upper half; the length of the grid where they never do. */
function agreesFrom(first: Float64Array, second: Float64Array): number {
  const ratios = first.map((value, i) => second[i]! / value);
  const upper = ratios
    .slice(ratios.length >> 1)
    .filter(Number.isFinite)
    .sort();
  const usual = upper[upper.length >> 1];
  if (usual === undefined) return ratios.length;
  let from = ratios.length;
  while (from > 0 && (Number.isNaN(ratios[from - 1]!) || Math.abs(ratios[from - 1]! / usual - 1) <= agreeing)) from--;
  return from;
}
