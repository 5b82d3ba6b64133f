import { readFileSync } from 'node:fs';
import { type DraftValue, draftFromLogs, parseTrial, runTrial, type SharpenInput, type TrialDraft, withField } from '@pullproof/core';
import { expect, test } from 'vitest';

const readLogs = new Map();
const open = (name: string) => ({ chunks: readFileSync(new URL(`../../../sample-logs/${name}`, import.meta.url)) });
const run = (draft: TrialDraft) => runTrial(parseTrial(draft, 'logs'), 'logs', open, { readLogs });
const entered = (draft: TrialDraft, fields: Readonly<Record<string, DraftValue>>) =>
  Object.entries(fields).reduce((made, [field, value]) => withField(made, field, value), draft);

const alone = draftFromLogs([
  { name: 'base', logs: [{ path: 'base-north.csv' }, { path: 'base-south.csv' }] },
  { name: 'pulley', logs: [{ path: 'pulley-north.csv' }, { path: 'pulley-south.csv' }] },
]);
// The conditions of the sample's own trial file.
const weather = {
  'setups[0].air': { temperature: '21.5 degC', pressure: '98.9 kPa', humidity: '48 %' },
  'setups[1].air': { temperature: '22.2 degC', pressure: '98.7 kPa', humidity: '45 %' },
};
const groups = (list: readonly SharpenInput[] = []) => [...new Set(list.map(({ group }) => group))];

test('without weather the verdict waits for it: six numbers, each with its place in the trial', () => {
  const { sharpen = [], overall } = run(alone);
  expect(overall[0]!.verdict).toBe('cannot tell');
  expect(sharpen.slice(0, 6).map(({ field }) => field)).toEqual(
    [0, 1].flatMap((s) => ['pressure', 'temperature', 'humidity'].map((part) => `setups[${s}].air.${part}`)),
  );
  expect(sharpen.slice(0, 6).every(({ decides, of }) => decides && of === 'difference')).toBe(true);
  expect(sharpen[0]!.sentence).toMatch(/^Weather of each setup: no verdict without it; margin \d+\.\d% to \d+\.\d%\.$/);
  expect(groups(sharpen)).toContain('mass');
});

test('what entering a value is said to bring is what it brings', () => {
  const before = run(alone).sharpen!;
  const after = run(entered(alone, weather)).sharpen!;
  const of = (list: readonly SharpenInput[], group: string) => list.find((one) => one.group === group)!;
  // Regression, not truth: that the forecast and the second run agree is the point, within a tenth of the margin.
  const said = of(before, 'weather').marginThen;
  const came = after.find((one) => one.of === 'difference')!.marginNow;
  expect(Math.abs(came / said - 1)).toBeLessThan(0.1);
});

test('a car on a scale narrows its power, and is not asked for again', () => {
  const first = run(entered(alone, weather)).sharpen!.find(({ group }) => group === 'mass')!;
  expect([first.of, first.field]).toEqual(['power', 'car.weighed.mass']);
  const scale = {
    'car.weighed': { mass: '1467 kg', 'fuel-in-tank': '25 L', driver: 'out' },
    'car.driver': '78 kg',
    'fuel-in-tank': '40 L',
    'car.cargo': '5 kg',
  };
  const { sharpen = [], setups } = run(entered(alone, { ...weather, ...scale }));
  expect(groups(sharpen)).not.toContain('mass');
  const { budget } = setups.at(-1)!;
  expect(Math.abs((1.96 * budget!.spreadW) / budget!.valueW / first.marginThen - 1)).toBeLessThan(0.1);
});

test('what was entered is never asked for, and what brings more comes first', () => {
  const { sharpen = [] } = run(entered(alone, { ...weather, outing: 'saturday', wind: '0 mph', grade: '0 %' }));
  expect(groups(sharpen)).not.toEqual(expect.arrayContaining(['outing']));
  for (const group of ['weather', 'wind', 'grade', 'outing']) expect(groups(sharpen)).not.toContain(group);
  const brings = sharpen.map(({ marginNow, marginThen }) => marginThen / marginNow);
  expect(brings).toEqual([...brings].sort((a, b) => a - b));
  expect(brings.length).toBeGreaterThan(0);
});
