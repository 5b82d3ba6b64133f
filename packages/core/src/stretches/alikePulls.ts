import { quantileOf } from './signals.js';
import type { Pull } from './stretch.js';

/** Ratios of engine to road speed nearer than this are one gear. */
const sameGear = 0.08;
/** Full load in one gear gains engine speed at least this much of what the quickest does; the rest is less pedal. Common practice, no source. */
const leastOfQuickest = 0.75;

/** Mean gain of engine speed, rpm/s; no number where the pull does not tell. */
function rateOf({ fromRpm, toRpm, spans }: Pull): number {
  return fromRpm === null || toRpm === null ? Number.NaN : (toRpm - fromRpm) / (spans.at(-1)!.toS - spans[0]!.fromS);
}

/**
 * Where no channel tells full load, a gain of engine speed counts as a pull only where it looks like the others of the log: in the gear
 * in which most were made (the highest of equals), and about as quick. A drive-away through a low gear, or a half-pressed pedal, does not.
 *
 * @returns those pulls in their order; a single one stays, as nothing is there to compare it with
 */
export function alikePulls(pulls: readonly Pull[]): Pull[] {
  if (pulls.length < 2) return [...pulls];
  const inGear = (ratio: number | null): Pull[] =>
    pulls.filter(({ rpmPerMps }) =>
      ratio === null ? rpmPerMps === null : rpmPerMps !== null && Math.abs(rpmPerMps / ratio - 1) < sameGear,
    );
  const gears = pulls.map(({ rpmPerMps }) => ({ ratio: rpmPerMps ?? Number.POSITIVE_INFINITY, members: inGear(rpmPerMps) }));
  const usual = gears.toSorted((a, b) => b.members.length - a.members.length || a.ratio - b.ratio)[0]!.members;
  if (usual.length === 1) return withPower(pulls);
  const quickest = quantileOf(usual.map(rateOf), 1);
  return usual.filter((pull) => rateOf(pull) >= leastOfQuickest * quickest);
}

/** One pull in each gear, as through the gears: those with at least this share of the largest gain of kinetic energy. Drag takes the rest. */
const leastOfStrongest = 0.5;

function withPower(pulls: readonly Pull[]): Pull[] {
  const powers = pulls.map((pull) => (rateOf(pull) * (pull.fromRpm! + pull.toRpm!)) / (pull.rpmPerMps ?? Number.NaN) ** 2);
  const strongest = quantileOf(powers, 1);
  return pulls.filter((_, i) => !(powers[i]! < leastOfStrongest * strongest));
}
