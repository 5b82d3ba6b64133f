import { beforeAll, describe, expect, it } from 'vitest';
import { type Failure, runCase } from '../../bench/fuzz/campaign.js';
import { commandKinds, type Kind, readerKinds } from '../../bench/fuzz/kinds.js';
import { material } from '../../bench/fuzz/material.js';
import { folderWith, pullproof } from '../cli/commandLine.js';

// A few thousand of the cases of bench/fuzz.js, always the same ones: a case is made from its kind and its number.

const counts = { formula: 2500, slips: 400, yaml: 600, log: 300, arguments: 40, trial: 15 } as const;

const made = material();
let kinds: Record<keyof typeof counts, Kind>;
let end: () => void;

beforeAll(async () => {
  const ofCommands = commandKinds(made, (args, cwd) => pullproof(args, { cwd }));
  end = ofCommands.end;
  kinds = { ...(await readerKinds(made)), arguments: ofCommands.arguments, trial: ofCommands.trial };
  return () => {
    end();
  };
});

describe('changed inputs are used or refused; nothing crashes, hangs, leaks a stack or writes half a file', () => {
  it.each(Object.entries(counts) as [keyof typeof counts, number][])('%s, %d cases', async (name, cases) => {
    const failures: Failure[] = [];
    for (let index = 0; index < cases; index++) {
      const failure = await runCase(name, kinds[name], index);
      if (failure !== null) failures.push(failure);
    }
    expect(failures.map(({ index, what }) => `${index}: ${what}`)).toEqual([]);
  });
});

it('slips from a file are sound before they are changed', async () => {
  const cwd = folderWith(new Map([...made.logs, ['slips.csv', made.slipsCsv], ['csv.yaml', made.csvTrialText]]));
  expect(await pullproof(['reconcile', 'csv.yaml'], { cwd })).toMatchObject({ exit: 0, err: '' });
});

describe('the harness sees what is broken', () => {
  const broken = (run: Kind['run']): Promise<Failure | null> => runCase('formula', { make: () => 'case', run }, 0);
  it('a crash, slowness, and nothing where nothing is', async () => {
    expect(
      (await broken(() => {
        throw new TypeError('crashed');
      }))!.what,
    ).toContain('crashed');
    expect(await broken(() => undefined)).toBeNull();
    const slow = await broken(() => {
      // Both clocks: other workers of this process use processor time too, and a busy machine takes wall time.
      const start = process.cpuUsage();
      const startMs = performance.now();
      for (let used = 0; used < 2.1e6 || performance.now() - startMs < 2100; ) {
        const { user, system } = process.cpuUsage(start);
        used = user + system;
      }
    });
    expect(slow!.what).toMatch(/^took \d{4,} ms/);
  });

  it.each([
    ['a stack trace', { exit: 1, out: '', err: 'error x [E_INPUT]\n    at f (a.js:1:2)\n' }],
    ['a fault of our own', { exit: 1, out: '', err: 'error Pullproof itself failed: x. [E_INTERNAL]\n' }],
    ['exit code 3', { exit: 3, out: '', err: '' }],
    ['a control character', { exit: 1, out: '', err: 'error \u001b[31mx [E_INPUT]\n' }],
    ['exit 0 with E_INPUT', { exit: 0, out: '', err: 'error x [E_INPUT]\n' }],
    ['exit 1 without a code', { exit: 1, out: '', err: 'error x\n' }],
    ['exit 2 without a word', { exit: 2, out: '', err: '' }],
    ['JSON without a schema', { exit: 0, out: '{}', err: '' }],
    ['Unexpected token', { exit: 0, out: '{ "schema": "pullproof/result@1", "a": nothing }', err: '' }],
    ['NaN or Infinity', { exit: 0, out: '{ "schema": "pullproof/result@1", "a": NaN }', err: '' }],
    ['an error without a code', { exit: 1, out: '{ "schema": "pullproof/error@1", "error": {} }', err: 'x [E_INPUT]' }],
  ])('%s', async (what, ran) => {
    const { trial, end: done } = commandKinds(made, () => Promise.resolve(ran));
    const failure = await runCase(
      'trial',
      { make: () => ({ changed: new Map(), args: ['compare', 'trial.yaml', '--json', '-'] }), run: trial.run },
      0,
    );
    done();
    expect(failure?.what).toContain(what);
  });
});
