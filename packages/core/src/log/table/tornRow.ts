/** What is needed to judge a last line that has no line end. */
export interface LastLine {
  readonly cells: readonly string[];
  /** Cells of the lines before it, latest last. */
  readonly before: readonly (readonly string[])[];
}

/** A number or a clock time that goes on: `5.`, `1e`, `2e-`, `14:05:`, `-`. A word may end in any letter. */
const unfinished = /(?:\d[.,:eE]|\d[eE][+-]|^[+-])$/;

/**
 * True when the last line was cut off while being written: fewer fields, a last number that ends in its mark or has fewer decimals than the lines
 * before ever have, a blank where none was, or a whole number outside the step that this column ever makes.
 * A file whose last line merely lacks its end keeps it.
 */
export function isTorn({ cells, before }: LastLine, width: number, toNumber: (text: string) => number): boolean {
  if (cells.length < width) return true;
  const last = cells[width - 1]!.trim();
  const earlier = before.filter((row) => row.length >= width).map((row) => row[width - 1]!.trim());
  if (earlier.length === 0) return unfinished.test(last);
  if (last === '') return !earlier.includes('');
  if (unfinished.test(last) && !earlier.some((text) => /[.,]$/.test(text))) return true;
  const decimals = (text: string) => /[.,](\d*)$/.exec(text)?.[1]?.length ?? 0;
  const present = earlier.filter((text) => text !== '');
  if (present.length > 0 && decimals(last) < Math.min(...present.map(decimals))) return true;
  const numbers = present.map(toNumber);
  const value = toNumber(last);
  if (numbers.length < 3 || !numbers.every(Number.isFinite)) return false;
  if (!Number.isFinite(value)) return true;
  let step = 0;
  for (let i = 1; i < numbers.length; i++) step = Math.max(step, Math.abs(numbers[i]! - numbers[i - 1]!));
  return present.at(-1)!.startsWith(last) === false || last.length < present.at(-1)!.length
    ? Math.abs(value - numbers.at(-1)!) > 3 * step + Number.EPSILON && last.length < Math.max(...present.map((text) => text.length))
    : false;
}
