import { createHash } from 'node:crypto';
import { readFileSync } from 'node:fs';
import { type OpenedLog, runTrial, type TrialResult } from '@pullproof/core';
import { describe, expect, it } from 'vitest';

const folder = new URL('../../../sample-logs/', import.meta.url);
const open = (name: string): OpenedLog => {
  const chunks = readFileSync(new URL(name, folder));
  return { chunks, sha256: () => createHash('sha256').update(chunks).digest('hex') };
};
const sample = (options: Parameters<typeof runTrial>[3]): TrialResult =>
  runTrial(readFileSync(new URL('trial.yaml', folder), 'utf8'), 'trial.yaml', open, options);

const result = sample({ traces: true });
const rows = (log: string): string[][] =>
  readFileSync(new URL(log, folder), 'utf8')
    .trim()
    .split('\n')
    .map((line) => line.split(','));

describe('readings of the pulls', () => {
  it('are there for every pull, used or not, and only where they were asked for', () => {
    expect(result.traces!.map(({ setup, pull }) => `${setup}/${pull}`)).toEqual(
      result.setups.flatMap(({ pulls }, setup) => pulls.map((_, pull) => `${setup}/${pull}`)),
    );
    expect(sample({})).not.toHaveProperty('traces');
  });

  it('are those of the log, row by row', () => {
    // Source: the log itself, read here by splitting its lines.
    const trace = result.traces!.find(({ setup, pull }) => setup === 0 && pull === 1)!;
    const { log, startS } = result.setups[0]!.pulls[1]!;
    const [head, ...lines] = rows(log);
    const columnOf = (name: string): number => head!.indexOf(name);
    const near = lines.filter((line) => {
      const time = Number(line[0]) - startS;
      return time >= trace.timeS[0]! - 2e-3 && time <= trace.timeS.at(-1)! + 2e-3;
    });
    expect(trace.timeS).toHaveLength(near.length);
    for (const [name, scale] of [
      ['Engine speed (rpm)', 1],
      ['Manifold pressure (kPa abs)', 1000],
      ['Lambda', 1],
    ] as const) {
      const channel = trace.channels.find((one) => one.name === name)!;
      channel.value.forEach((value, row) => {
        if (value !== null) expect(value / scale, `${name}, row ${row}`).toBeCloseTo(Number(near[row]![columnOf(name)]), 2);
      });
      expect(channel.value.filter((value) => value !== null).length).toBeGreaterThan(50);
    }
  });

  it('say which parts were used, within the pull, and carry the limits of the trial', () => {
    for (const { used, timeS, limits } of result.traces!) {
      for (const { fromS, toS } of used) {
        expect(fromS).toBeGreaterThanOrEqual(timeS[0]!);
        expect(toS).toBeLessThanOrEqual(timeS.at(-1)!);
        expect(toS).toBeGreaterThan(fromS);
      }
      expect(limits.leanestLambda === null || limits.leanestLambda > 0.6).toBe(true);
    }
    expect(result.traces!.some(({ used }) => used.length > 0)).toBe(true);
  });
});

describe('units for people', () => {
  it('can be chosen instead of the trial’s own: numbers stay in SI, sentences change', () => {
    const metric = sample({ units: 'metric' });
    const us = sample({ units: 'imperial' });
    expect(us.units).toBe('imperial');
    expect(us.comparisons[0]!.wheelPowerW).toEqual(metric.comparisons[0]!.wheelPowerW);
    expect(metric.overall[0]!.sentence).toContain('kW');
    expect(us.overall[0]!.sentence).toContain('hp');
    expect(us.overall[0]!.sentence).not.toContain('kW');
  });
});
