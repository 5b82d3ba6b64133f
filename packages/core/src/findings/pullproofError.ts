import type { Finding, Place } from './finding.js';

/** The one error that Pullproof throws on purpose: an input that cannot be used. A defect of the data that can be lived with is a {@link Finding} instead. */
export class PullproofError extends Error {
  readonly code: string;
  readonly what: string;
  readonly where: Place;
  readonly fix: string;

  constructor(code: string, what: string, where: Place, fix: string) {
    super(`${placeText(where)}${what} ${fix} [${code}]`);
    this.name = 'PullproofError';
    this.code = code;
    this.what = what;
    this.where = where;
    this.fix = fix;
  }

  /** The same as plain data, to stand in a result. */
  toFinding(): Finding {
    return { code: this.code, severity: 'error', message: this.what, where: this.where, fix: this.fix };
  }
}

/** A place as people read it, ending in `: `, or nothing where no place is known. */
export function placeText(where: Place): string {
  const parts: string[] = [];
  if (where.path !== undefined) parts.push(where.path);
  if (where.line !== undefined) parts.push(`line ${where.line}`);
  if (where.row !== undefined) parts.push(`row ${where.row}`);
  if (where.field !== undefined) parts.push(where.field);
  const head = parts.join(' ');
  const channel = where.channel === undefined ? '' : `${head === '' ? '' : ', '}column ${where.channel}`;
  return head === '' && channel === '' ? '' : `${head}${channel}: `;
}
