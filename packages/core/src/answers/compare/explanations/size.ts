import { type Explanation, leastPoints, type PowerDifference } from '../../../compare/index.js';
import { channelOf, type FittedSetup, pullsCurve } from '../../../pulls/index.js';
import { numberText, rpmText } from '../../../units/index.js';

/** A change of power that no usual part makes by itself, as a share of power: with another pressure, and with the same. Common practice, no source. */
const mostShare = { otherPressure: 0.25, samePressure: 0.15 };
/** Manifold pressure that differs by less is the same. */
const leastPressureShare = 0.03;

/**
 * A difference larger than usual parts make. Until the trial says that it is expected, and why, a mistake is likelier: another car's log, a
 * wrong unit, weight or gear.
 */
export function size(
  before: FittedSetup,
  after: FittedSetup,
  { differenceW, beforeW, engineSpeedRpm }: PowerDifference,
  options: { readonly expectedLarge: string | null },
): Explanation[] {
  if (options.expectedLarge !== null) return [];
  const most = pressureChanged(before, after, engineSpeedRpm) ? mostShare.otherPressure : mostShare.samePressure;
  const share = differenceW.map((value, i) => Math.abs(value) / beforeW[i]!);
  const from = share.findIndex(
    (_, i) =>
      share.subarray(i, i + leastPoints).length === leastPoints && share.subarray(i, i + leastPoints).every((value) => value > most),
  );
  if (from < 0) return [];
  const largest = share.reduce((best, value, i) => (value > share[best]! ? i : best), from);
  const boundless = differenceW.map(() => Number.POSITIVE_INFINITY);
  return [
    {
      name: 'size',
      standing: 'measured',
      sentence: `a difference of ${numberText((100 * differenceW[largest]!) / beforeW[largest]!, 0)}% at ${rpmText(engineSpeedRpm[largest]!)} is more than usual parts make${most === mostShare.samePressure ? ' without a change of manifold pressure' : ''}`,
      settle:
        'Check first that each log is of the setup it is listed in, then units, weight, gearing and weather. If the difference is real, add expected: large and reason: to the trial.',
      lowW: boundless.map((value) => -value),
      highW: boundless,
    },
  ];
}

/** Whether manifold pressure differs by more than a little over the engine speeds, or another pulley was entered where it was not logged. */
function pressureChanged(before: FittedSetup, after: FittedSetup, gridRpm: Float64Array): boolean {
  const [first, second] = [before, after].map(
    (setup) => pullsCurve(setup.used, channelOf(['manifold-pressure']), gridRpm, [], 'manifold-pressure')?.curve.mean ?? null,
  );
  if (first == null || second == null) {
    const pulley = (setup: FittedSetup): number | null => setup.used[0]!.run.inputs.blowerPulleyM;
    return pulley(before) !== pulley(after);
  }
  const ratios = first.map((value, i) => Math.abs(second[i]! / value - 1)).filter((value) => Number.isFinite(value));
  return ratios.length > 0 && Math.max(...ratios) > leastPressureShare;
}
