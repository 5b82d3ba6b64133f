import type { z } from 'zod';
import { nearestName, PullproofError } from '../../findings/index.js';
import { formulaTexts } from '../../formulas/index.js';
import { type Quantity, quantityUnits } from '../../log/index.js';
import { publishedPressureSensor, publishedPressureSensors } from '../../sensors/index.js';
import { findUnit } from '../../units/index.js';
import { tyreFromSize } from '../../vehicle/index.js';
import { FieldProblem } from './fieldProblem.js';
import { field, readPlainNumber, readText, shown } from './fields.js';
import { rules } from './rules.js';
import type { FuelFlow, SensorLineFile } from './trialFile.js';
import { readWritten } from './writtenQuantity.js';

/** Fields of the trial file with a form of their own. */

/** Flow of an injector, by volume or by mass. */
export function fuelFlow(): z.ZodType<FuelFlow> {
  return field(
    (input) => {
      const unitText = String(input).replace(/^\s*[+-]?[\d.]+\s*/, '');
      const byMass = findUnit(unitText)?.dimension === 'mass-flow';
      return { ...readWritten(input, byMass ? rules.massFlow : rules.volumeFlow), kind: byMass ? ('mass' as const) : ('volume' as const) };
    },
    { type: 'string', description: 'Flow of one injector at `at-pressure`.', examples: [...rules.volumeFlow.examples] },
  );
}

/** Rotating factors by gear, such as `{ 1: 1.26, 2: 1.12 }`. */
export function rotatingFactors(): z.ZodType<ReadonlyMap<number, number>> {
  return field(
    (input) => {
      const factors = new Map<number, number>();
      for (const [key, value] of entriesOf(input, 'the rotating factor of each gear', '{ 2: 1.12, 3: 1.07 }')) {
        const gear = Number(key);
        if (!Number.isInteger(gear) || gear < 1 || gear > 12) {
          throw new FieldProblem('E_TRIAL_VALUE', `${shown(key)} is not a gear.`, 'Name the gears by their numbers: { 2: 1.12, 3: 1.07 }.');
        }
        factors.set(
          gear,
          below(key, () => readPlainNumber(value, 'a rotating factor', 1, 2.5)),
        );
      }
      return factors;
    },
    {
      type: 'object',
      description: 'Rotating factor by gear: 1 plus the share that spinning parts add to the mass.',
      propertyNames: { pattern: '^[0-9]+$' },
      additionalProperties: { type: 'number', minimum: 1, maximum: 2.5 },
    },
  );
}

/** Size of a tyre as on its side wall. */
export function tyreSize(): z.ZodType<string> {
  const read = (size: string): string => {
    tyreFromSize(size);
    return size.trim();
  };
  return fieldBy(read, 'the tyre size', {
    type: 'string',
    description: 'Size of the tyres on the driven axle, as on the side wall.',
    examples: ['245/45R17'],
  });
}

/** A pressure sensor whose law is published, by its name. */
export function namedSensor(): z.ZodType<SensorLineFile> {
  const read = (name: string): SensorLineFile => {
    const { law } = publishedPressureSensor(name.trim());
    const at = (voltageV: number) => ({ si: law.offsetPa + law.slopePaPerV * voltageV, text: name.trim(), system: null });
    return { 'at-0V': at(0), 'at-5V': at(5) };
  };
  return fieldBy(read, 'the name of a pressure sensor', {
    type: 'string',
    description: 'A sensor whose law is published, by its name.',
    examples: publishedPressureSensors.map(({ name }) => name),
  });
}

/** A field read by a function that throws PullproofError. */
export function fieldBy<T>(read: (text: string) => T, what: string, description: Record<string, unknown>): z.ZodType<T> {
  return field((input) => {
    try {
      return read(typeof input === 'string' ? input : readText(input, what));
    } catch (problem) {
      if (problem instanceof PullproofError) throw new FieldProblem(problem.code, problem.what, problem.fix);
      throw problem;
    }
  }, description);
}

