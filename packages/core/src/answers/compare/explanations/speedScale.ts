import type { Explanation, PowerDifference } from '../../../compare/index.js';
import type { FittedSetup, TrialPull } from '../../../pulls/index.js';
import { numberText } from '../../../units/index.js';
import { meanEffectW, meanOfPulls, rangeOf } from './pullMeans.js';

/** Ratios nearer than this are one gear. */
const sameGear = 0.09;
/** A scale that differs less is the noise of its measurement. */
const leastShare = 0.002;

/**
 * Engine speed over road speed that differs between the setups in one gear, or tire radii that were entered differently: a speed signal
 * with another scale makes power of it, twice to three times as much. Satellite speed on both sides is true over ground.
 */
export function speedScale(before: FittedSetup, after: FittedSetup, difference: PowerDifference): Explanation[] {
  const radius = (setup: FittedSetup): number => meanOfPulls(setup, ({ run }) => run.inputs.tyreRadiusM.value);
  const tyres = radius(after) / radius(before) - 1;
  const scale = ratioChange(before, after);
  const satellite = [...before.used, ...after.used].every(({ signals }) => signals.road?.channel.quantity === 'gps-speed');
  const found: Explanation[] = [];
  const effectOf = (share: number): Float64Array => {
    const [early, late] = [before, after].map((setup) => meanEffectW(setup, difference, 'speed scale, tyre slip and growth', () => share));
    return early!.map((value, i) => (value + late![i]!) / 2);
  };
  if (Math.abs(tyres) >= leastShare) {
    found.push({
      name: 'tyres',
      standing: 'entered',
      sentence: `the tire radius was entered ${numberText(100 * Math.abs(tyres), 1)}% ${tyres > 0 ? 'larger' : 'smaller'} after the change`,
      settle: 'Check tire-radius of both setups; log satellite speed, which no tire changes.',
      ...rangeOf(satellite ? [] : [effectOf(tyres), effectOf(-tyres)], difference.differenceW.length),
    });
  }
  if (!satellite && scale !== null && Math.abs(scale) >= leastShare) {
    found.push({
      name: 'speed scale',
      standing: 'measured',
      sentence: `engine speed over road speed differs by ${numberText(100 * Math.abs(scale), 1)}% between the setups in the same gear`,
      settle: 'Find out whether tires, tire pressure or the speed signal changed; log satellite speed in both setups.',
      // More turns for each meter are less speed, and less power, for the same engine.
      ...rangeOf([effectOf(-scale)], difference.differenceW.length),
    });
  }
  return found;
}

/** Change of engine over road speed, after less before, in the gear that both setups used; null where they share none. */
function ratioChange(before: FittedSetup, after: FittedSetup): number | null {
  const ratio = (pull: TrialPull): number => pull.prepared!.motion.rpmPerMps;
  // Where the drive slips, power comes from road speed alone, and its ratio is no scale.
  const locked = ({ used }: FittedSetup): TrialPull[] => used.filter(({ prepared }) => prepared!.motion.coupling === undefined);
  const pairs = locked(after).flatMap((late) =>
    locked(before)
      .map((early) => Math.log(ratio(late) / ratio(early)))
      .filter((value) => Math.abs(value) < sameGear),
  );
  return pairs.length === 0 ? null : pairs.reduce((sum, value) => sum + value, 0) / pairs.length;
}
