import { type Channel, channelsOf, findChannel, freshSamples } from '../log/index.js';
import { type Evidence, type LoadedRun, type Question, question } from '../pulls/index.js';
import type { Contradiction } from '../result/index.js';
import { quantileOf, readingsBetween, valueAt } from '../stretches/index.js';
import { numberText } from '../units/index.js';

/** Closed loop holds lambda this near to what is wanted; with nothing wanted in the log, to 1 less well. Common practice, no source. */
const agrees = { wanted: 0.04, one: 0.06 };
const leastReadings = 25;

/** Why lambda of a run is not what it is called; nothing of it may be called alarming or not. */
export interface LambdaDoubt {
  readonly run: LoadedRun;
  readonly channel: string;
  readonly sentence: string;
  readonly seen: number;
  readonly wanted: number;
}

/** Lambda of every run against what a running engine and its closed loop can be at. */
export const lambdaDoubts: Question<readonly LambdaDoubt[]> = question(({ setups }) => ({
  answer: setups.flatMap(({ runs }) =>
    runs.flatMap((run) => channelsOf(run.log, 'lambda').flatMap((channel) => doubtOf(run, channel) ?? [])),
  ),
}));

/** Lambda at closed-loop cruise and idle against 1, or against what was commanded. */
export function lambdaScale(evidence: Evidence): Contradiction[] {
  const doubts = lambdaDoubts(evidence).answer;
  return [...new Set(doubts.map(({ channel }) => channel))].map((name): Contradiction => {
    const group = doubts.filter(({ channel }) => channel === name);
    const [{ run, channel, sentence, seen, wanted }] = group as [LambdaDoubt, ...LambdaDoubt[]];
    const setups = [...new Set(group.map((one) => one.run.inputs.setup))];
    return {
      name: 'lambda',
      setups,
      sources: [
        {
          what: 'lambda in closed loop',
          value: wanted,
          unit: '1',
          shown: numberText(wanted, 2),
          where: 'idle and cruise of a warm engine',
        },
        {
          what: 'lambda as logged there',
          value: seen,
          unit: '1',
          shown: numberText(seen, 2),
          where: `${run.inputs.log}, column ${channel}`,
        },
      ],
      difference: `${numberText(seen / wanted, 2)} times as much`,
      effects: setups.map((setup) => ({ setup, share: 0 })),
      mistakes: [{ name: 'lambda-scale', sentence }],
      fix: 'Check car.targets.gauge-stoich and the unit of the column; then the sensor, and the exhaust for leaks ahead of it.',
    };
  });
}

function doubtOf(run: LoadedRun, channel: Channel): LambdaDoubt | null {
  const commanded = findChannel(run.log, 'commanded-lambda');
  const steady = run.found.others.filter(({ kind }) => kind === 'cruise' || kind === 'idle');
  const pairs = steady.flatMap(({ startS, endS }) => {
    // After a lift the sensor still sees air.
    const own = readingsBetween(run.log, channel, startS + 2, endS - 0.5);
    const asked = commanded === null ? null : freshSamples(run.log, commanded);
    return Array.from(own.values).flatMap((seen, i) => {
      const wanted = asked === null ? 1 : valueAt(asked, own.timeS[i]!, 60);
      return Number.isFinite(wanted) && Math.abs(wanted - 1) < 0.03 ? [{ seen, wanted }] : [];
    });
  });
  if (pairs.length < leastReadings) return null;
  const seen = quantileOf(
    pairs.map((pair) => pair.seen),
    0.5,
  );
  const wanted = quantileOf(
    pairs.map((pair) => pair.wanted),
    0.5,
  );
  const scatter =
    quantileOf(
      pairs.map((pair) => pair.seen),
      0.84,
    ) -
    quantileOf(
      pairs.map((pair) => pair.seen),
      0.16,
    );
  const tolerance = commanded === null ? agrees.one : agrees.wanted;
  // Open loop wanders; closed loop is steady about one value.
  if (Math.abs(seen / wanted - 1) <= tolerance || scatter > 0.08) return null;
  const scale = run.inputs.gaugeStoich.value;
  const sentence =
    channel.unit === 'AFR'
      ? `the gauge scale of ${numberText(scale, 1)} is wrong (${numberText((scale * seen) / wanted, 1)} would fit), or the sensor reads wrong`
      : `column ${channel.name} is on another scale, or the sensor reads wrong`;
  return { run, channel: channel.name, sentence, seen, wanted };
}
