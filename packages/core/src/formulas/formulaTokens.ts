import { nearestName } from '../findings/index.js';
import { type FormulaSource, refuseFormula, type Span } from './formulaFault.js';
import { formulaLimits } from './formulaLimits.js';
import { plainPowers, type UnitValue, valueInUnit } from './formulaUnit.js';

/** A number with its unit, a name, or a sign. */
export type FormulaToken =
  | (Span & { readonly kind: 'number'; readonly value: UnitValue })
  | (Span & { readonly kind: 'name'; readonly name: string })
  | (Span & { readonly kind: 'function'; readonly name: string })
  | (Span & { readonly kind: 'sign'; readonly sign: Sign });

type Sign = '+' | '-' | '*' | '/' | '^' | '(' | ')' | ',';

/** Names that a formula may use. */
export interface FormulaNames {
  readonly quantities: ReadonlySet<string>;
  readonly functions: ReadonlySet<string>;
  /** Calculated names that stand further up. */
  readonly earlier: ReadonlySet<string>;
  /** Calculated names that stand here or further down. */
  readonly later: ReadonlySet<string>;
}

const number = /(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d+)?/y;
const name = /[\p{L}_][\p{L}\p{N}_]*/uy;
const blank = /\s+/y;
/** What the text of a unit is made of; a minus or a point would join it to what follows. */
const unitText = /[\p{L}°µ%‰][\p{L}\p{N}°µ%‰²³/^() ]*/uy;

/**
 * Takes a formula apart and refuses whatever is no number, known name or sign: no text that is not known here goes any further.
 *
 * @throws E_FORMULA with the place
 */
export function formulaTokens(source: FormulaSource, names: FormulaNames): FormulaToken[] {
  const { text } = source;
  if (text.length > formulaLimits.characters) {
    const span = { from: formulaLimits.characters, to: formulaLimits.characters };
    refuseFormula(
      source,
      span,
      `the formula has ${text.length} characters; at most ${formulaLimits.characters} are read.`,
      'Split it: a formula may use the ones above it.',
    );
  }
  const tokens: FormulaToken[] = [];
  let depth = 0;
  let at = 0;
  while (at < text.length) {
    const space = matchAt(blank, text, at);
    if (space !== null) {
      at += space.length;
      continue;
    }
    const token = tokenAt(source, at, names);
    if (token.kind === 'sign' && token.sign === '(') depth++;
    if (token.kind === 'sign' && token.sign === ')') depth--;
    if (depth > formulaLimits.depth)
      refuseFormula(source, token, `brackets lie more than ${formulaLimits.depth} deep.`, 'Split it: a formula may use the ones above it.');
    if (tokens.length === formulaLimits.tokens) {
      refuseFormula(
        source,
        token,
        `the formula has more than ${formulaLimits.tokens} numbers, names and signs.`,
        'Split it: a formula may use the ones above it.',
      );
    }
    checkNeighbours(source, tokens.at(-1), token);
    tokens.push(token);
    at = token.to;
  }
  if (tokens.length === 0)
    refuseFormula(source, { from: 0, to: 0 }, 'there is no formula.', 'Write one, such as manifold_pressure / barometric_pressure.');
  const last = tokens.at(-1)!;
  if (last.kind === 'function') refuseFormula(source, last, 'the function stands without brackets.', `Write ${last.name}(…).`);
  return tokens;
}

function tokenAt(source: FormulaSource, from: number, names: FormulaNames): FormulaToken {
  const { text } = source;
  const digits = matchAt(number, text, from);
  if (digits !== null) return numberAt(source, from, digits, names);
  const word = matchAt(name, text, from);
  if (word !== null) return nameAt(source, { from, to: from + word.length }, word, names);
  const sign = text[from]!;
  if ('+-*/^(),'.includes(sign)) return { kind: 'sign', sign: sign as Sign, from, to: from + 1 };
  const whole = String.fromCodePoint(text.codePointAt(from)!);
  return refuseFormula(
    source,
    { from, to: from + whole.length },
    'it has no meaning in a formula.',
    'A formula is made of numbers with their units, names of quantities, + - * / ^, brackets and the functions that are known.',
  );
}

