import { type Place, PullproofError } from '../findings/index.js';
import { type Quantity, quantityUnits } from '../log/index.js';
import { type CompiledPart, compileTree } from './compileFormula.js';
import type { FormulaSource } from './formulaFault.js';
import { formulaFunctions } from './formulaFunctions.js';
import { formulaLimits } from './formulaLimits.js';
import { type FormulaNames, type FormulaToken, formulaTokens } from './formulaTokens.js';
import { type FormulaParser, formulaTree } from './formulaTree.js';
import { shownUnit, type UnitPowers, unitOfQuantity } from './formulaUnit.js';

/** A formula that was read and whose units fit, ready to be worked out on a log. */
export interface Formula {
  /** As its author calls it. */
  readonly name: string;
  readonly text: string;
  /** Unit of the result: SI, but engine speeds in rpm and angles in deg; `1` for a plain number. */
  readonly unit: string;
  /** Names in it, quantities and formulas above, in the order of the text. */
  readonly names: readonly string[];
  /** @internal */
  readonly compiled: CompiledPart;
}

/** Formulas by name, in an order in which each may use the ones before it. */
export type NamedFormulas = Readonly<Record<string, string>> | ReadonlyMap<string, string>;

/** How quantities are called in a formula: `manifold_pressure`. */
const quantityNames: ReadonlyMap<string, Quantity> = new Map(
  (Object.keys(quantityUnits) as Quantity[]).map((quantity) => [quantity.replaceAll('-', '_'), quantity]),
);

const functionNames: ReadonlySet<string> = new Set(formulaFunctions.keys());

/**
 * Reads formulas over the quantities of a log and checks their units.
 *
 * A formula is made of numbers, with a unit of the trial file behind them where they have one (`5 kPa`, `720 deg`), names of quantities with underscores
 * (`manifold_pressure`), names of formulas above it, `+ - * / ^`, brackets, and the functions abs, sqrt, exp, log (natural), log10, sin, cos, tan, atan, min, max,
 * `smooth(x, 0.4 s)` and `rate(x, 0.4 s)`: value and rate of change of a quadratic fitted around each sample. Anything else is refused.
 * Angle counts as a unit of its own: engine speed times time is an angle, and `injector_pulse_width * engine_speed / 720 deg` a plain number.
 *
 * @param formulas names and formulas, the earlier ones first
 * @param parser from {@link loadFormulaParser}
 * @param options `where`: place that messages begin with
 * @returns the formulas with their units, in the same order
 * @throws E_FORMULA with `where.character` and the part that is meant: a name, function or sign that is not known, units that do not fit, a formula that needs one
 * further down, or one beyond the limits (1,000 characters, 250 numbers, names and signs, brackets 30 deep, 100 formulas)
 *
 * Validity: temperatures are absolute; one in °C or °F may be taken from another, divided by, or stand in min and max, never added or multiplied.
 *
 * @example
 * ```ts
 * import { compileFormulas, loadFormulaParser } from '@pullproof/core';
 * const parser = await loadFormulaParser();
 * const [boost, build] = compileFormulas({ boost: 'manifold_pressure - barometric_pressure', build: 'rate(boost, 0.4 s)' }, parser);
 * boost?.unit; // => 'Pa'
 * build?.unit; // => 'Pa/s'
 * compileFormulas({ wrong: 'manifold_pressure + 3 K' }, parser); // => throws E_FORMULA
 * ```
 */
export function compileFormulas(
  formulas: NamedFormulas,
  parser: FormulaParser,
  options: { readonly where?: (name: string) => Place } = {},
): readonly Formula[] {
  const { where = (name: string): Place => ({ field: name }) } = options;
  const taken = formulaTexts(formulas, where);
  const units = new Map<string, UnitPowers>([...quantityNames].map(([name, quantity]) => [name, unitOfQuantity(quantity).powers]));
  return taken.map(({ name, text, tokens, source }): Formula => {
    const compiled = compileTree(formulaTree(source, tokens, parser), source, (used) => units.get(used)!);
    const used = [...new Set(tokens.flatMap((token) => (token.kind === 'name' ? [token.name] : [])))];
    units.set(formulaName(name), compiled.powers);
    return {
      name,
      text,
      unit: shownUnit(compiled.powers).symbol,
      names: used,
      compiled,
    };
  });
}

interface ReadFormula {
  readonly name: string;
  readonly text: string;
  readonly tokens: readonly FormulaToken[];
  readonly source: FormulaSource;
}

/**
 * Takes formulas apart as far as that needs no parser: every name, number and sign is then known.
 *
 * @throws E_FORMULA with the place
 */
export function formulaTexts(formulas: NamedFormulas, where: (name: string) => Place): ReadFormula[] {
  const entries = formulas instanceof Map ? [...(formulas as ReadonlyMap<string, string>)] : Object.entries(formulas);
  if (entries.length > formulaLimits.formulas) {
    throw new PullproofError(
      'E_FORMULA',
      `${entries.length} formulas are given; at most ${formulaLimits.formulas} are read.`,
      where(entries[formulaLimits.formulas]![0]),
      'Take out those that are not needed.',
    );
  }
  const later = new Set(entries.map(([name]) => formulaName(name)));
  const earlier = new Set<string>();
  return entries.map(([name, text]) => {
    const place = where(name);
    checkName(name, earlier, place);
    const names: FormulaNames = { quantities: new Set(quantityNames.keys()), functions: functionNames, earlier, later };
    const source: FormulaSource = { text, where: place };
    const tokens = formulaTokens(source, names);
    earlier.add(formulaName(name));
    later.delete(formulaName(name));
    return { name, text, tokens, source };
  });
}

/** How a formula is called by those below it: `pressure-ratio` as `pressure_ratio`. */
export function formulaName(name: string): string {
  return name.replaceAll(/[ -]/g, '_');
}

function checkName(name: string, earlier: ReadonlySet<string>, where: Place): void {
  const refuse = (what: string, fix: string): never => {
    throw new PullproofError('E_FORMULA', what, where, fix);
  };
  const shown = JSON.stringify(name.length > 60 ? `${name.slice(0, 57)}…` : name);
  if (name.length > 60 || !/^\p{L}[\p{L}\p{N}]*(?:[ _-][\p{L}\p{N}]+)*$/u.test(name)) {
    refuse(
      `${shown} cannot be the name of a formula.`,
      'Begin with a letter and go on with letters, digits and single hyphens, at most 60 in all.',
    );
  }
  const called = formulaName(name);
  if (quantityNames.has(called) || functionNames.has(called))
    refuse(`${shown} already means something in formulas.`, 'Choose another name.');
  if (earlier.has(called)) refuse(`Two formulas are called ${called}.`, 'Give each its own name.');
}

/** Quantity by the name that formulas use, undefined for the name of a formula. */
export function quantityNamed(name: string): Quantity | undefined {
  return quantityNames.get(name);
}
