import type { ComparisonResult, Region } from '@pullproof/core';
import { type DisplayUnit, numberText } from '@pullproof/figures';

const rows = 11;
const labelWidth = 7;
const regionMarks: Readonly<Record<Region['verdict'], string>> = { gain: '+', loss: '-', 'no clear change': '.' };

/**
 * The difference along engine speed as lines of plain characters, so that any terminal and any log file can show it.
 * @param comparison what to show
 * @param options `unit` to read in; `width` in characters, axis labels counted
 * @returns lines; none where there is no difference
 */
export function plotText(comparison: ComparisonResult, options: { readonly unit: DisplayUnit; readonly width: number }): readonly string[] {
  const { engineSpeedRpm, difference, low, high, airLowW, airHighW } = comparison.wheelPowerW;
  const known = difference.flatMap((value, index) => (value === null ? [] : [index]));
  if (known.length < 2) return [];
  const [first, last] = [engineSpeedRpm[known[0]!]!, engineSpeedRpm[known.at(-1)!]!];
  const width = Math.max(20, options.width - labelWidth - 2);
  const shown = (values: readonly (number | null)[], index: number): number | null => {
    const value = values[index] ?? null;
    return value === null ? null : options.unit.fromSi(value);
  };
  const all = known.flatMap((index) => [difference, low, high].map((values) => shown(values, index))).filter((value) => value !== null);
  const [least, most] = [Math.min(0, ...all), Math.max(0, ...all)];
  const step = (most - least) / (rows - 1);
  const rowOf = (value: number): number => Math.round((most - value) / step);
  const field = Array.from({ length: rows }, () => new Array<string>(width).fill(' '));
  const put = (column: number, from: number | null, to: number | null, mark: string): void => {
    if (from === null || to === null) return;
    for (let row = Math.max(0, rowOf(to)); row <= Math.min(rows - 1, rowOf(from)); row += 1) field[row]![column] = mark;
  };
  for (let column = 0; column < width; column += 1) {
    const rpm = first + ((last - first) * column) / (width - 1);
    const index = known.reduce((best, at) => (Math.abs(engineSpeedRpm[at]! - rpm) < Math.abs(engineSpeedRpm[best]! - rpm) ? at : best));
    put(column, shown(low, index), shown(high, index), ':');
    put(column, shown(airLowW, index), shown(airHighW, index), '/');
    field[rowOf(0)]![column] = '-';
    const value = shown(difference, index);
    put(column, value, value, '*');
  }
  const isLabelled = (row: number): boolean => row === 0 || row === rows - 1 || row === rowOf(0);
  const lines = field.map((line, row) => {
    const isNearZero = row !== rowOf(0) && Math.abs(row - rowOf(0)) < 2;
    const label =
      isLabelled(row) && !isNearZero ? numberText(row === rowOf(0) ? 0 : most - row * step, options.unit.decimals, { signed: true }) : '';
    return `${label.padStart(labelWidth)} |${line.join('')}`.trimEnd();
  });
  return [
    ...lines,
    `${' '.repeat(labelWidth)} +${'-'.repeat(width)}`,
    `${' '.repeat(labelWidth)}  ${strip(comparison.regions, { first, last, width })}`.trimEnd(),
    `${' '.repeat(labelWidth)}  ${axisLabels(first, last, width)}`,
  ];
}

function strip(regions: readonly Region[], at: { readonly first: number; readonly last: number; readonly width: number }): string {
  const marks = new Array<string>(at.width).fill(' ');
  const columnOf = (rpm: number): number => Math.round(((rpm - at.first) / (at.last - at.first)) * (at.width - 1));
  for (const region of regions) {
    const [from, to] = [Math.max(0, columnOf(region.fromRpm)), Math.min(at.width - 1, columnOf(region.toRpm))];
    for (let column = from; column <= to; column += 1) marks[column] = regionMarks[region.verdict];
    const word = ` ${region.verdict} `;
    if (to - from + 1 > word.length + 2) {
      const start = from + Math.floor((to - from + 1 - word.length) / 2);
      Array.from(word).forEach((letter, index) => {
        marks[start + index] = letter;
      });
    }
  }
  return marks.join('');
}

function axisLabels(first: number, last: number, width: number): string {
  const [left, middle, right] = [first, (first + last) / 2, last].map((rpm) => numberText(rpm, 0)) as [string, string, string];
  const end = `${right} rpm`;
  const start = Math.floor((width - middle.length) / 2);
  return `${left}${' '.repeat(Math.max(1, start - left.length))}${middle}`.padEnd(Math.max(1, width - end.length)) + end;
}
