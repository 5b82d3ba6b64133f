import type { Finding } from '../findings/index.js';
import { dragKgPerM, type Repeatability } from '../power/index.js';
import type { TwoWayWind } from '../result/index.js';
import type { FittedSetup } from './fittedSetup.js';

/**
 * Wind along the road from the difference between pulls driven in opposite directions in one outing, and the square of it, which no pairing cancels.
 *
 * A headwind w lowers the power that still air is taken for by ½ρC_dA v (2vw + w²). Half the difference between directions is the linear part;
 * their mean keeps ½ρC_dA v w². The curve is the mean of logarithms, so (ρC_dA v² w)²/(2P) of the same order comes on top.
 *
 * @returns One entry for each outing in which the setup has pulls both ways.
 *
 * Source: DESIGN §8, balance of forces expanded in the wind.
 */
export function twoWayWinds(setup: FittedSetup, spread: Repeatability): TwoWayWind[] {
  const { curve, used } = setup;
  if (curve === null) return [];
  return [...new Set(used.map((pull) => pull.prepared!.outingKey))].flatMap((outing): TwoWayWind[] => {
    const ways = ([1, -1] as const).map((heading) =>
      Array.from(used.keys()).filter((p) => {
        const { conditions, outingKey } = used[p]!.prepared!;
        return outingKey === outing && (conditions.heading ?? 1) === heading && used[p]!.run.inputs.direction !== null;
      }),
    );
    const [there, back] = ways;
    if (there!.length === 0 || back!.length === 0) return [];
    const { conditions, motion } = used[there![0]!]!.prepared!;
    const drag = dragKgPerM(conditions);
    const meanOf = (pulls: readonly number[], i: number): number =>
      pulls.reduce((sum, p) => sum + curve.pullPowerW[p]![i]!, 0) / pulls.length;
    let product = 0;
    let square = 0;
    let power = 0;
    curve.engineSpeedRpm.forEach((rpm, i) => {
      const half = (meanOf(back!, i) - meanOf(there!, i)) / 2;
      if (Number.isNaN(half)) return;
      const perWind = 2 * drag * (rpm / motion.rpmPerMps) ** 2;
      product += half * perWind;
      square += perWind * perWind;
      power += curve.wheelPowerW[i]! * perWind;
    });
    if (square === 0) return [];
    const windMps = product / square;
    const windSpreadMps = (0.5 * spread.pullToPull * Math.sqrt(1 / there!.length + 1 / back!.length) * power) / square;
    const squareW = Array.from(curve.engineSpeedRpm, (rpm, i) => {
      const speedMps = rpm / motion.rpmPerMps;
      const linearW = 2 * drag * speedMps ** 2 * windMps;
      return drag * speedMps * windMps ** 2 + linearW ** 2 / (2 * curve.wheelPowerW[i]!);
    });
    return [
      {
        outing,
        pullsEachWay: [there!.length, back!.length],
        windMps,
        windSpreadMps,
        engineSpeedRpm: Array.from(curve.engineSpeedRpm),
        squareW,
      },
    ];
  });
}

/** Share of power below which what the wind leaves is not worth a word: well within what good pulls repeat. Common practice, no source. */
const countsFromShare = 0.001;

/** What a person should know of them: pulls without a partner, or a wind whose square counts. */
export function twoWayFindings(setup: FittedSetup, spread: Repeatability): Finding[] {
  return twoWayWinds(setup, spread).flatMap(({ outing, pullsEachWay: [there, back], windMps, windSpreadMps, squareW }): Finding[] => {
    const most = Math.max(...squareW);
    const counts = setup.curve!.wheelPowerW.some((powerW, i) => squareW[i]! > countsFromShare * powerW);
    if (there === back && !counts) return [];
    const left = there === back ? '' : ` ${Math.abs(there - back)} of ${there + back} pulls have no partner, so that part of it stays.`;
    return [
      {
        code: 'TWO_WAY_WIND',
        severity: 'note',
        message: `${setup.name}, ${outing}: pulls both ways (${there} and ${back}) differ as a wind of ${Math.abs(windMps).toFixed(1)} ± ${windSpreadMps.toFixed(1)} m/s along the road makes them, beside what was entered. Its straight part cancels in their mean; its square leaves the power up to ${most.toFixed(0)} W low.${left}`,
        where: { setup: setup.name },
        fix: there === back ? 'Pull on a calmer day where so much counts.' : 'Log as many pulls one way as the other.',
      },
    ];
  });
}
