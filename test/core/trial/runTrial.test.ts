import { createHash } from 'node:crypto';
import { readFileSync } from 'node:fs';
import { runTrial, type TrialResult } from '@pullproof/core';
import {
  coarse10Hz,
  fadingGain,
  makeLog,
  noiseOnly25Hz,
  outingLuck,
  plainLogger,
  type StudyCase,
  step300,
  studyAir,
  studyCar,
  studyPowerW,
} from '@pullproof/simulation';
import { describe, expect, it } from 'vitest';

// The truth comes from packages/simulation, which shares no code with core; the wide study is bench/accuracyStudy.js.

const hash = (bytes: Uint8Array): string => createHash('sha256').update(bytes).digest('hex');

function answer(trial: string, logs: ReadonlyMap<string, string>): TrialResult {
  return runTrial(trial, 'trial.yaml', (path) => {
    const bytes = new TextEncoder().encode(logs.get(path)!);
    return { chunks: bytes, sha256: () => hash(bytes) };
  });
}

/** RMS errors of curve and difference from 2,600 rpm to 150 rpm before the end, as shares of power. */
function errors(made: StudyCase): { curve: number; difference: number; inside: boolean } {
  const result = answer(made.trial, made.logs);
  const truth = new Map(made.truth.before.engineSpeedRpm.map((rpm, i) => [rpm, i]));
  let curve = 0;
  let difference = 0;
  let count = 0;
  let inside = true;
  const compared = result.comparisons[0]!.wheelPowerW;
  const before = result.setups[0]!.curves.wheelPowerW!;
  compared.engineSpeedRpm.forEach((rpm, i) => {
    const at = truth.get(rpm)!;
    const beforeW = made.truth.before.wheelPowerW[at]!;
    const trueW = made.truth.differenceW[at]!;
    if (!(compared.low[i]! <= trueW && trueW <= compared.high[i]!)) inside = false;
    if (rpm < 2600 || rpm > 6450) return;
    difference += ((compared.difference[i]! - trueW) / beforeW) ** 2;
    curve += (before.value[before.engineSpeedRpm.indexOf(rpm)]! / beforeW - 1) ** 2;
    count++;
  });
  return { curve: Math.sqrt(curve / count), difference: Math.sqrt(difference / count), inside };
}

describe('simulated logs with known truth, three pulls a setup', () => {
  it.each([
    ['25 Hz, 4 rpm of noise', noiseOnly25Hz, 0.004, 0.005],
    ['10 Hz, whole km/h, 25-rpm steps', coarse10Hz, 0.006, 0.008],
    ['a step of torque 300 rpm wide', step300, 0.006, 0.008],
  ] as const)('%s', (_, make, curve, difference) => {
    for (let seed = 101; seed <= 104; seed++) {
      const off = errors(make(seed));
      expect(off.curve).toBeLessThan(curve);
      expect(off.difference).toBeLessThan(difference);
      expect(off.inside).toBe(true);
    }
  });

  it('a gain that fades ends within 400 rpm of where it has fallen to half', () => {
    for (const halfGainRpm of [3900, 4500, 5300]) {
      const made = fadingGain(7, { halfGainRpm });
      const result = answer(made.trial, made.logs);
      const gains = result.comparisons[0]!.regions.filter((region) => region.verdict === 'gain');
      expect(result.overall[0]!.verdict).toBe('gain');
      expect(Math.abs(Math.max(...gains.map((region) => region.toRpm)) - halfGainRpm)).toBeLessThanOrEqual(400);
    }
  });

  it('without a change, two outings claim nothing in twenty trials but for luck', () => {
    let claims = 0;
    for (let seed = 1; seed <= 20; seed++) {
      const made = outingLuck(seed, { gainShare: 0 });
      const result = answer(made.trial, made.logs);
      if (result.overall[0]!.verdict !== 'no clear change') claims++;
      expect(result.overall[0]!.reasons).toContain('OUTING_ASSUMED');
    }
    // At 6.5 % a trial, four or more of twenty happen once in thirty.
    expect(claims).toBeLessThan(4);
  });
});

