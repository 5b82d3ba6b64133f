import { parseTrial, type ReadLogs, runTrial, type TrialOptions, type TrialResult } from '@pullproof/core';
import { noiseOnly25Hz } from '@pullproof/simulation';
import { describe, expect, it } from 'vitest';
import { gatherEvidence, question } from '../../../packages/core/src/pulls/index.js';

const made = noiseOnly25Hz(3, { pulls: 2 });
const bytes = new Map([...made.logs].map(([path, text]) => [path, new TextEncoder().encode(text)]));
const open = (path: string) => ({ chunks: bytes.get(path)! });
const hashed = (path: string) => ({ ...open(path), sha256: () => `hash of ${path}` });
const answered = (trial: Parameters<typeof runTrial>[0], options?: TrialOptions): TrialResult =>
  runTrial(trial, 'trial.yaml', hashed, options);

describe('a trial asked by a program', () => {
  it('may be given as read, with the same answer', () => {
    expect(answered(parseTrial(made.trial, 'trial.yaml'))).toEqual(answered(made.trial));
  });

  it('needs no hash: only the provenance is without it', () => {
    const result = runTrial(made.trial, 'trial.yaml', open);
    expect(result.provenance.inputs.map(({ sha256 }) => sha256)).toEqual(['', '']);
    expect(result.overall).toEqual(answered(made.trial).overall);
  });

  it('knows a copy of a recording without a hash, by what was read', () => {
    const result = runTrial(made.trial, 'trial.yaml', () => open('before.csv'));
    expect(result.findings.map(({ code }) => code)).toContain('W_SAME_FILE');
    expect(runTrial(made.trial, 'trial.yaml', open).findings.map(({ code }) => code)).not.toContain('W_SAME_FILE');
  });

  it('reads no log again where an input changed, and answers as if it had', () => {
    const readLogs: ReadLogs = new Map();
    const opened: string[] = [];
    const ask = (trial: string): TrialResult =>
      runTrial(
        trial,
        'trial.yaml',
        (path) => {
          opened.push(path);
          return hashed(path);
        },
        { readLogs },
      );
    const heavier = made.trial.replace(/driver: [\d.]+ kg/, 'driver: 130 kg');
    expect(heavier).not.toBe(made.trial);
    const first = ask(made.trial);
    const second = ask(heavier);
    expect(opened).toEqual(['before.csv', 'after.csv']);
    expect(second).toEqual(answered(heavier));
    expect(second.setups[0]!.runs[0]!.massKg.value).toBeGreaterThan(first.setups[0]!.runs[0]!.massKg.value!);
    expect(ask(made.trial)).toEqual(first);
  });
});

describe('a question', () => {
  it('is worked out once for each evidence', () => {
    let worked = 0;
    const count = question(({ setups }) => {
      worked++;
      return { answer: setups.length };
    });
    const evidence = gatherEvidence(parseTrial(made.trial, 'trial.yaml'), open);
    expect([count(evidence).answer, count(evidence).answer, worked]).toEqual([2, 2, 1]);
    expect(count(evidence)).toEqual({ answer: 2, status: { is: 'answered' }, findings: [], assumptions: [] });
    count(gatherEvidence(parseTrial(made.trial, 'trial.yaml'), open));
    expect(worked).toBe(2);
  });
});
