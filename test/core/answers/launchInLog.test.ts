import { readLog } from '@pullproof/core';
import { expect, test } from 'vitest';
import { launchInLog } from '../../../packages/core/src/answers/strip/launchInLog.js';

/** Two seconds at rest, engine speed about a level, then off. */
function logOf(rpm: (t: number) => number, pedal: number | null) {
  const rows = Array.from({ length: 60 }, (_, i) => `${(i / 20).toFixed(2)},${rpm(i / 20).toFixed(0)}${pedal === null ? '' : `,${pedal}`}`);
  const text = `Time (s),Engine speed (rpm)${pedal === null ? '' : ',Pedal (%)'}\n${rows.join('\n')}\n`;
  return readLog(new TextEncoder().encode(text), { path: 'pass.csv' });
}
const held = (level: number) => (t: number) => (t <= 2 ? level + 60 * Math.sin(40 * t) : level + 3000 * (t - 2));

test('a two-step, a converter against the brakes and a clutch are told apart by pedal and transmission', () => {
  expect(launchInLog(logOf(held(4000), 99), 2, 'manual')).toMatchObject({ kind: 'two-step', pedal: expect.closeTo(0.99, 2) });
  expect(launchInLog(logOf(held(3200), 30), 2, 'manual')).toMatchObject({ kind: 'clutch' });
  expect(launchInLog(logOf(held(2300), 40), 2, 'automatic')).toMatchObject({ kind: 'converter', engineSpeedRpm: expect.closeTo(2300, -2) });
  expect(launchInLog(logOf(held(3200), null), 2, 'manual')).toMatchObject({ kind: 'clutch', pedal: null });
});

test('nothing is said of an idle, or of an engine that was not held', () => {
  expect(launchInLog(logOf(held(850), 0), 2, 'manual')).toBeNull();
  expect(
    launchInLog(
      logOf((t) => 1500 + 1200 * t, 99),
      2,
      'manual',
    ),
  ).toBeNull();
});
