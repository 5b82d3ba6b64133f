import { readFileSync } from 'node:fs';
import {
  compileFormulas,
  type FormulaParser,
  loadFormulaParser,
  mayHaveFormulas,
  parseTrial,
  runTrial,
  type TrialResult,
} from '@pullproof/core';
import { beforeAll, describe, expect, it } from 'vitest';
import { changedSample } from './sampleText.js';

const folder = new URL('../../../sample-logs/', import.meta.url);
const trialText = readFileSync(new URL('trial.yaml', folder), 'utf8');

let formulaParser: FormulaParser;
beforeAll(async () => {
  formulaParser = await loadFormulaParser();
});

function answer(calculated: string, sensor: (kpa: number) => number = (kpa) => kpa): TrialResult {
  return runTrial(
    `${trialText}\n${calculated}\n`,
    'trial.yaml',
    (path) => {
      const changed = changedSample(readFileSync(new URL(path, folder), 'utf8'), 'Manifold pressure', sensor, 1);
      return { chunks: new TextEncoder().encode(changed), sha256: () => path };
    },
    { formulaParser },
  );
}

describe('calculated quantities of the sample trial', () => {
  it('a pressure ratio by formula is the pressure ratio that is worked out without one', () => {
    const { calculated, setups } = answer('calculated: { pressure-ratio: manifold_pressure / (100 kPa) }');
    const [ratio] = calculated!;
    expect(ratio).toMatchObject({ name: 'pressure-ratio', formula: 'manifold_pressure / (100 kPa)', unit: '1' });
    ratio!.setups.forEach(({ setup, curve, status }, index) => {
      expect([setup, status]).toEqual([setups[index]!.name, null]);
      const pressurePa = setups[index]!.curves.manifoldPressurePa!;
      expect(curve!.engineSpeedRpm).toEqual(pressurePa.engineSpeedRpm);
      for (const part of ['value', 'low', 'high'] as const)
        curve![part].forEach((value, i) => {
          if (value === null) expect(pressurePa[part][i]).toBeNull();
          else expect(value / (pressurePa[part][i]! / 100e3)).toBeCloseTo(1, 9);
        });
    });
  });

  it('one that needs what no log has says so, and the others stand', () => {
    const { calculated, findings } = answer('calculated: { a: rotor_speed / engine_speed, b: throttle * 2 }');
    expect(calculated![0]!.setups.map(({ curve, status }) => [curve, status])).toEqual(
      calculated![0]!.setups.map(() => [null, 'It has no value in the pulls.']),
    );
    expect(calculated![1]!.setups.every(({ curve }) => curve !== null)).toBe(true);
    const told = findings.filter(({ code }) => code === 'CALCULATED_MISSING');
    expect(told.length).toBeGreaterThan(0);
    expect(told[0]!.message).toBe('a could not be calculated: there is no rotor_speed.');
  });

  it('a reading on a ceiling gives no value', () => {
    const { calculated, ceilings } = answer('calculated: { twice: manifold_pressure * 2 }', (kpa) => Math.min(kpa, 160));
    expect(ceilings!.length).toBeGreaterThan(0);
    for (const { curve } of calculated![0]!.setups) for (const value of curve?.value ?? []) expect(value ?? 0).toBeLessThan(2 * 160e3);
  });

  it('a trial with formulas needs a parser, and says so before a log is opened', () => {
    expect(() =>
      runTrial(`${trialText}\ncalculated: { a: throttle * 2 }\n`, 'trial.yaml', () => {
        throw new Error('no log is opened before formulas are read');
      }),
    ).toThrow(expect.objectContaining({ code: 'E_FORMULA_PARSER' }));
  });
});

describe('a formula that cannot be used is refused with line, field and character, before any log is opened', () => {
  const line = trialText.split('\n').length + 3;
  it.each([
    ['manifold_presure * 2', 1, 'no quantity of that name'],
    ['manifold_pressure + 3 K', 21, 'cannot be added'],
    ['time.constructor', 5, 'no meaning'],
    ['(time', 6, 'missing here'],
  ])('%s', (formula, character, what) => {
    const text = `${trialText}\ncalculated:\n  good: time * 2\n  "bad one": ${JSON.stringify(formula)}\n`;
    const open = (): never => {
      throw new Error('opened');
    };
    expect(() => runTrial(text, 'trial.yaml', open, { formulaParser })).toThrow(
      expect.objectContaining({
        code: 'E_FORMULA',
        what: expect.stringContaining(`At character ${character}`),
        message: expect.stringContaining(what),
        where: expect.objectContaining({ path: 'trial.yaml', line, field: 'calculated.bad one' }),
      }),
    );
  });

  it.each(['calculated: 3', 'calculated: [a]', 'calculated: { a: {} }', 'calculated: { __proto__: "1" }', 'calculated: { a: }'])(
    '%s',
    (text) => {
      expect(() => parseTrial(`${trialText}\n${text}\n`, 'trial.yaml')).toThrow(expect.objectContaining({ name: 'PullproofError' }));
    },
  );
});

it('the formulas of docs/trial-file.md are formulas', () => {
  const document = readFileSync(new URL('../../../docs/trial-file.md', import.meta.url), 'utf8');
  const block = /```yaml\n(calculated:\n.*?)```/s.exec(document)![1]!;
  const { calculated } = parseTrial(`${trialText}\n${block}`, 'trial.yaml');
  expect(compileFormulas(calculated!, formulaParser).map(({ unit }) => unit)).toEqual(['1', '1/s', '1', 'K', 'W']);
});

it('whether a text may have formulas is never missed', () => {
  expect(mayHaveFormulas(trialText)).toBe(false);
  for (const key of ['calculated', '"calculated"', "'calculated'", '"calc\\u0075lated"', '? calculated\n', '"calcu\\\nlated"'])
    expect(mayHaveFormulas(`trial: 1\n${key}: { a: time }`)).toBe(true);
});
