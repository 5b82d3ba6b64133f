import { runTrial, type TrialResult } from '@pullproof/core';
import { coarse10Hz, noiseOnly25Hz } from '@pullproof/simulation';
import { describe, expect, it } from 'vitest';

// Source: recordings are simulated; what is a copy is known because it was made here.
const made = noiseOnly25Hz(3, { pulls: 2, gainShare: 0.05 });

/** The trial with one more run, in the line below that of a log. */
function withCopy(below: string, text: string): TrialResult {
  const trial = made.trial.replace(new RegExp(`^( *- \\{ )log: ${below}\\.csv(.*)$`, 'm'), '$&\n$1log: copy.csv$2');
  const logs = new Map([...made.logs, ['copy.csv', text]]);
  return runTrial(trial, 'trial.yaml', (path) => ({ chunks: new TextEncoder().encode(logs.get(path)) }));
}

const lines = made.logs.get('before.csv')!.trimEnd().split('\n');
const changed = (change: (cells: string[]) => string[], head = lines[0]!): string =>
  [head, ...lines.slice(1).map((line) => change(line.split(',')).join(','))].join('\n');
const used = (result: TrialResult): number[] => result.setups.map(({ pulls }) => pulls.filter((pull) => pull.used).length);

const copies: readonly (readonly [name: string, text: string])[] = [
  ['as it is', lines.join('\n')],
  ['with its clock shifted', changed(([time, ...rest]) => [(Number(time) + 61.137).toFixed(3), ...rest])],
  [
    'in mph',
    changed(
      ([time, rpm, speed, ...rest]) => [time!, rpm!, (Number(speed) / 1.609344).toFixed(1), ...rest],
      lines[0]!.replace('km/h', 'mph'),
    ),
  ],
  ['cut at both ends', [lines[0], ...lines.slice(40, Math.floor(0.97 * lines.length))].join('\n')],
];

describe('a recording that is listed again counts once', () => {
  it.each(copies)('within a setup: a copy %s', (_, text) => {
    const result = withCopy('before', text);
    expect(used(result)).toEqual([2, 2]);
    const told = result.findings.filter(({ code }) => code === 'W_REPEATED_RECORDING');
    expect(told.map(({ message }) => message)).toEqual([
      'copy.csv repeats pulls of before.csv: reading by reading they are one recording. It counts once.',
    ]);
    const cut = result.setups[0]!.pulls.filter((pull) => pull.log === 'copy.csv').map(({ cutReason }) => cutReason);
    expect(cut.every((reason) => reason?.startsWith('the same recording as before.csv at ') === true)).toBe(true);
  });

  it('a log appended to itself', () => {
    const last = Number(lines.at(-1)!.split(',')[0]);
    const twice = [
      ...lines,
      ...changed(([time, ...rest]) => [(Number(time) + last + 0.04).toFixed(3), ...rest])
        .split('\n')
        .slice(1),
    ];
    const logs = new Map([...made.logs, ['before.csv', twice.join('\n')]]);
    const result = runTrial(made.trial, 'trial.yaml', (path) => ({ chunks: new TextEncoder().encode(logs.get(path)) }));
    expect(used(result)).toEqual([2, 2]);
    expect(result.setups[0]!.pulls).toHaveLength(4);
  });

  it('in two setups it counts in neither, for nobody knows whose it is', () => {
    const result = withCopy('after', copies[1]![1]);
    expect(used(result)).toEqual([0, 2]);
    expect(result.overall[0]!.verdict).toBe('cannot tell');
    expect(result.findings.find(({ code }) => code === 'W_SAME_FILE')!.message).toContain('nobody can tell whose they are');
  });
});

it('pulls that were driven again are no repeats, however alike: no spread, coarse steps', () => {
  for (const seed of [1, 2, 3]) {
    const alike = coarse10Hz(seed, { pulls: 4, gainShare: 0 });
    const result = runTrial(alike.trial, 'trial.yaml', (path) => ({ chunks: new TextEncoder().encode(alike.logs.get(path)) }));
    expect(used(result)).toEqual([4, 4]);
    expect(result.findings.filter(({ code }) => code === 'W_REPEATED_RECORDING' || code === 'W_SAME_FILE')).toEqual([]);
  }
});