/** A date, or a date and time, of the calendar. */
export function dateAndTime(): z.ZodType<string> {
  return field(
    (input) => {
      const written = readText(input, 'the date and time');
      const match = /^(\d{4})-(\d{2})-(\d{2})(?:[T ](\d{2}):(\d{2})(?::(\d{2}))?(?:Z|[+-]\d{2}:?\d{2})?)?$/.exec(written);
      const [year, month, day, hour, minute, second] = (match ?? []).slice(1).map((part) => Number(part ?? 0));
      const date = new Date(Date.UTC(year ?? Number.NaN, (month ?? 0) - 1, day));
      const real = date.getUTCMonth() + 1 === month && date.getUTCDate() === day && hour! < 24 && minute! < 60 && second! < 60;
      if (!real) throw new FieldProblem('E_TRIAL_VALUE', `${shown(input)} is not a date and time.`, 'Write it like 2026-05-02T18:20.');
      return written;
    },
    { type: 'string', description: 'Local date and time.', examples: ['2026-05-02T18:20'] },
  );
}

/** What zero means cannot be told from the unit for these. */
const needReference: ReadonlySet<Quantity> = new Set(['manifold-pressure', 'blower-inlet-pressure', 'exhaust-pressure', 'fuel-pressure']);

/** Column name → quantity, unit and, for a pressure, its reference. */
export function channelMap(): z.ZodType<ReadonlyMap<string, string>> {
  return field(
    (input) => {
      const channels = new Map<string, string>();
      const example = '{ "Col 7": manifold-pressure kPa abs }';
      for (const [column, value] of entriesOf(input, 'what the columns are', example)) {
        channels.set(
          column,
          below(column, () => readChannel(value)),
        );
      }
      return channels;
    },
    {
      type: 'object',
      description: 'Columns that could not be recognised: name in the log → quantity, unit and, for a pressure, abs or gauge.',
      additionalProperties: { type: 'string', examples: ['manifold-pressure kPa abs', 'engine-speed rpm'] },
    },
  );
}

/** Name of a calculated quantity → its formula. Every word of it is known after this; its shape and units are checked where it is compiled. */
export function formulas(): z.ZodType<ReadonlyMap<string, string>> {
  return field(
    (input) => {
      const entries = entriesOf(input, 'what is calculated', '{ pressure-ratio: manifold_pressure / barometric_pressure }');
      const named = new Map(entries.map(([name, formula]) => [name, below(name, () => readText(formula, 'a formula'))]));
      try {
        formulaTexts(named, (name) => ({ field: name }));
      } catch (problem) {
        if (!(problem instanceof PullproofError)) throw problem;
        throw new FieldProblem(problem.code, problem.what, problem.fix, [problem.where.field!]);
      }
      return named;
    },
    {
      type: 'object',
      description: 'Name of a calculated quantity → its formula over quantities of the logs, written with underscores.',
      additionalProperties: {
        type: 'string',
        maxLength: 1000,
        examples: ['manifold_pressure / barometric_pressure', 'rate(engine_speed, 0.4 s)'],
      },
    },
  );
}

function readChannel(value: unknown): string {
  const written = readText(value, 'the quantity of the column');
  if (written === 'ignore') return written;
  const name = written.split(/\s+/)[0]!;
  if (!Object.hasOwn(quantityUnits, name)) {
    const known = Object.keys(quantityUnits);
    const nearest = nearestName(name, known);
    const fix = nearest === null ? `Known are ${known.join(', ')}.` : `The nearest known quantity is ${nearest}.`;
    throw new FieldProblem('E_TRIAL_VALUE', `${shown(name)} is not a quantity that is known here.`, fix);
  }
  const rest = written.slice(name.length);
  if (needReference.has(name as Quantity) && !/\b(?:abs|absolute|gauge|gage|psi[ag]|bar[ag]|kpa[ag])\b|\bg$/i.test(rest)) {
    throw new FieldProblem(
      'E_TRIAL_REFERENCE',
      `${shown(written)} does not say what zero means: absolute, or above the air pressure.`,
      `Write ${written} abs, or ${written} gauge.`,
    );
  }
  return written;
}

function entriesOf(input: unknown, what: string, example: string): [string, unknown][] {
  if (typeof input !== 'object' || input === null || Array.isArray(input)) {
    throw new FieldProblem('E_TRIAL_VALUE', `${shown(input)} does not say ${what}.`, `Write it like ${example}.`);
  }
  return Object.entries(input);
}

/** Runs a reader and says that its problem lies below a key. */
function below<T>(key: string, read: () => T): T {
  try {
    return read();
  } catch (problem) {
    if (problem instanceof FieldProblem) throw new FieldProblem(problem.code, problem.message, problem.fix, [key, ...problem.below]);
    throw problem;
  }
}
