import { beforeAll, describe, expect, it } from 'vitest';
import { type Failure, runCase } from '../../bench/fuzz/campaign.js';
import { commandKinds } from '../../bench/fuzz/commandKinds.js';
import { type Kind, readerKinds } from '../../bench/fuzz/kinds.js';
import { material } from '../../bench/fuzz/material.js';
import { folderWith, pullproof } from '../cli/commandLine.js';

// A few thousand of the cases of bench/fuzz.js, always the same ones: a case is made from its kind and its number.

const counts = { formula: 2500, slips: 400, yaml: 600, log: 150, arguments: 20, trial: 20, relation: 15 } as const;

/** How far the cases must come, so that they test more than the doors: what to call far, and the least share of it. */
const far = {
  formula: ['calculated', 0.35],
  slips: ['read', 0.15],
  yaml: ['resolved', 0.2],
  log: ['with a pull', 0.4],
  arguments: ['done', 0.1],
  trial: ['with a difference', 0.1],
  relation: ['with a difference', 0.3],
} as const;

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
    const [wanted, share] = far[name];
    let came = 0;
    for (let index = 0; index < cases; index++) {
      const { failure, reached } = await runCase(name, kinds[name], index);
      if (failure !== null) failures.push(failure);
      if (reached === wanted) came++;
    }
    expect(failures.map(({ index, what }) => `${index}: ${what}`)).toEqual([]);
    expect(came / cases).toBeGreaterThan(share);
  });
});

it('slips from a file are sound before they are changed', async () => {
  const cwd = folderWith(new Map([...made.logs, ['slips.csv', made.slipsCsv], ['csv.yaml', made.csvTrialText]]));
  expect(await pullproof(['reconcile', 'csv.yaml'], { cwd })).toMatchObject({ exit: 0, err: '' });
});

/** An answer with one curve and one region, told as JSON. */
function answered(band: { low: readonly number[]; high: readonly number[] }, region: { verdict: string; lowW: number; highW: number }) {
  const curve = { engineSpeedRpm: [3000, 3050], value: [100, 110], ...band };
  const comparisons = [{ before: 'a', after: 'b', wheelPowerW: null, regions: [region] }];
  const result = { schema: 'pullproof/result@1', setups: [{ name: 'a', curves: { wheelPowerW: curve } }], comparisons };
  return { exit: 0, out: JSON.stringify(result), err: '' };
}
const band = { low: [90, 100], high: [110, 120] };

describe('the harness sees what is broken', () => {
  const broken = async (run: Kind['run']): Promise<Failure | null> => (await runCase('formula', { make: () => 'case', run }, 0)).failure;
  it('a crash, slowness, and nothing where nothing is', async () => {
    expect(
      (await broken(() => {
        throw new TypeError('crashed');
      }))!.what,
    ).toContain('crashed');
    expect(await broken(() => 'done')).toBeNull();
    const slow = await broken(() => {
      // Both clocks: other workers of this process use processor time too, and a busy machine takes wall time.
      const start = process.cpuUsage();
      const startMs = performance.now();
      for (let used = 0; used < 2.1e6 || performance.now() - startMs < 2100; ) {
        const { user, system } = process.cpuUsage(start);
        used = user + system;
      }
      return 'done';
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
    ['110 below its band', answered({ ...band, low: [90, 111] }, { verdict: 'gain', lowW: 1, highW: 2 })],
    ['100 above its band', answered({ ...band, high: [99, 120] }, { verdict: 'gain', lowW: 1, highW: 2 })],
    ['lists of unlike length', answered({ ...band, high: [110, 120, 130] }, { verdict: 'gain', lowW: 1, highW: 2 })],
    ['a gain with a band from -1', answered(band, { verdict: 'gain', lowW: -1, highW: 2 })],
    ['a loss with a band up to 1', answered(band, { verdict: 'loss', lowW: -5, highW: 1 })],
    ['an error without a code', { exit: 1, out: '{ "schema": "pullproof/error@1", "error": {} }', err: 'x [E_INPUT]' }],
  ])('%s', async (what, ran) => {
    const { trial, end: done } = commandKinds(made, () => Promise.resolve(ran));
    const { failure } = await runCase(
      'trial',
      { make: () => ({ changed: new Map(), args: ['compare', 'trial.yaml', '--json', '-'] }), run: trial.run },
      0,
    );
    done();
    expect(failure?.what).toContain(what);
  });

  it('a new trial that its own reader refuses', async () => {
    const { trial, end: done } = commandKinds(made, () => Promise.resolve({ exit: 0, out: 'trial: 1\nsetup: []\n', err: '' }));
    const { failure } = await runCase(
      'trial',
      { make: () => ({ changed: new Map(), args: ['new', 'base-north.csv'] }), run: trial.run },
      0,
    );
    done();
    expect(failure?.what).toContain('refused: E_TRIAL_UNKNOWN_KEY');
  });

  // Two sound trials that have nothing to do with each other: what is held between them must break.
  it.each([
    ['twins', /^twins: Gain from /],
    ['line ends', /^line ends: -?[\d.]+ W, then /],
    ['order of runs', /^order of runs: /],
    ['turned round', /^turned round: /],
  ])('answers that do not go together: %s', async (relation, what) => {
    const names = [...made.pulls.keys()];
    const setups = made.trial.setups.map((setup: { runs: object[] }, at: number) => ({
      ...setup,
      runs: names.slice(2 * at, 2 * at + 2).map((log) => ({ ...setup.runs[0], log })),
    }));
    const trial = { ...made.trial, setups, slips: undefined, calculated: undefined };
    const first = { trial, logs: made.pulls };
    const second = { trial: { ...trial, car: { ...trial.car, weighed: { mass: '1767 kg', driver: 'in' } } }, logs: made.pulls };
    const { failure } = await runCase('relation', { make: () => ({ first, second, relation }), run: kinds.relation.run }, 0);
    expect(failure?.what).toMatch(what);
  });
});
