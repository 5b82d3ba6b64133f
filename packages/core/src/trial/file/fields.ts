import { z } from 'zod';
import { nearestName } from '../../findings/index.js';
import { FieldProblem } from './fieldProblem.js';
import type { FromCoastDowns, FuelLevel, Written } from './trialFile.js';
import { type QuantityRule, readWritten } from './writtenQuantity.js';

/** Building blocks of the trial file's schema: each reads one field, says what is wrong in plain words, and describes itself for editors. */

/** A field read by a function of our own; the function throws FieldProblem. */
export function field<T>(read: (input: unknown) => T, describedAs: Record<string, unknown>): z.ZodType<T> {
  return z
    .unknown()
    .meta(describedAs)
    .transform((input, context): T => {
      try {
        if (input === undefined) throw new FieldProblem('E_TRIAL_MISSING', 'It is missing.', 'Add it.');
        if (input === null) throw new FieldProblem('E_TRIAL_MISSING', 'It is empty.', 'Give a value or take the line out.');
        return read(input);
      } catch (problem) {
        if (!(problem instanceof FieldProblem)) throw problem;
        context.addIssue({
          code: 'custom',
          message: problem.message,
          path: [...problem.below],
          params: { code: problem.code, fix: problem.fix },
        });
        return z.NEVER;
      }
    });
}

/** An object whose keys are all known; any other key is an error that names the nearest one. */
export function knownKeys<Shape extends z.ZodRawShape>(shape: Shape, description?: string): z.ZodObject<Shape, z.core.$strict> {
  const keys = Object.keys(shape);
  const object = z.strictObject(shape, {
    error: (issue) => {
      if (issue.code !== 'unrecognized_keys') return undefined;
      const key = String(issue.keys[0]);
      const nearest = nearestName(key, keys);
      return nearest === null
        ? `The keys known here are ${keys.join(', ')}.`
        : `The nearest known key is ${nearest}: write that, or take the line out.`;
    },
  });
  return description === undefined ? object : object.meta({ description });
}

/** A group of keys that may be absent, or stand empty once all of its lines are taken out. */
export function group<T>(keys: z.ZodType<T>): z.ZodType<T | undefined> {
  return keys.nullish().transform((value) => value ?? undefined);
}

/** A quantity with its unit, within what is possible for it. */
export function quantity(rule: QuantityRule): z.ZodType<Written> {
  return field((input) => readWritten(input, rule), quantityDescription(rule));
}

function quantityDescription(rule: QuantityRule): Record<string, unknown> {
  return {
    type: 'string',
    description: `${sentenceCase(rule.what)}: a number and its unit.`,
    pattern: '^\\s*[+\\-−]?[0-9.][0-9.,eE+\\-]*\\s*[^0-9\\s].*$',
    examples: [...rule.examples],
  };
}

/** A quantity, or the words that leave it to the coast-downs in the logs. */
export function quantityOrCoastDowns(
  read: (input: unknown) => Written,
  what: string,
  jsonType: string,
): z.ZodType<Written | FromCoastDowns> {
  return field((input) => (isCoastDowns(input) ? 'from coast-downs' : read(input)), {
    anyOf: [{ type: jsonType }, { const: 'from coast-downs' }],
    description: `${sentenceCase(what)}, or: from coast-downs.`,
  });
}

function isCoastDowns(input: unknown): boolean {
  return typeof input === 'string' && /^from coast-?downs?$/i.test(input.trim());
}

const volumeInTank: QuantityRule = {
  dimension: 'volume',
  what: 'fuel in the tank',
  low: 0,
  high: 0.3,
  examples: ['40 L', '9 gal', '50 %'],
};
const shareOfTank: QuantityRule = { ...volumeInTank, dimension: 'ratio', high: 1 };

/** Fuel in the tank as a volume or as a share of the tank. */
export function fuelLevel(): z.ZodType<FuelLevel> {
  return field(
    (input) => {
      const share = typeof input === 'string' && input.trim().endsWith('%');
      return { ...readWritten(input, share ? shareOfTank : volumeInTank), kind: share ? ('share' as const) : ('volume' as const) };
    },
    quantityDescription({ ...volumeInTank, what: 'fuel in the tank, a volume or a share of the tank' }),
  );
}

