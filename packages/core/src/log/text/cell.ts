import { findUnit } from '../../units/index.js';
import { readClock } from './clock.js';

/** What a cell holds. Stored one byte a cell once a column holds anything but plain numbers. */
export const cellKinds = {
  number: 0,
  blank: 1,
  missing: 2,
  clock: 3,
  clock12: 4,
  minutes: 5,
  dateTime: 6,
  date: 7,
  state: 8,
  withUnit: 9,
  text: 10,
  outOfRange: 11,
  imprecise: 12,
} as const;

export type CellKind = (typeof cellKinds)[keyof typeof cellKinds];

const clockKinds = {
  clock: cellKinds.clock,
  'clock-12': cellKinds.clock12,
  minutes: cellKinds.minutes,
  'date-time': cellKinds.dateTime,
  date: cellKinds.date,
} as const;

/** Words that loggers write where there is no reading. */
const missingTokens: ReadonlySet<string> = new Set(
  'nan|-nan|+nan|nan(ind)|-nan(ind)|1.#qnan|-1.#ind|1.#inf|-1.#inf|inf|+inf|-inf|infinity|+infinity|-infinity|#n/a|n/a|na|#div/0!|#value!|#ref!|#null!|#num!|#name?|null|(null)|none|nil|undefined|-|--|---|----|-----|?|??|*|**|***|no data|nodata|invalid'.split(
    '|',
  ),
);

const states: ReadonlyMap<string, number> = new Map([
  ...'on|true|yes|open|active|enabled|ein|an|wahr|ja|oui|vrai|marche|encendido|verdadero|sí|acceso|vero|sì|ligado|verdadeiro|sim'
    .split('|')
    .map((word) => [word, 1] as const),
  ...'off|false|no|closed|inactive|disabled|aus|falsch|nein|non|faux|arrêt|apagado|falso|spento|desligado|não'
    .split('|')
    .map((word) => [word, 0] as const),
]);

const plainNumber = /^[+-]?(?:\d+(?:\.\d*)?|\.\d+)(?:[eE][+-]?\d+)?$/;
const leadingNumber = /^[+-]?(?:\d+[.,]?\d*|[.,]\d+)(?:[eE][+-]?\d+)?(?=\s*[^\d\s.,eE+-]|\s*[eE][a-zA-Z])/;

/** Reads one cell under a settled decimal mark. The outcome is in `kind`, `value` and `unit`: no object per cell. */
export class CellReader {
  kind: CellKind = cellKinds.blank;
  value: number = Number.NaN;
  unit = '';
  /** First day met: dates count from there. */
  private firstDay: number | null = null;
  private readonly decimal: '.' | ',';
  private readonly grouped: RegExp;

  constructor(decimal: '.' | ',') {
    this.decimal = decimal;
    this.grouped =
      decimal === '.'
        ? /^[+-]?\d{1,3}(?:([,'’\u00a0\u2009\u202f ])\d{3}(?:\1\d{3})*)(?:\.\d*)?$/
        : /^[+-]?\d{1,3}(?:([.'’\u00a0\u2009\u202f ])\d{3}(?:\1\d{3})*)(?:,\d*)?$/;
  }

  /** True when the text is a number in full under this decimal mark. */
  readNumber(text: string): boolean {
    const pointed = this.decimal === ',' ? (text.includes('.') ? '' : text.replace(',', '.')) : text;
    if (plainNumber.test(pointed)) {
      this.settle(Number(pointed), pointed);
      return true;
    }
    if (!this.grouped.test(text)) return false;
    const bare = this.decimal === '.' ? text.replace(/[^\d.+-]/g, '') : text.replace(/[^\d,+-]/g, '').replace(',', '.');
    this.settle(Number(bare), bare);
    return true;
  }

  read(raw: string): void {
    const text = raw.trim();
    this.unit = '';
    this.value = Number.NaN;
    if (text === '') {
      this.kind = cellKinds.blank;
      return;
    }
    if (this.readNumber(text)) return;
    const lower = text.toLowerCase();
    if (missingTokens.has(lower)) {
      this.kind = cellKinds.missing;
      return;
    }
    const state = states.get(lower);
    if (state !== undefined) {
      this.kind = cellKinds.state;
      this.value = state;
      return;
    }
    const time = readClock(text);
    if (time !== null) {
      this.kind = clockKinds[time.form];
      if (time.days !== 0) this.firstDay ??= time.days;
      this.value = (time.days - (time.days === 0 ? 0 : this.firstDay!)) * 86400 + time.seconds;
      return;
    }
    this.readWithUnit(text);
  }

  private readWithUnit(text: string): void {
    this.kind = cellKinds.text;
    const lead = text.length < 60 ? leadingNumber.exec(text) : null;
    if (lead === null) return;
    const unit = text.slice(lead[0].length).trim();
    if (findUnit(unit) === null || !this.readNumber(lead[0])) {
      this.kind = cellKinds.text;
      this.value = Number.NaN;
      return;
    }
    this.kind = cellKinds.withUnit;
    this.unit = unit;
  }

  private settle(value: number, text: string): void {
    if (!Number.isFinite(value)) {
      this.kind = cellKinds.outOfRange;
      this.value = Number.NaN;
      return;
    }
    this.value = value;
    this.kind = Math.abs(value) > Number.MAX_SAFE_INTEGER && /^[+-]?\d+(?:\.0*)?$/.test(text) ? cellKinds.imprecise : cellKinds.number;
  }
}
