import { numberText } from '@pullproof/figures';

/** A difference against engine speed, already in the units that people read. */
export interface PlottedDifference {
  readonly engineSpeedRpm: readonly number[];
  readonly difference: readonly (number | null)[];
  readonly low: readonly (number | null)[];
  readonly high: readonly (number | null)[];
  readonly unit: string;
}

/** Signs that the plot is drawn with. */
interface Signs {
  readonly band: string;
  readonly value: string;
  readonly zero: string;
  readonly axis: string;
}

const unicodeSigns: Signs = { band: '░', value: '█', zero: '─', axis: '│' };
const asciiSigns: Signs = { band: ':', value: '#', zero: '-', axis: '|' };

/** As many lines as a plot may have, about; between half of it and all are used, so that a line is a round number. */
const plotRows = 15;
const labelWidth = 8;

/**
 * A small plot of a difference with its band, for a plain terminal: no colour, no cursor movement, one character a cell.
 *
 * @param plotted engine speed in rpm, rising; null where there is no value
 * @param options width in columns, whether more than ASCII may be used, and how many lines the plot may have, about
 * @returns lines; none when there is nothing to draw
 */
export function differencePlot(
  plotted: PlottedDifference,
  options: { readonly width: number; readonly unicode: boolean; readonly rows?: number },
): string[] {
  const signs = options.unicode ? unicodeSigns : asciiSigns;
  const minus = options.unicode ? '−' : '-';
  const rpm = plotted.engineSpeedRpm;
  const bounds = [...plotted.low, ...plotted.high, ...plotted.difference].filter((value): value is number => value !== null);
  if (rpm.length < 2 || bounds.length === 0) return [];
  const first = rpm[0]!;
  const last = rpm.at(-1)!;
  const columns = Math.max(20, options.width - labelWidth - 3);
  const step = niceStep((Math.max(0, ...bounds) - Math.min(0, ...bounds)) / ((options.rows ?? plotRows) - 1));
  const lowest = Math.floor(Math.min(0, ...bounds) / step);
  const highest = Math.max(lowest + 1, Math.ceil(Math.max(0, ...bounds) / step));
  const cells = Array.from({ length: columns }, (_, c) => {
    const at = first + ((last - first) * c) / (columns - 1);
    const sample = (values: readonly (number | null)[]) => valueAt(rpm, values, at);
    return { value: sample(plotted.difference), low: sample(plotted.low), high: sample(plotted.high) };
  });
  const lines: string[] = [`${' '.repeat(labelWidth)} ${plotted.unit}`];
  for (let level = highest; level >= lowest; level--) {
    const drawn = cells.map(({ value, low, high }) => {
      if (value !== null && Math.round(value / step) === level) return signs.value;
      if (low !== null && high !== null && Math.round(low / step) <= level && Math.round(high / step) >= level) return signs.band;
      return level === 0 ? signs.zero : ' ';
    });
    const labelled = level === 0 || level === highest || level === lowest || level % 2 === 0;
    const label = labelled ? signedText(level * step, step, minus) : '';
    lines.push(`${label.padStart(labelWidth)} ${signs.axis}${drawn.join('').trimEnd()}`);
  }
  return [...lines, ...axisLines(first, last, columns, signs)];
}

function axisLines(first: number, last: number, columns: number, signs: Signs): string[] {
  const step = niceStep((last - first) / 5);
  const marks = Array.from({ length: columns }, () => signs.zero);
  const labels = Array.from({ length: columns + 4 }, () => ' ');
  for (let at = Math.ceil(first / step) * step; at <= last; at += step) {
    const column = Math.round(((at - first) / (last - first)) * (columns - 1));
    marks[column] = '+';
    const text = numberText(at, 0);
    const from = Math.max(0, Math.min(labels.length - text.length, column - Math.floor(text.length / 2)));
    if (labels.slice(Math.max(0, from - 1), from + text.length + 1).some((character) => character !== ' ')) continue;
    for (let i = 0; i < text.length; i++) labels[from + i] = text[i]!;
  }
  const indent = ' '.repeat(labelWidth + 2);
  return [indent + marks.join(''), `${indent}${labels.join('').trimEnd()} rpm`];
}

/** Linear between the neighbours; null where either is missing. */
function valueAt(rpm: readonly number[], values: readonly (number | null)[], at: number): number | null {
  let right = rpm.findIndex((value) => value >= at);
  if (right < 0) right = rpm.length - 1;
  const left = Math.max(0, right - 1);
  const [a, b] = [values[left] ?? null, values[right] ?? null];
  if (a === null || b === null) return null;
  const span = rpm[right]! - rpm[left]!;
  return span === 0 ? b : a + ((b - a) * (at - rpm[left]!)) / span;
}

/** The next of 1, 2, 5 × a power of ten. */
function niceStep(rough: number): number {
  if (!(rough > 0)) return 1;
  const power = 10 ** Math.floor(Math.log10(rough));
  return ([1, 2, 5].find((factor) => factor * power >= rough * (1 - 1e-9)) ?? 10) * power;
}

function signedText(value: number, step: number, minus: string): string {
  const text = Math.abs(value).toFixed(step < 1 ? Math.ceil(-Math.log10(step) - 1e-9) : 0);
  return `${value > 0 ? '+' : value < 0 ? minus : ''}${text}`;
}
