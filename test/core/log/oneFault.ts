import type { randomStream } from '@pullproof/core';

type Random = ReturnType<typeof randomStream>;

/** A random log as cells of text, and how it is written. */
export interface PlainLog {
  readonly header: readonly string[];
  readonly rows: readonly (readonly string[])[];
  readonly delimiter: string;
  readonly quoted: boolean;
  readonly end: string;
}

const columns: readonly { readonly name: string; readonly low: number; readonly high: number; readonly places: number }[] = [
  { name: 'Engine speed (rpm)', low: 700, high: 6900, places: 0 },
  { name: 'Vehicle speed (km/h)', low: 5, high: 190, places: 1 },
  { name: 'Manifold absolute pressure (kPa)', low: 25, high: 240, places: 1 },
  { name: 'Lambda', low: 0.75, high: 1.2, places: 3 },
  { name: 'Accelerator pedal position (%)', low: 2, high: 99, places: 1 },
  { name: 'Coolant temperature (°C)', low: 80, high: 98, places: 0 },
  { name: 'Aux 1', low: 100, high: 999, places: 2 },
];

export function plainLog(random: Random): PlainLog {
  const whole = (low: number, high: number) => low + Math.floor((high - low + 1) * random.uniform());
  const chosen = columns.slice(0, whole(3, columns.length));
  const delimiter = [',', ';', '\t', '|'][whole(0, 3)]!;
  const comma = delimiter !== ',' && random.uniform() < 0.4;
  const step = [0.04, 0.05, 0.1][whole(0, 2)]!;
  const rows = Array.from({ length: whole(25, 60) }, (_, i) =>
    [(i * step).toFixed(2), ...chosen.map(({ low, high, places }) => (low + (high - low) * random.uniform()).toFixed(places))].map(
      (cell) => (comma ? cell.replace('.', ',') : cell),
    ),
  );
  return {
    header: ['Time (s)', ...chosen.map(({ name }) => name)],
    rows,
    delimiter,
    quoted: random.uniform() < 0.25,
    end: random.uniform() < 0.3 ? '\r\n' : '\n',
  };
}

/** Lines of the file; the first is the header. */
export function linesOf({ header, rows, delimiter, quoted }: PlainLog): string[] {
  return [header, ...rows].map((cells) => cells.map((cell) => (quoted ? `"${cell}"` : cell)).join(delimiter));
}

/** What one fault may cost: a row as a whole, or one cell of it; all else must be read as before. */
export interface Cost {
  /** Row of data, from 0; -1 where nothing may be lost. */
  readonly row: number;
  /** Column of the cell that may be lost while the row is kept; -1 where the row goes as a whole; null where any of its cells may. */
  readonly column: number | null;
  /** The clock goes back from this row on. */
  readonly breakAt?: number;
  /** Whether something must be said. */
  readonly told: boolean;
}

export interface Fault {
  readonly name: string;
  /** Plants the fault into the lines, in place. */
  readonly plant: (lines: string[], log: PlainLog, random: Random) => Cost;
}

const some = (random: Random, count: number) => Math.floor(count * random.uniform());
const cellFault = (name: string, change: (cell: string) => string): Fault => ({
  name,
  plant: (lines, log, random) => {
    const row = some(random, log.rows.length);
    const column = some(random, log.header.length);
    const cells = lines[row + 1]!.split(log.delimiter);
    cells[column] = change(cells[column]!);
    lines[row + 1] = cells.join(log.delimiter);
    return { row, column, told: true };
  },
});
const rowFault = (name: string, change: (line: string, log: PlainLog, random: Random) => string): Fault => ({
  name,
  plant: (lines, log, random) => {
    const row = some(random, log.rows.length);
    lines[row + 1] = change(lines[row + 1]!, log, random);
    return { row, column: -1, told: true };
  },
});
const lineFault = (name: string, line: (log: PlainLog) => string, told = true): Fault => ({
  name,
  plant: (lines, log, random) => {
    lines.splice(1 + some(random, log.rows.length + 1), 0, line(log));
    return { row: -1, column: -1, told };
  },
});
const everyCell = ({ header, delimiter }: PlainLog, cell: string) => header.map(() => cell).join(delimiter);
const delimiterPlace = (line: string, { delimiter }: PlainLog, random: Random) => {
  const places = [...line].flatMap((character, i) => (character === delimiter ? [i] : []));
  return places[some(random, places.length)]!;
};

/** One fault of each kind. */
export const faults: readonly Fault[] = [
  cellFault('a quote that opens a cell', (cell) => `"${cell.replaceAll('"', '')}`),
  cellFault('a quote that closes a cell', (cell) => `${cell.replaceAll('"', '')}"`),
  cellFault('a word in a cell', () => 'Error'),
  cellFault('a remnant in a cell', (cell) => `>${cell.replaceAll('"', '')}?`),
  cellFault('a number with a unit of its own', (cell) => `${cell.replaceAll('"', '')} kPa`),
  cellFault('a number too large', () => '1e400'),
  cellFault('a token for no reading', () => '---'),
  rowFault('a lost delimiter', (line, log, random) => {
    const at = delimiterPlace(line, log, random);
    return line.slice(0, at) + line.slice(at + 1);
  }),
  rowFault('a delimiter too many', (line, log, random) => {
    const at = delimiterPlace(line, log, random);
    return line.slice(0, at) + log.delimiter + line.slice(at);
  }),
  rowFault('a run of NULs', (line, _, random) => {
    const at = 1 + some(random, line.length - 1);
    return `${line.slice(0, at)}${'\0'.repeat(40)}`;
  }),
  rowFault('a row cut short', (line, log, random) => line.slice(0, delimiterPlace(line, log, random))),
  lineFault('a line of words', () => 'the adapter was plugged in again'),
  lineFault('a ruler', (log) => everyCell(log, '====')),
  lineFault('a row of Error cells', (log) => everyCell(log, 'Error')),
  lineFault('a comment', () => '# lap 2', false),
  lineFault('an empty line', () => '', false),
  {
    name: 'a last line torn off',
    plant: (lines, log) => {
      lines[lines.length - 1] = lines.at(-1)!.slice(0, lines.at(-1)!.lastIndexOf(log.delimiter));
      return { row: log.rows.length - 1, column: -1, told: true };
    },
  },
  {
    name: 'a clock that is set back',
    plant: (lines, log, random) => {
      const comma = log.rows.some((row) => row[0]!.includes(','));
      const breakAt = 6 + some(random, log.rows.length - 12);
      const stepS = Number(log.rows[1]![0]!.replace(',', '.'));
      const byS = stepS + 0.04 + 0.01 * some(random, 40);
      for (let row = breakAt; row < log.rows.length; row++) {
        const cells = lines[row + 1]!.split(log.delimiter);
        const stamp = (1 + Number(log.rows[row]![0]!.replace(',', '.')) - byS).toFixed(2);
        cells[0] = cells[0]!.replace(log.rows[row]![0]!, comma ? stamp.replace('.', ',') : stamp);
        lines[row + 1] = cells.join(log.delimiter);
      }
      for (let row = 0; row < breakAt; row++) {
        const cells = lines[row + 1]!.split(log.delimiter);
        const stamp = (1 + Number(log.rows[row]![0]!.replace(',', '.'))).toFixed(2);
        cells[0] = cells[0]!.replace(log.rows[row]![0]!, comma ? stamp.replace('.', ',') : stamp);
        lines[row + 1] = cells.join(log.delimiter);
      }
      return { row: -1, column: -1, breakAt, told: true };
    },
  },
];
