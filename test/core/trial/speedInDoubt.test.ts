import { readFileSync } from 'node:fs';
import { runTrial } from '@pullproof/core';
import { expect, test } from 'vitest';

const folder = new URL('../../../sample-logs/', import.meta.url);

test('nothing is claimed from a speed that misses the gears of the car and hits them in another unit', () => {
  const trial = readFileSync(new URL('trial.yaml', folder), 'utf8');
  const { overall, findings } = runTrial(trial, 'trial.yaml', (path) => {
    const text = readFileSync(new URL(path, folder), 'utf8');
    return { chunks: new TextEncoder().encode(path.startsWith('pulley') ? text.replace('km/h', 'mph') : text), sha256: () => path };
  });
  expect(findings.filter(({ code }) => code === 'W_IMPLAUSIBLE').map(({ where }) => where.path)).toEqual([
    'pulley-north.csv',
    'pulley-south.csv',
  ]);
  expect(overall.map(({ verdict, reasons }) => [verdict, reasons.includes('SPEED_IN_DOUBT')])).toEqual([
    ['gain', false],
    ['cannot tell', true],
    ['cannot tell', true],
  ]);
  expect(overall[1]!.sentence).toContain('contradicts its name or unit');
});