describe('identical runs', () => {
  const made = noiseOnly25Hz(3);
  const text = made.logs.get('before.csv')!;
  const result = answer(made.trial, new Map([...made.logs.keys()].map((path) => [path, text])));

  it('differ by exactly zero and say so', () => {
    const { difference, low, high } = result.comparisons[0]!.wheelPowerW;
    expect(difference.length).toBeGreaterThan(50);
    for (const values of [difference, low, high]) expect(values.every((value) => value === 0)).toBe(true);
    expect(result.overall[0]!.verdict).toBe('no clear change');
    expect(result.overall[0]!.reasons).toEqual(['SAME_FILE']);
    expect(result.overall[0]!.sentence).toContain('exactly zero');
    expect(result.findings.map((finding) => finding.code)).toContain('W_SAME_FILE');
  });
});

describe('one log in two setups beside others', () => {
  const made = noiseOnly25Hz(3);
  const shared = (trial: string, logs: ReadonlyMap<string, string>) =>
    answer(trial, logs).findings.filter(({ code }) => code === 'W_SAME_FILE');
  /** The trial with one more run of the setup after, as its own but for what is given. */
  const withRun = (log: string): string => made.trial.replace(/^( *- \{ )log: after\.csv(.*)$/m, `$&\n$1log: ${log}$2`);

  it('is told by name, for equal bytes under another name as well', () => {
    const found = shared(withRun('before.csv'), made.logs);
    expect(found.map(({ severity, where }) => [severity, where.path, where.setup])).toEqual([['warning', 'before.csv', 'after']]);
    expect(found[0]!.message).toBe(
      'before.csv stands in before and in after: its pulls count in neither, because nobody can tell whose they are.',
    );
    const copied = shared(withRun('copy.csv'), new Map([...made.logs, ['copy.csv', made.logs.get('before.csv')!]]));
    expect(copied.map(({ message }) => message)).toEqual([
      'before.csv in before and copy.csv in after are one recording: its pulls count in neither, because nobody can tell whose they are.',
    ]);
  });

  it('another span of it is fine, as far as it holds other pulls', () => {
    const own = made.trial.replace('log: before.csv', 'log: before.csv, from: 50 s');
    const other = own.replace(/^( *- \{ )log: after\.csv(.*)$/m, '$&\n$1log: before.csv, to: 50 s$2');
    expect(shared(other, made.logs)).toEqual([]);
    expect(shared(made.trial, made.logs)).toEqual([]);
  });
});

describe('too little to tell', () => {
  it('one pull a setup: repeatability unknown, cannot tell', () => {
    const made = noiseOnly25Hz(3, { pulls: 1, gainShare: 0.03 });
    const result = answer(made.trial, made.logs);
    expect(result.overall[0]!.verdict).toBe('cannot tell');
    expect(result.overall[0]!.reasons).toContain('REPEATABILITY_UNKNOWN');
    expect(result.setups[0]!.repeatability.standing).toBe('assumed');
    expect(result.comparisons[0]!.regions.every((region) => region.verdict === 'no clear change')).toBe(true);
  });

  it('no pull in one setup', () => {
    const made = noiseOnly25Hz(3);
    const idle = makeLog({
      car: studyCar,
      around: studyAir,
      engine: { fullLoadWheelPowerW: studyPowerW },
      phases: [{ kind: 'idle', durationS: 20 }],
      logger: plainLogger(),
      seed: 1,
    });
    const result = answer(made.trial, new Map([...made.logs, ['after.csv', idle.text]]));
    expect(result.overall[0]!.verdict).toBe('cannot tell');
    expect(result.overall[0]!.reasons).toEqual(['NO_PULLS']);
    expect(result.comparisons[0]!.wheelPowerW.status).toBeTruthy();
  });

  it('pulls that share no engine speed', () => {
    const of = (fromRpm: number, toRpm: number): string =>
      makeLog({
        car: studyCar,
        around: studyAir,
        engine: { fullLoadWheelPowerW: studyPowerW },
        phases: Array.from({ length: 3 }, () => ({ kind: 'pull', gear: 3, fromRpm, toRpm }) as const),
        logger: plainLogger(),
        seed: 2,
      }).text;
    const made = noiseOnly25Hz(3);
    const result = answer(
      made.trial,
      new Map([
        ['before.csv', of(2200, 4000)],
        ['after.csv', of(4600, 6600)],
      ]),
    );
    expect(result.overall[0]!.reasons).toEqual(['NO_OVERLAP']);
  });
});

describe('the sample trial', () => {
  const folder = new URL('../../../sample-logs/', import.meta.url);
  const run = (): TrialResult =>
    runTrial(readFileSync(new URL('trial.yaml', folder), 'utf8'), 'trial.yaml', (path) => {
      const bytes = readFileSync(new URL(path, folder));
      return { chunks: bytes, sha256: () => hash(bytes) };
    });
  const result = run();
  const truth = JSON.parse(readFileSync(new URL('truth.json', folder), 'utf8'));

  it('gives the same bytes again', () => {
    expect(JSON.stringify(run())).toBe(JSON.stringify(result));
  });

  it('has no number that JSON cannot hold', () => {
    const walk = (value: unknown, path: string): void => {
      if (typeof value === 'number') expect(Number.isFinite(value), path).toBe(true);
      else if (value !== null && typeof value === 'object') for (const [key, inner] of Object.entries(value)) walk(inner, `${path}.${key}`);
    };
    walk(result, 'result');
  });

  it('compares each setup with the first, and with the one before where that is another', () => {
    expect(result.overall.map(({ before, after }) => `${before} → ${after}`)).toEqual([
      'base → large charge cooler',
      'base → 74 mm pulley',
      'large charge cooler → 74 mm pulley',
    ]);
  });

  it('tells the story that was written into it: the pulley gains low and fades', () => {
    const pulley = result.comparisons[1]!;
    const gain = pulley.regions.find((region) => region.verdict === 'gain')!;
    expect(gain.fromRpm).toBeLessThan(2800);
    // truth.json: half of the gain is left at about 4,650 rpm.
    expect(Math.abs(gain.toRpm - 4650)).toBeLessThanOrEqual(400);
    expect(pulley.regions.some((region) => region.verdict === 'no clear change' && region.toRpm > 6200)).toBe(true);
    expect(truth).toBeTypeOf('object');
  });

  it('shows a correction factor only when asked, and leaves power alone', () => {
    const asked = runTrial(
      readFileSync(new URL('trial.yaml', folder), 'utf8'),
      'trial.yaml',
      (path) => ({ chunks: readFileSync(new URL(path, folder)), sha256: () => path }),
      { correction: 'sae-j1349' },
    );
    expect(result.setups[0]!.runs[0]!.correction).toBeUndefined();
    const { correction, air } = asked.setups[0]!.runs[0]!;
    // J1349: 1.18 (99/p_d) √((t + 273)/298) − 0.18; the vapour part of the pressure is below 3 % of it.
    const least = 1.18 * (99_000 / air.stationPressurePa.value!) * Math.sqrt((air.temperatureK.value! - 0.15) / 298) - 0.18;
    expect(correction!.factor).toBeGreaterThan(least);
    expect(correction!.factor).toBeLessThan(least * 1.04);
    expect(correction!.warning).toMatch(/without boost/);
    expect(asked.setups[0]!.curves.wheelPowerW).toEqual(result.setups[0]!.curves.wheelPowerW);
  });

  it('lists charge heat among what else changed', () => {
    const quantities = result.comparisons[1]!.changedBesides.map((change) => change.quantity);
    expect(quantities).toContain('charge-temperature');
    expect(quantities).not.toContain('tyre-radius');
  });
});
