import fc from 'fast-check';
import { latin1, utf8, utf16 } from './fixture.js';

/** One way of writing a table as a file. */
export interface Writing {
  readonly seed: number;
  readonly rows: number;
  readonly columns: number;
  readonly delimiter: ',' | ';' | '\t' | '|' | '   ';
  readonly decimal: '.' | ',';
  readonly encoding: 'utf-8' | 'utf-8 mark' | 'utf-16le mark' | 'utf-16be mark' | 'utf-16le' | 'windows-1252';
  readonly lineEnd: '\n' | '\r\n' | '\r';
  readonly finalEnd: boolean;
  readonly quoting: 'none' | 'all' | 'header';
  readonly preamble: number;
  readonly separatorLine: boolean;
  readonly units: 'brackets' | 'parentheses' | 'row';
  readonly time: 's' | 'ms' | 'clock' | 'clock-12' | 'minutes' | 'iso' | 'epoch-ms' | 'epoch-s';
  readonly trailingDelimiter: boolean;
  readonly comments: boolean;
  readonly blanks: boolean;
  readonly numbers: 'plain' | 'exponent' | 'signed' | 'bare';
  /** Bytes of a chunk when the file comes in chunks; 0 for all at once. */
  readonly chunk: number;
}

export const writings: fc.Arbitrary<Writing> = fc.record({
  seed: fc.integer({ min: 1, max: 2 ** 31 - 1 }),
  rows: fc.integer({ min: 2, max: 40 }),
  columns: fc.integer({ min: 1, max: 8 }),
  delimiter: fc.constantFrom(',' as const, ';' as const, '\t' as const, '|' as const, '   ' as const),
  decimal: fc.constantFrom('.' as const, ',' as const),
  encoding: fc.constantFrom(
    'utf-8' as const,
    'utf-8 mark' as const,
    'utf-16le mark' as const,
    'utf-16be mark' as const,
    'utf-16le' as const,
    'windows-1252' as const,
  ),
  lineEnd: fc.constantFrom('\n' as const, '\r\n' as const, '\r' as const),
  finalEnd: fc.boolean(),
  quoting: fc.constantFrom('none' as const, 'all' as const, 'header' as const),
  preamble: fc.integer({ min: 0, max: 3 }),
  separatorLine: fc.boolean(),
  units: fc.constantFrom('brackets' as const, 'parentheses' as const, 'row' as const),
  time: fc.constantFrom(
    's' as const,
    'ms' as const,
    'clock' as const,
    'clock-12' as const,
    'minutes' as const,
    'iso' as const,
    'epoch-ms' as const,
    'epoch-s' as const,
  ),
  trailingDelimiter: fc.boolean(),
  comments: fc.boolean(),
  blanks: fc.boolean(),
  numbers: fc.constantFrom('plain' as const, 'exponent' as const, 'signed' as const, 'bare' as const),
  chunk: fc.oneof(fc.constant(0), fc.integer({ min: 1, max: 200 })),
});

interface Kind {
  readonly name: string;
  readonly unit: string;
  readonly low: number;
  readonly high: number;
}

const kinds: readonly Kind[] = [
  { name: 'Engine speed', unit: 'rpm', low: 650, high: 7800 },
  { name: 'Vehicle speed', unit: 'km/h', low: 1, high: 240 },
  { name: 'Manifold absolute pressure', unit: 'kPa', low: 22, high: 290 },
  { name: 'Intake air temperature', unit: '°C', low: -15, high: 75 },
  { name: 'Lambda bank 1', unit: 'λ', low: 0.65, high: 1.35 },
  { name: 'Accelerator pedal position D', unit: '%', low: 0, high: 100 },
  { name: 'Ignition timing', unit: '°', low: -8, high: 45 },
  { name: 'Battery voltage', unit: 'V', low: 11, high: 15 },
  { name: 'Aux 1', unit: '', low: -1e6, high: 1e6 },
];

/** The bytes in chunks that share one buffer, as a reader of files hands them over. */
export function chunked(bytes: Uint8Array, size: number): Uint8Array | Iterable<Uint8Array> {
  if (size === 0) return bytes;
  return {
    *[Symbol.iterator]() {
      const buffer = new Uint8Array(size);
      for (let at = 0; at < bytes.length; at += size) {
        const part = bytes.subarray(at, at + size);
        buffer.set(part);
        yield buffer.subarray(0, part.length);
      }
    },
  };
}

/** What the table holds, as text of its numbers with a decimal point, and the bytes that one writing makes of it. */
export interface WrittenLog {
  readonly timesS: readonly number[];
  readonly columns: readonly { readonly kind: Kind; readonly cells: readonly string[] }[];
  readonly bytes: Uint8Array;
  /** False where the dialect cannot carry the table without loss; then a refusal is the only right answer. */
  readonly text: string;
}

