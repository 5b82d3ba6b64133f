import { type Place, PullproofError } from '../findings/index.js';

/** Where in a formula something stands: index of its first character and of the first one behind it. */
export interface Span {
  readonly from: number;
  readonly to: number;
}

/** A formula as it is being read: its text, and the place that messages name. */
export interface FormulaSource {
  readonly text: string;
  readonly where: Place;
}

/** Stops with what is wrong in a formula, quoting the part that is meant and its first character. */
export function refuseFormula(source: FormulaSource, span: Span, what: string, fix: string): never {
  const part = source.text.slice(span.from, span.to);
  const quoted = part.length > 40 ? `${part.slice(0, 37)}…` : part;
  const place = part === '' ? `At character ${span.from + 1}` : `At character ${span.from + 1}, "${quoted}"`;
  throw new PullproofError('E_FORMULA', `${place}: ${what}`, { ...source.where, character: span.from + 1 }, fix);
}