/** A plain number without a unit, within bounds. */
export function plainNumber(what: string, low: number, high: number, wholeOnly = false): z.ZodType<number> {
  return field((input) => readPlainNumber(input, what, low, high, wholeOnly), {
    type: wholeOnly ? 'integer' : 'number',
    description: `${sentenceCase(what)}, a plain number.`,
    minimum: low,
    maximum: high,
  });
}

/** Reads a plain number or says why it is none. */
export function readPlainNumber(input: unknown, what: string, low: number, high: number, wholeOnly = false): number {
  const value = typeof input === 'string' && /^[+-]?(\d+\.?\d*|\.\d+)$/.test(input.trim()) ? Number(input) : input;
  if (typeof value !== 'number' || !Number.isFinite(value)) {
    throw new FieldProblem('E_TRIAL_VALUE', `${shown(input)} is not a plain number.`, `Give ${what} as a number without a unit.`);
  }
  if (wholeOnly && !Number.isInteger(value))
    throw new FieldProblem('E_TRIAL_VALUE', `${value} is not a whole number.`, `Give ${what} as a whole number.`);
  if (value < low || value > high) {
    throw new FieldProblem(
      'E_TRIAL_IMPLAUSIBLE',
      `${value} cannot be meant: ${what} lies between ${low} and ${high}.`,
      'Check the number.',
    );
  }
  return value;
}

/** Text for people or a path. Numbers are taken as they were typed. */
export function text(what: string): z.ZodType<string> {
  return field((input) => readText(input, what), { type: ['string', 'number'], description: `${sentenceCase(what)}.` });
}

/** Reads a text or says why it is none. */
export function readText(input: unknown, what: string): string {
  if (typeof input !== 'string' && typeof input !== 'number' && typeof input !== 'boolean') {
    throw new FieldProblem('E_TRIAL_VALUE', `${shown(input)} is not a text.`, `Give ${what} as one line of text.`);
  }
  const value = String(input).trim();
  if (value === '') throw new FieldProblem('E_TRIAL_MISSING', 'It is empty.', `Give ${what} or take the line out.`);
  if (value.includes('\0')) throw new FieldProblem('E_TRIAL_VALUE', 'It holds a NUL character.', 'Take it out.');
  return value;
}

/** One word out of a few. */
export function choice<const Word extends string>(words: readonly Word[], what: string): z.ZodType<Word> {
  return field(
    (input) => {
      const found = words.find((word) => word === String(input).trim().toLowerCase());
      if (found !== undefined) return found;
      const nearest = nearestName(String(input), words);
      const fix =
        nearest === null ? `Choose one of ${words.join(', ')}.` : `The nearest choice is ${nearest}; known are ${words.join(', ')}.`;
      throw new FieldProblem('E_TRIAL_VALUE', `${shown(input)} is not known as ${what}.`, fix);
    },
    { enum: [...words], description: `${sentenceCase(what)}.` },
  );
}

/** A yes or a no. */
export function yesOrNo(what: string): z.ZodType<boolean> {
  return field(
    (input) => {
      const word = String(input).trim().toLowerCase();
      if (word === 'yes' || word === 'true') return true;
      if (word === 'no' || word === 'false') return false;
      throw new FieldProblem('E_TRIAL_VALUE', `${shown(input)} is neither yes nor no.`, 'Say yes or no.');
    },
    { enum: ['yes', 'no', true, false], description: `${sentenceCase(what)}: yes or no.` },
  );
}

/** How a value is shown in a message: short, and safe to print. */
export function shown(input: unknown): string {
  if (input === null || input === undefined) return 'empty';
  if (Array.isArray(input)) return 'a list';
  if (typeof input === 'object') return 'a group of keys';
  const one = String(input);
  const cut = one.length > 60 ? `${one.slice(0, 57)}…` : one;
  return typeof input === 'string' ? `"${cut}"` : cut;
}

function sentenceCase(words: string): string {
  return words.charAt(0).toUpperCase() + words.slice(1);
}
