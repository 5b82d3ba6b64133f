import { readFileSync } from 'node:fs';
import { runTrial, topEndCauses } from '@pullproof/core';
import { expect, it } from 'vitest';

const folder = new URL('../../../sample-logs/', import.meta.url);
const text = readFileSync(new URL('trial.yaml', folder), 'utf8');
const run = (trial: string) =>
  runTrial(trial, 'trial.yaml', (path) => ({ chunks: readFileSync(new URL(path, folder)), sha256: () => path }));

it('a knocking setup that lost power is advised against more pulls, and not to one more', () => {
  const { overall, topEnd, findings } = run(text);
  const lost = overall.filter(({ verdict }) => verdict === 'loss').map(({ after }) => after);
  expect(lost).toEqual(['74 mm pulley']);
  expect(overall.flatMap(({ next }) => next).join(' ')).toContain('find the cause before more pulls with it');
  const of = [...topEnd!.comparisons, ...topEnd!.setups].filter(({ after }) => lost.includes(after));
  const knocking = of.filter(({ leading }) => leading.includes('spark-knock'));
  expect(knocking.length).toBe(2);
  for (const { next, causes } of knocking) {
    const steps = [...next, ...causes.filter(({ cause }) => cause === 'spark-knock').map(({ wouldDecide }) => wouldDecide)];
    expect(steps.length).toBeGreaterThan(1);
    for (const step of steps) expect(step).not.toContain('Repeat a pull');
    expect(next[0]).toMatch(/^Before another pull: /);
    for (const step of [...next, ...causes.map(({ wouldDecide }) => wouldDecide)])
      expect(step).not.toMatch(/[Rr]epeat (a|the) pull|for one pull|and repeat/);
  }
  const notes = findings.filter(({ code, where }) => code === 'TOP_END' && lost.includes(where.setup!));
  expect(notes.length).toBeGreaterThan(0);
  for (const { fix } of notes) expect(fix).not.toContain('Repeat a pull');
  // Without a loss the same cause is still tried out.
  expect(topEndCauses['spark-knock'].proof).toMatch(/^Repeat a pull/);
});

it('one pull a setup: the comparison cannot tell, so no difference is said to fall, and what it needs is said', () => {
  // The first pull of each log is over by then.
  const only = (log: string, endS: number): string =>
    `  - { log: ${log}, to: ${endS} s, direction: north, fuel-in-tank: 40 L, wind: 0 m/s, grade: 0.2 % }`;
  const [head] = text.split('\nsetups:');
  const first = run(text).setups.flatMap(({ name, pulls }) =>
    name === 'large charge cooler' ? [] : [{ name, pull: pulls.find(({ used }) => used)! }],
  );
  const trial = `${head}\nsetups:\n${first
    .map(({ name, pull }) => `  - name: ${name}\n    runs:\n    ${only(pull.log, Math.ceil(pull.endS + 1))}`)
    .join('\n')}\n`;
  const { overall, topEnd, findings, setups } = run(trial);
  expect(setups.map(({ pulls }) => pulls.filter(({ used }) => used).length)).toEqual([1, 1]);
  expect(overall[0]!.verdict).toBe('cannot tell');
  const [pair] = topEnd!.comparisons;
  expect(pair!.answer).toBe('too few data');
  expect(pair!.causes).toEqual([]);
  expect(pair!.fade.kind).toBe('unclear');
  // Its knock control acts: what is asked for first is no pull.
  expect(pair!.sentence).toMatch(/^The comparison cannot tell .* To tell: Before another pull, settle what the warnings name/);
  expect(pair!.next).toEqual([expect.stringContaining('Before another pull')]);
  expect(JSON.stringify(pair)).not.toMatch(/difference in power falls|well supported/);
  expect(findings.filter(({ code }) => code === 'TOP_END')).toEqual([]);
});
