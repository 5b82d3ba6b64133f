/** A time as a cell may hold it. `clock`: time of day or elapsed h:m:s; `minutes`: m:s; `date-time`: with a date; `date`: a date alone. */
export type ClockForm = 'clock' | 'clock-12' | 'minutes' | 'date-time' | 'date';

export interface ClockReading {
  readonly form: ClockForm;
  /** Days since 1970-01-01 for forms with a date, 0 otherwise. Kept apart from the seconds, whose last figures would be lost beside them. */
  readonly days: number;
  /** Seconds since midnight or since the start; may pass a day where a zone moves it. */
  readonly seconds: number;
}

const clock = /^(\d{1,3}):(\d{2}):(\d{2})(?:[.,](\d*)|:(\d{3}))?(?:\s*([ap])\.?m\.?)?$/i;
const minutes = /^(\d{1,4}):(\d{2})(?:[.,](\d*))?(?:\s*([ap])\.?m\.?)?$/i;
const isoDate = /^(\d{4})[-/.](\d{1,2})[-/.](\d{1,2})$/;
const otherDate = /^(\d{1,2})([-/.])(\d{1,2})\2(\d{4}|\d{2})$/;
const zone = /\s*(?:Z|UTC|GMT|([+-])(\d{2}):?(\d{2}))$/i;

/**
 * Reads a clock time, an elapsed time or a date with a time: `19:05:25.389`, `7:05:25 pm`, `05:25.4`, `2026-05-02T18:20:00Z`, `02.05.2026 18:20:00`,
 * `14-Nov-2026 14:05:12.005`, `Sat Nov 14 14:05:12 GMT 2026`.
 *
 * A date with slashes is month first where the first figure cannot be a month number's opposite; only differences of such times are ever used.
 * @returns the reading, or null when the text is none of these or out of range (minute 75 of an h:m:s)
 */
export function readClock(text: string): ClockReading | null {
  const first = text.charCodeAt(0);
  if (text.length < 4 || text.length > 40) return null;
  if (first < 48 || first > 57) return /^\p{L}{3,}/u.test(text) ? namedDate(text) : null;
  const plain = clockSeconds(text);
  if (plain !== null) return plain;
  if (/\p{L}{3}/u.test(text)) {
    const named = namedDate(text);
    if (named !== null) return named;
  }
  const split = /^(\S+?)(?:T|,?\s+)(\d.*)$/.exec(text);
  if (split === null) {
    const days = dayNumber(text, false);
    return days === null ? null : { form: 'date', days, seconds: 0 };
  }
  let rest = split[2]!;
  let offset = 0;
  const zoned = zone.exec(rest);
  if (zoned !== null) {
    rest = rest.slice(0, zoned.index);
    if (zoned[1] !== undefined) offset = (zoned[1] === '-' ? 1 : -1) * (Number(zoned[2]) * 3600 + Number(zoned[3]) * 60);
  }
  const time = clockSeconds(rest);
  if (time === null || time.form === 'minutes') return null;
  const days = dayNumber(split[1]!, time.form === 'clock-12');
  return days === null ? null : { form: 'date-time', days, seconds: time.seconds + offset };
}

/** The first letters of the months, in English, German, French, Spanish, Italian and Portuguese. */
const months: readonly RegExp[] = [
  /^(?:jan|ene|gen)/,
  /^(?:feb|fev)/,
  /^(?:mar|mrz|maer)/,
  /^(?:apr|avr|abr)/,
  /^(?:may|mai|mag)/,
  /^(?:jun|juin|giu)/,
  /^(?:jul|juil|lug)/,
  /^(?:aug|aou|ago)/,
  /^(?:sep|set)/,
  /^(?:oct|okt|ott|out)/,
  /^nov/,
  /^(?:dec|dez|dic)/,
];

/** A date with the month, and perhaps the day of the week, by name; the zone by name moves nothing, as only differences are used. */
function namedDate(text: string): ClockReading | null {
  const time = /(?<![\d:])\d{1,2}:\d{2}:\d{2}(?:[.,:]\d+)?(?:\s*[ap]\.?m\.?)?(?![\d:])/i.exec(text);
  const seconds = time === null ? null : clockSeconds(time[0]);
  if (time !== null && seconds === null) return null;
  const rest = time === null ? text : `${text.slice(0, time.index)} ${text.slice(time.index + time[0].length)}`;
  const plain = rest.normalize('NFKD').replace(/\p{M}/gu, '').toLowerCase();
  const words = plain.split(/[\s,./-]+/).filter((word) => word !== '');
  let month = 0;
  const numbers: number[] = [];
  for (const word of words) {
    const at = months.findIndex((name) => name.test(word));
    if (at >= 0 && month === 0) month = at + 1;
    else if (/^\d{1,4}(?:st|nd|rd|th)?$/.test(word)) numbers.push(Number.parseInt(word, 10));
    else if (!/^(?:[a-z]{2,10}|z|(?:gmt|utc)?[+-]?\d{2}:?\d{2})$/.test(word)) return null;
  }
  if (month === 0 || numbers.length !== 2) return null;
  const [day, year] = numbers[0]! > 31 ? [numbers[1]!, numbers[0]!] : [numbers[0]!, numbers[1]!];
  const number = days(year < 100 ? year + 2000 : year, month, day);
  if (number === null) return null;
  return seconds === null ? { form: 'date', days: number, seconds: 0 } : { form: 'date-time', days: number, seconds: seconds.seconds };
}

function clockSeconds(text: string): ClockReading | null {
  const long = clock.exec(text);
  if (long !== null) {
    const [, hour, minute, second, fraction, millis, half] = long;
    if (Number(minute) > 59 || Number(second) > 60) return null;
    const seconds = Number(minute) * 60 + Number(`${second}.${fraction ?? millis ?? ''}`);
    return withHalf(Number(hour), seconds, half);
  }
  const short = minutes.exec(text);
  if (short === null) return null;
  const [, first, second, fraction, half] = short;
  if (Number(second) > 59) return null;
  if (half !== undefined) return withHalf(Number(first), Number(second) * 60, half);
  return { form: 'minutes', days: 0, seconds: Number(first) * 60 + Number(`${second}.${fraction ?? ''}`) };
}

function withHalf(hour: number, seconds: number, half: string | undefined): ClockReading | null {
  if (half === undefined) return { form: 'clock', days: 0, seconds: hour * 3600 + seconds };
  if (hour < 1 || hour > 12) return null;
  return { form: 'clock-12', days: 0, seconds: ((hour % 12) + (half.toLowerCase() === 'p' ? 12 : 0)) * 3600 + seconds };
}

function dayNumber(text: string, monthFirst: boolean): number | null {
  const iso = isoDate.exec(text);
  if (iso !== null) return days(Number(iso[1]), Number(iso[2]), Number(iso[3]));
  const other = otherDate.exec(text);
  if (other === null) return null;
  const a = Number(other[1]);
  const b = Number(other[3]);
  const year = Number(other[4]) + (other[4]!.length === 2 ? 2000 : 0);
  const swapped = other[2] === '/' ? b > 12 || (monthFirst && a <= 12) : false;
  return swapped ? days(year, a, b) : days(year, b, a);
}

function days(year: number, month: number, day: number): number | null {
  if (month < 1 || month > 12 || day < 1 || day > 31) return null;
  return Date.UTC(year, month - 1, day) / 86_400_000;
}