function numberAt(source: FormulaSource, from: number, digits: string, names: FormulaNames): FormulaToken {
  const { text } = source;
  const end = from + digits.length;
  const value = Number(digits);
  if (!Number.isFinite(value)) refuseFormula(source, { from, to: end }, 'the number is too large.', 'Use a larger unit.');
  const start = end + (matchAt(blank, text, end)?.length ?? 0);
  const unit = unitAt(text, start, names);
  if (unit === null) return { kind: 'number', value: { valueBase: value, powers: plainPowers, onScale: false }, from, to: end };
  const to = start + unit.length;
  if (text.startsWith('^', to + (matchAt(blank, text, to)?.length ?? 0)))
    refuseFormula(
      source,
      { from, to },
      'a power behind a unit may mean the unit or the whole.',
      `Write (${text.slice(from, to)})^…, with brackets.`,
    );
  const inUnit = valueInUnit(value, unit)!;
  if (!Number.isFinite(inUnit.valueBase)) refuseFormula(source, { from, to }, 'the number is too large.', 'Use a larger unit.');
  return { kind: 'number', value: inUnit, from, to };
}

/** The longest text behind a number that is a unit; null where there is none. */
function unitAt(text: string, at: number, { quantities, earlier }: FormulaNames): string | null {
  const word = matchAt(name, text, at);
  if (word !== null && (quantities.has(word) || earlier.has(word))) return null;
  const longest = matchAt(unitText, text, at)?.slice(0, 30) ?? '';
  for (let length = longest.length; length > 0; length--) {
    const unit = longest.slice(0, length);
    const cutsWord = /[\p{L}\p{N}_]$/u.test(unit) && /^[\p{L}\p{N}_]/u.test(text.slice(at + length));
    if (cutsWord || /[\s/^(]$/.test(unit) || unit.split('(').length !== unit.split(')').length) continue;
    if (valueInUnit(1, unit) !== null) return unit;
  }
  return null;
}

function nameAt(source: FormulaSource, span: Span, word: string, names: FormulaNames): FormulaToken {
  const behind = span.to + (matchAt(blank, source.text, span.to)?.length ?? 0);
  const called = source.text[behind] === '(';
  if (called && names.functions.has(word)) return { kind: 'function', name: word, ...span };
  if (called) return refuseFormula(source, span, 'it is no function that is known here.', knownFix(word, names.functions, 'functions'));
  if (names.quantities.has(word) || names.earlier.has(word)) return { kind: 'name', name: word, ...span };
  if (names.functions.has(word)) return refuseFormula(source, span, 'the function stands without brackets.', `Write ${word}(…).`);
  if (names.later.has(word)) {
    return refuseFormula(
      source,
      span,
      'it is calculated here or further down, and a formula may use only what stands above it.',
      'Move it up, unless the two need each other.',
    );
  }
  const hyphened = /^[\p{L}\p{N}_-]+/u.exec(source.text.slice(span.from))![0].replaceAll('-', '_');
  const meant = [...names.quantities, ...names.earlier].find((known) => hyphened === known || hyphened.startsWith(`${known}_`));
  if (meant?.startsWith(`${word}_`)) return refuseFormula(source, span, 'a hyphen is a minus here.', `Write ${meant}.`);
  return refuseFormula(
    source,
    span,
    'no quantity of that name is known here.',
    knownFix(word, new Set([...names.quantities, ...names.earlier]), 'names'),
  );
}

function knownFix(word: string, known: ReadonlySet<string>, what: string): string {
  const nearest = nearestName(word, [...known]);
  return nearest === null || !known.has(nearest)
    ? `The ${what} known here are ${[...known].join(', ')}.`
    : `The nearest one is ${nearest}.`;
}

/** Two operands need a sign between them; nothing is multiplied by standing side by side. */
function checkNeighbours(source: FormulaSource, before: FormulaToken | undefined, token: FormulaToken): void {
  const ends =
    before !== undefined && (before.kind === 'number' || before.kind === 'name' || (before.kind === 'sign' && before.sign === ')'));
  const begins = token.kind !== 'sign' || token.sign === '(';
  if (!ends || !begins) return;
  const fix =
    before.kind === 'number' && token.kind === 'name'
      ? 'Put a sign between them, such as *; units are those of the trial file.'
      : 'Put a sign between them, such as *.';
  refuseFormula(source, token, 'it stands behind another value without a sign between them.', fix);
}

function matchAt(pattern: RegExp, text: string, at: number): string | null {
  pattern.lastIndex = at;
  return pattern.exec(text)?.[0] ?? null;
}
