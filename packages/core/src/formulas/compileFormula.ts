import { type FormulaSource, refuseFormula, type Span } from './formulaFault.js';
import { fittedOverTime, formulaFunctions, sampleFunction } from './formulaFunctions.js';
import type { FormulaTree } from './formulaTree.js';
import { isPlain, joinedPowers, plainPowers, raisedPowers, samePowers, shownUnit, type UnitPowers } from './formulaUnit.js';

/** Samples that a formula is worked out on. */
export interface FormulaSamples {
  readonly timeS: Float64Array;
  /** Index ranges [from, to) of samples that no gap parts. */
  readonly runs: readonly { readonly from: number; readonly to: number }[];
  /** Values of each name at the samples, base units. */
  readonly values: ReadonlyMap<string, Float64Array>;
}

/** A part of a formula with its unit, ready to be worked out; `constant` where it is the same at every sample. */
export interface CompiledPart {
  readonly powers: UnitPowers;
  readonly constant: number | null;
  readonly evaluate: (samples: FormulaSamples) => Float64Array;
  /** Steps for one sample, and widths of fits over time, s. */
  readonly steps: number;
  readonly widthsS: readonly number[];
}

/** Checks the units of a formula and makes it ready. */
export function compileTree(tree: FormulaTree, source: FormulaSource, unitOf: (name: string) => UnitPowers): CompiledPart {
  const compile = (part: FormulaTree): CompiledPart => {
    switch (part.kind) {
      case 'number':
        return constantPart(part.value.valueBase, part.value.powers);
      case 'name':
        return {
          powers: unitOf(part.name),
          constant: null,
          evaluate: ({ values }) => values.get(part.name)!,
          steps: 1,
          widthsS: [],
        };
      case 'sign': {
        refuseScale(part.of, source);
        const inner = compile(part.of);
        return part.sign === '+' ? inner : each([inner], inner.powers, (value) => -value, { span: part, source });
      }
      case 'pair':
        return pairPart(part, source, compile);
      case 'call':
        return callPart(part, source, compile);
    }
  };
  return compile(tree);
}

type Compile = (part: FormulaTree) => CompiledPart;

function pairPart(part: Extract<FormulaTree, { kind: 'pair' }>, source: FormulaSource, compile: Compile): CompiledPart {
  const left = compile(part.left);
  const right = compile(part.right);
  const place = { span: part, source };
  if (part.sign === '+' || part.sign === '*') {
    refuseScale(part.left, source);
    refuseScale(part.right, source);
  }
  switch (part.sign) {
    case '+':
    case '-': {
      if (!samePowers(left.powers, right.powers)) {
        const verb = part.sign === '+' ? ['added', 'to'] : ['taken', 'from'];
        refuseFormula(
          source,
          part.right,
          `${unitWords(right.powers)} cannot be ${verb[0]} ${verb[1]} ${unitWords(left.powers)}.`,
          'Use quantities of one kind, or multiply by what turns one into the other.',
        );
      }
      return each([left, right], left.powers, part.sign === '+' ? (a, b) => a + b : (a, b) => a - b, place);
    }
    case '*':
      return each([left, right], joinedPowers(left.powers, right.powers, 1), (a, b) => a * b, place);
    case '/':
      return each([left, right], joinedPowers(left.powers, right.powers, -1), (a, b) => a / b, place);
    case '^': {
      if (!isPlain(right.powers))
        refuseFormula(source, part.right, `a power is a plain number, not ${unitWords(right.powers)}.`, 'Divide it by its unit first.');
      if (isPlain(left.powers)) return each([left, right], plainPowers, (a, b) => a ** b, place);
      if (right.constant === null)
        refuseFormula(
          source,
          part.right,
          `the power of ${unitWords(left.powers)} must be a fixed number, or its unit would change from sample to sample.`,
          'Divide the base by a value of its kind first.',
        );
      if (!(Math.abs(right.constant) <= 6))
        refuseFormula(
          source,
          part.right,
          'the power of a quantity with a unit lies between -6 and 6.',
          'Divide the base by a value of its kind first.',
        );
      return each([left, right], raisedPowers(left.powers, right.constant), (a, b) => a ** b, place);
    }
  }
}

