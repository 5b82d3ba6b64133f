import { readFileSync } from 'node:fs';
import { type CheckedLog, checkLog, readLog, runTrial, type TrialResult } from '@pullproof/core';
import { describe, expect, test } from 'vitest';
import { changedSample } from './sampleText.js';

const folder = new URL('../../../sample-logs/', import.meta.url);
const textOf = (path: string): string => readFileSync(new URL(path, folder), 'utf8');
const checked = (text: string): CheckedLog => checkLog(readLog(new TextEncoder().encode(text), { path: 'a.csv' }));

describe('a sample log, checked', () => {
  const log = checked(textOf('base-north.csv'));

  test('idle and cruise are summed up', () => {
    // Source: packages/simulation: idle at 850 rpm, lambda 1 outside full load.
    expect(log.steady!.idle!.engineSpeedRpm.mean).toBeCloseTo(850, -1);
    expect(log.steady!.idle!.lambda!.mean).toBeCloseTo(1, 2);
    expect(log.steady!.cruise!.leanShare!.mean).toBeCloseTo(0, 2);
  });

  test('what it is fit for, what is missing, what to log next', () => {
    const [idle, cruise, pull] = log.fitness!;
    expect(idle).toMatchObject({ work: 'idle', verdict: 'fit with gaps' });
    expect(idle!.missing).toContain('short-term fuel trim');
    expect(idle!.next.length).toBeGreaterThan(0);
    expect(cruise!.work).toBe('cruise');
    expect(pull).toMatchObject({ work: 'pull', verdict: 'fit', missing: [] });
  });

  test('the load map covers what was driven, and nothing else', () => {
    const { coverage } = log;
    expect(coverage).toMatchObject({ load: 'manifold-pressure', unit: 'Pa' });
    expect(coverage!.share).toBeLessThan(1);
    expect(coverage!.seconds).toBeLessThanOrEqual(log.durationS!);
    const sum = coverage!.cells.reduce((total, { seconds }) => total + seconds, 0);
    expect(sum).toBeCloseTo(coverage!.seconds, 6);
  });
});

test('a log without the channels says which are missing, and is not fit for pulls', () => {
  const log = checked(`Time (s),Engine speed (rpm)\n${Array.from({ length: 900 }, (_, i) => `${(i / 20).toFixed(2)},850`).join('\n')}\n`);
  const pull = log.fitness!.find(({ work }) => work === 'pull')!;
  expect(pull.verdict).toBe('not fit');
  expect(pull.missing).toEqual(expect.arrayContaining(['road speed', 'wideband lambda', 'knock retard']));
  expect(log.coverage).toBeNull();
});

test('a pressure that is cut off in the pulls is a gap, and a ceiling in check', () => {
  const log = checked(changedSample(textOf('base-north.csv'), 'Manifold pressure', (kpa) => Math.min(kpa, 155), 1));
  expect(log.ceilings![0]).toMatchObject({ quantity: 'manifold-pressure', verdict: 'certain', setup: null });
  expect(Math.abs(log.ceilings![0]!.value - 155000)).toBeLessThanOrEqual(100);
  expect(log.fitness!.find(({ work }) => work === 'pull')!.verdict).toBe('fit with gaps');
});

test('whole kPa cannot tell a limited boost from a clamp: possible, never certain', () => {
  const log = checked(changedSample(textOf('base-north.csv'), 'Manifold pressure', (kpa) => Math.min(Math.round(kpa), 155), 0));
  for (const { quantity, verdict } of log.ceilings!) if (quantity === 'manifold-pressure') expect(verdict).toBe('possible');
  expect(log.findings.some(({ code }) => code === 'W_SENSOR_CEILING')).toBe(false);
});

test('a pressure that the same log reads higher elsewhere is controlled, not pegged', () => {
  const capped = (pegged: (rpm: number) => boolean) =>
    checked(
      changedSample(
        textOf('base-north.csv'),
        'Manifold pressure',
        (kpa, row) => (pegged(row('Engine speed')) ? Math.min(kpa, 155) : kpa > 155 ? 161 : kpa),
        1,
      ),
    );
  expect(capped(() => true).ceilings!.some(({ quantity }) => quantity === 'manifold-pressure')).toBe(true);
  expect(
    capped((rpm) => rpm > 4000).ceilings!.some(
      ({ quantity, value }) => quantity === 'manifold-pressure' && Math.abs(value - 155_000) < 500,
    ),
  ).toBe(false);
});

test('idle with a cold engine is no warm idle, and is said apart', () => {
  const cold = checked(changedSample(textOf('base-north.csv'), 'Coolant temperature', () => 25, 0));
  const idle = cold.fitness!.find(({ work }) => work === 'idle')!;
  expect(idle).toMatchObject({ verdict: 'not fit', amount: 0 });
  expect(idle.found).toBe('no warm idle (12 s more with a cold engine)');
});

describe('idle before against after in the whole job', () => {
  /** The sample trial, the idle of the last setup changed. */
  function answer(changePa: number, lambdaFactor: number): TrialResult {
    return runTrial(textOf('trial.yaml'), 'trial.yaml', (path) => {
      let text = textOf(path);
      if (path.startsWith('pulley')) {
        const idling = (row: (name: string) => number): boolean => row('Engine speed') > 500 && row('Engine speed') < 1100;
        text = changedSample(text, 'Manifold pressure', (kpa, row) => (idling(row) ? kpa + changePa / 1000 : kpa), 1);
        text = changedSample(text, 'Lambda', (lambda, row) => (idling(row) ? lambda * lambdaFactor : lambda), 3);
      }
      return { chunks: new TextEncoder().encode(text), sha256: () => path };
    });
  }
  const verdict = (result: TrialResult): string | undefined => result.comparisons[1]!.idle?.verdict;

  test('healthy, a vacuum leak and an exhaust leak are told apart', () => {
    const healthy = answer(0, 1);
    expect(verdict(healthy)).toBe('nothing unusual');
    const vacuum = answer(6000, 1.08);
    expect(verdict(vacuum)).toBe('vacuum leak');
    expect(vacuum.findings.find(({ code }) => code === 'W_IDLE_VACUUM_LEAK')!.fix).toContain('Do not correct fuel');
    expect(verdict(answer(0, 1.08))).toBe('exhaust leak before the sensor');
  });
});
