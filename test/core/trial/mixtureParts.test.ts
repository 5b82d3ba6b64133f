import { readFileSync } from 'node:fs';
import { runTrial, type TrialResult } from '@pullproof/core';
import { describe, expect, test } from 'vitest';
import { changedSample } from './sampleText.js';

const folder = new URL('../../../sample-logs/', import.meta.url);
const trialText = readFileSync(new URL('trial.yaml', folder), 'utf8');

/** The sample trial; lambda of the logs of one setup made leaner by so much. */
function answer(
  options: { readonly leanerBy?: number; readonly trial?: string; readonly axis?: 'pressure' | 'airflow' | 'duty' } = {},
): TrialResult {
  return runTrial(
    options.trial ?? trialText,
    'trial.yaml',
    (path) => {
      const text = readFileSync(new URL(path, folder), 'utf8');
      const moved = path.startsWith('pulley') ? changedSample(text, 'Lambda', (lambda) => lambda + (options.leanerBy ?? 0), 3) : text;
      return { chunks: new TextEncoder().encode(moved), sha256: () => 'f'.repeat(64) };
    },
    options.axis === undefined ? {} : { fuelAxis: options.axis },
  );
}

const plain = answer();

describe('measured error of the sample trial', () => {
  test('the factor of each cell is the error of the fuel table that the simulated engine was given', () => {
    // Source: packages/simulation, sampleCar.ts: true lambda over the one asked for; shares no code with core.
    const given = (rpm: number): number => 0.99 + 0.03 / (1 + Math.exp(-(rpm - 5000) / 500));
    for (const { fuelTable } of plain.setups) {
      const { table } = fuelTable!;
      expect(table!.title).toBe('measured error');
      for (const cell of table!.cells) {
        if (cell.count < 20) continue;
        const from = table!.columns.edges[cell.column]!;
        const over = [0.1, 0.3, 0.5, 0.7, 0.9].map((share) => given(from + 500 * share));
        const mean = over.reduce((sum, value) => sum + value, 0) / over.length;
        expect(Math.abs(cell.factor - mean)).toBeLessThan(0.005);
        expect(cell.low).toBeLessThan(mean);
        expect(cell.high).toBeGreaterThan(mean);
      }
    }
  });

  test('no cell that was not visited, provenance beside it, and another axis on request', () => {
    const { table, provenance } = plain.setups[0]!.fuelTable!;
    expect(table!.cells.every(({ count }) => count >= 3)).toBe(true);
    expect(provenance).toMatchObject({ calibration: 'road 4', gaugeStoich: 14.7, setup: 'base' });
    expect(provenance.logs[0]!.sha256).toHaveLength(64);
    expect(answer({ axis: 'duty' }).setups[0]!.fuelTable!.table!.rows.unit).toBe('%');
    const flow = answer({ axis: 'airflow' }).setups[0]!.fuelTable!;
    expect(flow.table).toBeNull();
    expect(flow.status).toContain('not logged');
  });
});

describe('drift of the mixture', () => {
  test('the same fuelling: the moves that are claimed are no larger than the logs allow', () => {
    for (const { mixture } of plain.comparisons) {
      for (const cell of mixture!.bySpeed) expect(Math.abs(cell.drift)).toBeLessThan(0.004);
    }
  });

  test('0.02 leaner is found within 0.005 in every cell, by speed and by pressure', () => {
    const moved = answer({ leanerBy: 0.02 }).comparisons.find(({ before, after }) => before === 'base' && after === '74 mm pulley')!;
    expect(moved.mixture!.bySpeed.length).toBeGreaterThanOrEqual(7);
    for (const cell of moved.mixture!.bySpeed) {
      if (Math.min(cell.readingsBefore, cell.readingsAfter) < 10) continue;
      expect(Math.abs(cell.drift - 0.02)).toBeLessThan(0.005);
      expect(cell.low!).toBeGreaterThan(0);
    }
    expect(moved.mixture!.sentence).toContain('leaner');
  });
});