function callPart(part: Extract<FormulaTree, { kind: 'call' }>, source: FormulaSource, compile: Compile): CompiledPart {
  const called = formulaFunctions.get(part.name)!;
  const { least, most } = called.arguments;
  if (part.of.length < least || part.of.length > most) {
    const wanted = least === most ? `${least}` : `${least} to ${most}`;
    refuseFormula(
      source,
      part,
      `${part.name} takes ${wanted} value${wanted === '1' ? '' : 's'}, and ${part.of.length} ${part.of.length === 1 ? 'is' : 'are'} given.`,
      part.name === 'rate' || part.name === 'smooth'
        ? `Say over how long: ${part.name}(engine_speed, 0.4 s).`
        : `Give ${wanted}, set apart by commas.`,
    );
  }
  const given = part.of.map(compile);
  const powers = given.map((one) => one.powers);
  const unit = called.unit(powers);
  if (typeof unit === 'string')
    refuseFormula(
      source,
      part,
      `${part.name} ${unit}; given is ${powers.map(unitWords).join(', ')}.`,
      'Check the units of what stands in the brackets.',
    );
  if (called.at !== null) return each(given, unit, sampleFunction(part.name, powers), { span: part, source });
  const [value, width] = given as [CompiledPart, CompiledPart];
  const widthS = width.constant;
  if (widthS === null || !(widthS > 0) || !(widthS <= widestS))
    refuseFormula(source, part.of[1]!, `the width is a fixed time above 0 s, at most ${widestS} s.`, 'Write it like 0.4 s.');
  const what = part.name as 'rate' | 'smooth';
  return {
    powers: unit,
    constant: null,
    evaluate: (samples) => fittedOverTime(what, samples.timeS, value.evaluate(samples), { runs: samples.runs, widthS }),
    steps: value.steps + 1,
    widthsS: [...value.widthsS, widthS],
  };
}

const widestS = 10;

/** A temperature in °C or °F is a point on a scale: nothing is added to it or multiplied by it without saying which of the two was meant. */
function refuseScale(part: FormulaTree, source: FormulaSource): void {
  if (part.kind !== 'number' || !part.value.onScale) return;
  refuseFormula(
    source,
    part satisfies Span,
    'it is a point on a temperature scale, which can be neither added nor multiplied.',
    'Write a step or a factor in K.',
  );
}

function constantPart(value: number, powers: UnitPowers): CompiledPart {
  return {
    powers,
    constant: value,
    evaluate: ({ timeS }) => new Float64Array(timeS.length).fill(value),
    steps: 1,
    widthsS: [],
  };
}

/** What has no finite value, such as a quotient by zero, is missing from there on. */
function finite(value: number): number {
  return Number.isFinite(value) ? value : Number.NaN;
}

/** Applies a function sample by sample; what does not change is worked out once. */
function each(
  parts: readonly CompiledPart[],
  powers: UnitPowers,
  at: (...values: number[]) => number,
  { span, source }: { readonly span: Span; readonly source: FormulaSource },
): CompiledPart {
  const constants = parts.map(({ constant }) => constant);
  if (constants.every((constant) => constant !== null)) {
    const value = at(...constants);
    if (!Number.isFinite(value))
      refuseFormula(source, span, 'it has no finite value.', 'Check for a division by zero or a number out of range.');
    return constantPart(value, powers);
  }
  return {
    powers,
    constant: null,
    evaluate: (samples) => {
      const inputs = parts.map((part) => part.evaluate(samples));
      const [a, b] = inputs;
      if (inputs.length === 1) return a!.map((value) => finite(at(value)));
      if (inputs.length === 2) return a!.map((value, i) => finite(at(value, b![i]!)));
      return a!.map((_, i) => finite(at(...inputs.map((input) => input[i]!))));
    },
    steps: 1 + parts.reduce((sum, part) => sum + part.steps, 0),
    widthsS: parts.flatMap((part) => part.widthsS),
  };
}

function unitWords(powers: UnitPowers): string {
  return isPlain(powers) ? 'a plain number' : `a value in ${shownUnit(powers).symbol}`;
}
