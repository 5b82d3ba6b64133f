import type { PulleyPart } from '../../result/index.js';
import { numberText, rpmText } from '../../units/index.js';

/** Pressure ratios along engine speed: before, what the pulley alone should make of it with its range, and what was seen. */
export interface PulleyCurves {
  readonly rpm: readonly number[];
  readonly was: readonly number[];
  readonly expected: readonly number[];
  readonly low: readonly number[];
  readonly high: readonly number[];
  readonly seen: readonly number[];
}

/** Shares of the expected change below and above which a pulley is said to give less or more. Common practice, no source. */
const lessBelow = 0.7;
const moreAbove = 1.2;
/** Pressure ratios closer than this are not told apart. */
const alike = 0.005;

/** Low, middle and top third of the engine speeds, each judged by itself; a third without an expectation is left out. */
export function pulleyParts(curves: PulleyCurves): PulleyPart[] {
  const { rpm, was, expected, seen } = curves;
  const share = rpm.map((_, i) => (seen[i]! - was[i]!) / (expected[i]! - was[i]!));
  const count = rpm.length;
  return (['low', 'middle', 'top'] as const).flatMap((part, third) => {
    const own = Array.from(rpm.keys())
      .slice(Math.floor((third * count) / 3), Math.floor(((third + 1) * count) / 3))
      .filter((i) => Number.isFinite(share[i]!))
      .sort((a, b) => share[a]! - share[b]!);
    const i = own[own.length >> 1];
    if (i === undefined) return [];
    const judged = judge(curves, share, i);
    return [
      {
        part,
        engineSpeedRpm: rpm[i]!,
        before: was[i]!,
        expected: expected[i]!,
        seen: seen[i]!,
        judged,
        behindFromRpm: part === 'top' && judged === 'less' ? behindFrom(curves, share) : null,
      },
    ];
  });
}

/** Less or more only where the range of the model does not reach what was seen either. */
function judge({ low, high, seen }: PulleyCurves, share: readonly number[], i: number): PulleyPart['judged'] {
  if (share[i]! < lessBelow && seen[i]! < low[i]! - alike) return 'less';
  return share[i]! > moreAbove && seen[i]! > high[i]! + alike ? 'more' : 'as expected';
}

/** Lowest engine speed from which up everything is less; null where that is all of them. */
function behindFrom(curves: PulleyCurves, share: readonly number[]): number | null {
  const { rpm } = curves;
  let from: number | null = null;
  for (let i = rpm.length - 1; i >= 0; i--) {
    if (!Number.isFinite(share[i]!)) continue;
    if (judge(curves, share, i) !== 'less') return from;
    from = rpm[i]!;
  }
  return null;
}

const meanings = {
  less: 'less than the pulley should give: belt slip, an opening bypass or a choked inlet are likely',
  more: 'more than the pulley alone explains: look for another change (hotter charge, bypass, filter, cam timing, sensor)',
} as const;

/** What the pulley gave, every number of a part at its one engine speed. */
export function pulleySentence(change: number, parts: readonly PulleyPart[]): string {
  const percent = numberText(Math.abs(100 * (change - 1)), 1);
  const drive = `The drive ratio went ${change < 1 ? 'down' : 'up'} by ${percent}%.`;
  if (parts.length === 0) return `${drive} What that alone should have made of the pressure ratio is beyond the model.`;
  const at = ({ seen, expected, engineSpeedRpm }: PulleyPart): string =>
    `seen ${seen.toFixed(2)} of ${expected.toFixed(2)} expected at ${rpmText(engineSpeedRpm)}`;
  const kinds = new Set(parts.map(({ judged }) => judged));
  const middle = parts.find(({ part }) => part === 'middle') ?? parts[0]!;
  if (kinds.size === 1) {
    const [kind] = kinds;
    const says = kind === 'less' || kind === 'more' ? meanings[kind] : 'about what the pulley should give';
    return `${drive} Pressure ratio (expected by a model): ${at(middle)}. Over the whole range that is ${says}.`;
  }
  const told = parts.map((part) => `${part.part}: ${at(part)}, ${part.judged}`);
  const top = parts.find(({ part }) => part === 'top');
  const behind = top?.behindFromRpm == null ? '' : ` From ${rpmText(top.behindFromRpm)} it falls behind.`;
  const why = [...kinds].flatMap((kind) => (kind === 'as expected' ? [] : [`Where it is ${kind}, that is ${meanings[kind]}.`]));
  return `${drive} Pressure ratio (expected by a model): ${told.join('; ')}.${behind} ${why.join(' ')}`;
}
