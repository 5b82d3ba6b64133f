import type { Explanation, PowerDifference } from '../../../compare/index.js';
import { type FittedSetup, ratioGrowth } from '../../../pulls/index.js';
import { numberText } from '../../../units/index.js';
import { rangeOf } from './pullMeans.js';

/** Growth that differs less between setups is that of tires and their slip. */
const leastShare = 0.015;
/** And it must stand out from its own noise. */
const leastSpreads = 3;

/** Share of power that slip at the end of a pull may have cost, for its own size: the heat, and a lower engine speed for the same road speed. */
const lossPerGrowth = 1.5;

interface Growth {
  readonly share: number;
  readonly spread: number;
  readonly fromRpm: number;
  readonly toRpm: number;
}

/**
 * Engine speed that parts from road speed along the pulls of one setup more than along those of the other: a clutch or converter that
 * slips, or a channel that lags. Which of the two the log cannot always tell, and the first makes power that is none.
 */
export function slip(before: FittedSetup, after: FittedSetup, difference: PowerDifference): Explanation[] {
  return [...partingSpeeds(before, after, difference), ...slipLoss(before, after, difference)];
}

/** Slip that was found eats its share of the power, and moves what is left to another engine speed. */
function slipLoss(before: FittedSetup, after: FittedSetup, difference: PowerDifference): Explanation[] {
  const [early, late] = [before, after].map((setup) => Math.abs(growthOf(setup, { slipping: true })?.share ?? 0));
  const more = late! - early!;
  // A converter that slips alike in both costs both the same.
  if (!(Math.abs(more) >= leastShare)) return [];
  return [
    {
      name: 'slip',
      standing: 'measured',
      sentence: `the clutch or converter slips more along the pulls of ${more > 0 ? after.name : before.name}, which costs power at the wheels`,
      settle: 'Mend the clutch, or use a locked gear, and log again.',
      ...rangeOf([difference.beforeW.map((w) => -lossPerGrowth * more * w)], difference.differenceW.length),
    },
  ];
}

function partingSpeeds(before: FittedSetup, after: FittedSetup, difference: PowerDifference): Explanation[] {
  const [early, late] = [growthOf(before, { slipping: false }), growthOf(after, { slipping: false })];
  if (early === null || late === null) return [];
  const share = late.share - early.share;
  if (!(Math.abs(share) > Math.max(leastShare, leastSpreads * Math.hypot(early.spread, late.spread)))) return [];
  const fromRpm = Math.max(early.fromRpm, late.fromRpm);
  const toRpm = Math.min(early.toRpm, late.toRpm);
  // Speed s too high by σ shows twice in power; σ that grows shows as acceleration, n dσ/dn as much again.
  const effectW = difference.engineSpeedRpm.map((rpm, i) => {
    const along = (rpm - fromRpm) / (toRpm - fromRpm) - 0.5;
    return difference.beforeW[i]! * share * (2 * along + rpm / (toRpm - fromRpm));
  });
  const larger = Math.abs(late.share) >= Math.abs(early.share) ? after.name : before.name;
  const level = difference.beforeW.map((w) => 2 * share * w);
  return [
    {
      name: 'slip',
      standing: 'measured',
      sentence: `engine speed and road speed part by ${numberText(100 * Math.abs(share), 1)}% along the pulls of ${larger}, as when a clutch or converter slips or a channel lags`,
      settle: 'Check the clutch, and log road speed from the same source and at the same rate in both setups.',
      ...rangeOf([effectW, effectW.map((value, i) => value + level[i]!), effectW.map((value, i) => value - level[i]!)], effectW.length),
    },
  ];
}

/** Mean growth over the pulls whose power rests on road speed because the drive slips, or over the others; null without any. */
function growthOf({ used }: FittedSetup, { slipping }: { readonly slipping: boolean }): Growth | null {
  const found = used
    .filter(({ prepared }) => (prepared!.motion.coupling !== undefined) === slipping)
    .flatMap(({ signals, pull }) => {
      const growth = ratioGrowth(signals, pull);
      return growth === null ? [] : [{ ...growth, fromRpm: pull.fromRpm!, toRpm: pull.toRpm! }];
    });
  if (found.length === 0) return null;
  const mean = (value: (one: (typeof found)[number]) => number): number => found.reduce((sum, one) => sum + value(one), 0) / found.length;
  const share = mean((one) => one.share);
  const scatter = found.length < 2 ? 0 : Math.sqrt(mean((one) => (one.share - share) ** 2) / (found.length - 1));
  return {
    share,
    spread: Math.max(scatter, Math.sqrt(mean((one) => one.spread ** 2) / found.length)),
    fromRpm: mean((one) => one.fromRpm),
    toRpm: mean((one) => one.toRpm),
  };
}