export function writeLog(writing: Writing): WrittenLog {
  const random = stream(writing.seed);
  const start = pickStart(writing.time, random);
  const stepMs = [10, 20, 40, 50, 100, 200][Math.floor(random() * 6)]!;
  const timesMs: number[] = [];
  let now = 0;
  for (let i = 0; i < writing.rows; i++) {
    timesMs.push(now);
    now += stepMs + (random() < 0.1 ? Math.round(stepMs * 0.3) : 0);
  }
  const offset = Math.floor(random() * kinds.length);
  const columns = Array.from({ length: writing.columns }, (_, c) => {
    const kind = kinds[(offset + c) % kinds.length]!;
    const places = kind.name.startsWith('Lambda') ? 3 : Math.floor(random() * 4);
    const cells = timesMs.map(() => {
      if (writing.blanks && writing.delimiter !== '   ' && random() < 0.15) return '';
      return numberText(kind.low + (kind.high - kind.low) * random(), places, writing.numbers);
    });
    return { kind, cells };
  });
  const usable =
    writing.encoding === 'windows-1252'
      ? columns.map((column) => (column.kind.unit === 'λ' ? { ...column, kind: { ...column.kind, unit: '' } } : column))
      : columns;
  const text = compose(writing, timesMs, start, usable, random);
  return { timesS: timesMs.map((ms) => ms / 1000), columns: usable, bytes: encode(text, writing.encoding), text };
}

function compose(
  writing: Writing,
  timesMs: readonly number[],
  start: number,
  columns: WrittenLog['columns'],
  random: () => number,
): string {
  const { delimiter, decimal, lineEnd } = writing;
  const bracket = (unit: string) =>
    unit === '' ? '' : writing.units === 'brackets' ? ` [${unit}]` : writing.units === 'parentheses' ? ` (${unit})` : '';
  const timeUnit = writing.time === 's' ? 's' : writing.time === 'ms' ? 'ms' : '';
  const names = ['Time', ...columns.map(({ kind }) => kind.name)];
  const units = [timeUnit, ...columns.map(({ kind }) => kind.unit)];
  const marked = (cell: string) => (decimal === ',' ? cell.replace('.', ',') : cell);
  const quoted = (cell: string, always: boolean) => (always || cell.includes(delimiter) ? `"${cell}"` : cell);
  const close = writing.trailingDelimiter && delimiter !== '   ' ? delimiter : '';
  const line = (cells: readonly string[], always: boolean) => cells.map((cell) => quoted(cell, always)).join(delimiter) + close;
  const lines: string[] = [];
  if (writing.separatorLine && delimiter.length === 1) lines.push(`sep=${delimiter}`);
  for (let i = 0; i < writing.preamble; i++) lines.push(['Recorder: hillside two', 'Driver: nobody known', 'Weather: dry and calm'][i]!);
  lines.push(line(writing.units === 'row' ? names : names.map((name, i) => name + bracket(units[i]!)), writing.quoting !== 'none'));
  if (writing.units === 'row')
    lines.push(
      line(
        units.map((unit) => (unit === '' && delimiter === '   ' ? '-' : unit)),
        writing.quoting === 'all',
      ),
    );
  for (const [i, ms] of timesMs.entries()) {
    if (writing.comments && random() < 0.05) lines.push('# a note');
    lines.push(
      line([marked(timeText(writing.time, start, ms)), ...columns.map(({ cells }) => marked(cells[i]!))], writing.quoting === 'all'),
    );
  }
  return lines.join(lineEnd) + (writing.finalEnd ? lineEnd : '');
}

function pickStart(time: Writing['time'], random: () => number): number {
  if (time === 'epoch-ms' || time === 'epoch-s') return 1_777_746_000_000 + Math.floor(random() * 1e9);
  if (time === 's' || time === 'ms') return random() < 0.5 ? 0 : Math.floor(random() * 1e6);
  if (time === 'minutes') return Math.floor(random() * 1000) * 1000;
  return Math.floor(random() * 80_000) * 1000;
}

function timeText(time: Writing['time'], start: number, ms: number): string {
  const all = start + ms;
  const pad = (value: number, length = 2) => String(value).padStart(length, '0');
  const hours = Math.floor(all / 3_600_000) % 24;
  const minutes = Math.floor(all / 60_000) % 60;
  const seconds = `${pad(Math.floor(all / 1000) % 60)}.${pad(all % 1000, 3)}`;
  switch (time) {
    case 's':
      return (all / 1000).toFixed(3);
    case 'ms':
    case 'epoch-ms':
      return String(all);
    case 'epoch-s':
      return (all / 1000).toFixed(3);
    case 'clock':
      return `${pad(hours)}:${pad(minutes)}:${seconds}`;
    case 'clock-12':
      return `${hours % 12 === 0 ? 12 : hours % 12}:${pad(minutes)}:${seconds} ${hours < 12 ? 'AM' : 'PM'}`;
    case 'minutes':
      return `${Math.floor(all / 60_000)}:${seconds}`;
    case 'iso':
      return `2026-05-02T${pad(hours)}:${pad(minutes)}:${seconds}Z`;
  }
}

function numberText(value: number, places: number, form: Writing['numbers']): string {
  const plain = value.toFixed(places);
  if (form === 'exponent') return value.toExponential(Math.max(1, places));
  if (form === 'signed') return plain.startsWith('-') ? plain : `+${plain}`;
  if (form === 'bare') return plain.replace(/^(-?)0\./, '$1.');
  return plain;
}

function encode(text: string, encoding: Writing['encoding']): Uint8Array {
  if (encoding === 'utf-8') return utf8(text);
  if (encoding === 'utf-8 mark') return utf8(`\ufeff${text}`);
  if (encoding === 'windows-1252') return latin1(text);
  return utf16(text, encoding === 'utf-16be mark', encoding !== 'utf-16le');
}

function stream(seed: number): () => number {
  let state = seed >>> 0;
  return () => {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
    return state / 4294967296;
  };
}
