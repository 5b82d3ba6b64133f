import { readFileSync } from 'node:fs';
import { runTrial, type TrialResult } from '@pullproof/core';
import { describe, expect, it } from 'vitest';

const folder = new URL('../../../sample-logs/', import.meta.url);
const text = readFileSync(new URL('trial.yaml', folder), 'utf8');
const run = (trial: string): TrialResult =>
  runTrial(trial, 'trial.yaml', (path) => ({ chunks: readFileSync(new URL(path, folder)), sha256: () => path }));

describe('what else changed agrees with the rest of the answer', () => {
  const result = run(text);

  it('knock control that the top end names is not said to explain nothing of the loss there', () => {
    const at = result.comparisons.findIndex(({ before, after }) => before === 'large charge cooler' && after === '74 mm pulley');
    expect(result.topEnd!.comparisons[at]!.leading).toEqual(['spark-knock']);
    const loss = result.comparisons[at]!.regions.find(({ verdict }) => verdict === 'loss')!;
    for (const quantity of ['spark-advance', 'knock-retard']) {
      const change = result.comparisons[at]!.changedBesides.find((one) => one.quantity === quantity)!;
      expect(change.spanRpm).toEqual([loss.fromRpm, loss.toRpm]);
      expect(['yes', 'partly']).toContain(change.couldExplain);
      // 1.2 % of power a degree at the most, as the rule says, of the power before, which the region's own share gives.
      const degrees = Math.abs(change.after! - change.before!);
      expect(Math.abs(change.couldExplainW! / (0.012 * degrees * (loss.meanW / loss.meanShare)))).toBeCloseTo(1, 1);
    }
  });

  it('air that the verdict gives the difference to could explain it, at least in part', () => {
    const swapped = text.replace('log: base-north.csv', 'log: north').replace('log: cooler-north.csv', 'log: base-north.csv');
    const { overall, comparisons } = run(swapped.replace('log: north', 'log: cooler-north.csv'));
    const told = overall.flatMap(({ reasons }, i) => (reasons.includes('AIR_COULD_EXPLAIN') ? [comparisons[i]!] : []));
    expect(told.length).toBeGreaterThan(0);
    for (const { changedBesides } of told) {
      const air = changedBesides.find(({ quantity }) => quantity === 'air-density')!;
      expect(['yes', 'partly']).toContain(air.couldExplain);
      expect(air.spanRpm).not.toBeNull();
    }
  });
});