describe('delay of the exhaust sensor', () => {
  test('estimated within 30 ms where the wanted lambda moves', () => {
    const { delay } = plain.setups[0]!.mixture!;
    // Source: packages/simulation, blownEngine.ts and sampleLogger.ts: a cycle and a quarter, 2.4 L of pipe (about 15 ms at 0.06 kg/s), a lag of 60 ms.
    const givenS = 150 / delay.referenceRpm + (2.4e-3 * 110e3) / (287 * 1000 * 0.06) + 0.06;
    expect(Math.abs(delay.delayS - givenS)).toBeLessThan(0.03);
    expect(delay.standing).toBe('measured');
    expect(delay.lowS!).toBeLessThanOrEqual(delay.delayS);
    expect(delay.highS!).toBeGreaterThanOrEqual(delay.delayS);
  });

  test('entered, it is used as it is', () => {
    const entered = answer({ trial: trialText.replace('leanest-lambda: 0.86 }', 'leanest-lambda: 0.86, lambda-delay: 120 ms }') });
    expect(entered.setups[0]!.mixture!.delay).toMatchObject({ standing: 'entered', delayS: 0.12, lowS: null });
    for (const cell of entered.setups[0]!.fuelTable!.table!.cells) expect(cell.delayS).toBeCloseTo(0.12, 9);
  });
});

describe('a lambda sensor that ends at 0.72 in rich mixture', () => {
  const rich = runTrial(trialText, 'trial.yaml', (path) => ({
    chunks: new TextEncoder().encode(
      changedSample(
        readFileSync(new URL(path, folder), 'utf8'),
        'Lambda',
        (lambda) => (lambda < 0.95 ? (path.startsWith('pulley') ? Math.max(0.72, lambda - 0.1) : lambda - 0.05) : lambda),
        3,
      ),
    ),
    sha256: () => 'f'.repeat(64),
  }));

  test('readings at its end are told, mean "at most", and enter neither the table nor what else changed', () => {
    const floor = rich.ceilings!.find(({ quantity, setup }) => quantity === 'lambda' && setup === '74 mm pulley')!;
    expect(floor).toMatchObject({ side: 'lower', verdict: 'certain' });
    expect(floor.value).toBeCloseTo(0.72, 3);
    expect(rich.setups[2]!.curves.lambda!.boundAt).toContain('at-most');
    expect(rich.setups[2]!.mixture!.readings).toBeLessThan(plain.setups[2]!.mixture!.readings / 2);
    for (const cell of rich.setups[2]!.fuelTable!.table?.cells ?? []) expect(cell.lambda).toBeGreaterThan(0.72);
    const told = rich.comparisons[1]!.changedBesides.find(({ quantity }) => quantity === 'lambda');
    expect(told === undefined || told.after === null || told.after > 0.72).toBe(true);
  });
});

test('injector duty by pulse width and engine speed where no duty was logged', () => {
  const without = runTrial(
    trialText,
    'trial.yaml',
    (path) => ({
      chunks: new TextEncoder().encode(readFileSync(new URL(path, folder), 'utf8').replace('Injector duty', 'Unnamed thing')),
      sha256: () => 'f'.repeat(64),
    }),
    { fuelAxis: 'duty' },
  );
  const logged = answer({ axis: 'duty' }).setups[0]!.fuelTable!.table!;
  const worked = without.setups[0]!.fuelTable!.table!;
  // Source: FORMULAS §6.3, duty % = pulse in ms × rpm/1200; the simulated logger writes both.
  expect(worked.cells.length).toBeGreaterThan(5);
  expect(Math.max(...worked.cells.map((cell) => cell.largestInjectorDuty!))).toBeCloseTo(
    Math.max(...logged.cells.map((cell) => cell.largestInjectorDuty!)),
    1,
  );
  expect(without.warning.details.find(({ quantity }) => quantity === 'injector duty')!.level).not.toBe('not measured');
});
