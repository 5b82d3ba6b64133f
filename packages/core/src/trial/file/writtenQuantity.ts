import { PullproofError } from '../../findings/index.js';
import { type Dimension, parseQuantity, systemOf, type Unit } from '../../units/index.js';
import { FieldProblem } from './fieldProblem.js';
import type { Written } from './trialFile.js';

/** What a quantity of the trial file may be. */
export interface QuantityRule {
  readonly dimension: Dimension;
  /** For people, lower case: `a rolling radius`. */
  readonly what: string;
  /** Smallest and largest value that can be meant, SI; outside it the unit is evidently wrong. */
  readonly low: number;
  readonly high: number;
  readonly examples: readonly string[];
}

/** Reads `number unit` within what is possible, or says why it cannot. */
export function readWritten(input: unknown, rule: QuantityRule): Written {
  if (typeof input !== 'string' && typeof input !== 'number') {
    throw new FieldProblem('E_TRIAL_VALUE', `A number and a unit are needed for ${rule.what}.`, `Write it like ${rule.examples[0]}.`);
  }
  const text = String(input).trim();
  const { valueSi, unit, reference } = parsed(text, rule);
  if (reference === 'gauge') {
    throw new FieldProblem(
      'E_TRIAL_REFERENCE',
      `${text} is a gauge pressure; ${rule.what} is absolute.`,
      'Add the air pressure to it and write abs.',
    );
  }
  if (!(valueSi >= rule.low && valueSi <= rule.high)) {
    throw new FieldProblem(
      'E_TRIAL_IMPLAUSIBLE',
      `${text} cannot be meant: ${rule.what} lies between ${inUnit(rule.low, unit)} and ${inUnit(rule.high, unit)}.`,
      'Check the number and its unit.',
    );
  }
  return { si: valueSi, text, system: systemOf(unit) };
}

function parsed(text: string, rule: QuantityRule): ReturnType<typeof parseQuantity> {
  if (/^[+-]?[\d.]+$/.test(text)) {
    const examples = rule.examples.join(' or ');
    throw new FieldProblem('E_UNIT_MISSING', `${text} has no unit; ${rule.what} needs one.`, `Write it like ${examples}.`);
  }
  try {
    return parseQuantity(text, rule.dimension, {});
  } catch (problem) {
    if (problem instanceof PullproofError) throw new FieldProblem(problem.code, problem.what, problem.fix);
    throw problem;
  }
}

function inUnit(valueSi: number, unit: Unit): string {
  return `${Number(unit.fromSi(valueSi).toPrecision(3))} ${unit.symbol}`;
}
