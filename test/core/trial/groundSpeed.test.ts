import { runTrial, type TrialResult } from '@pullproof/core';
import { type LoggedChannel, makeLog, type Phase, plainLogger, studyAir, studyCar, studyPowerW } from '@pullproof/simulation';
import { describe, expect, it } from 'vitest';
import { studyTrialYaml } from '../../../packages/simulation/src/studyCar.js';

/** A receiver that shows speed once a second, late by a little. */
const satellite: LoggedChannel = {
  header: 'GPS speed (km/h)',
  source: 'speedMps',
  written: (mps) => 3.6 * mps,
  lagS: 0.3,
  noise: 0.4,
  step: 0.1,
  rateHz: 1,
  decimals: 1,
};

/** Two setups whose own speed shows 2.5 % too much, as many cars do; steady driving at several speeds between the pulls. */
function driven(further: readonly LoggedChannel[]): TrialResult {
  const pull: Phase = { kind: 'pull', gear: 3, fromRpm: 2400, toRpm: 6600, leadS: 2 };
  const cruise = (speedMps: number): Phase => ({ kind: 'cruise', durationS: 25, speedMps, gear: 4 });
  const logs = new Map<string, string>();
  const setups = ['before', 'after'].map((name, s) => {
    const log = `${name}.csv`;
    const { text } = makeLog({
      car: studyCar,
      around: studyAir,
      engine: { fullLoadWheelPowerW: studyPowerW },
      phases: [cruise(14), pull, cruise(30), pull, cruise(22), pull],
      logger: plainLogger({ roadSpeed: { gain: 1.025 }, further }),
      seed: 31 + s,
      stepS: 0.01,
    });
    logs.set(log, text);
    return { name, runs: [{ log, outing: 'saturday' }] };
  });
  return runTrial(studyTrialYaml('speed', setups), 'trial.yaml', (path) => ({
    chunks: new TextEncoder().encode(logs.get(path)!),
    sha256: () => path,
  }));
}

function biasOf(result: TrialResult): number {
  const { engineSpeedRpm, value } = result.setups[0]!.curves.wheelPowerW!;
  const errors = engineSpeedRpm.flatMap((rpm, i) => (rpm >= 2600 && rpm <= 6450 ? [value[i]! / studyPowerW(rpm) - 1] : []));
  return errors.reduce((sum, error) => sum + error, 0) / errors.length;
}

describe('a car’s own speed that shows too much', () => {
  const scaled = driven([satellite]);
  const plain = driven([]);
  const part = (result: TrialResult) => result.setups[0]!.budget!.parts.find(({ name }) => name.startsWith('speed scale'))!;

  it('is put right by a satellite speed once a second: power goes with the square of the scale', () => {
    // 2.5 % of speed would be 5 % of power: stated gearing takes about half of it.
    expect(biasOf(plain)).toBeGreaterThan(0.02);
    expect(Math.abs(biasOf(scaled))).toBeLessThan(0.012);
    expect(scaled.setups[0]!.pulls[0]!.speedSource).toMatch(/scaled by 0\.97\d\d to satellite speed/);
    expect(scaled.setups[0]!.pulls[0]!.gear).toBe(3);
  });

  it('leaves less of the band to the scale', () => {
    expect(part(scaled).contributionW).toBeLessThan(0.5 * part(plain).contributionW);
    expect(Math.abs(biasOf(scaled))).toBeLessThan((3 * part(scaled).contributionW) / 200e3);
  });

  it('is one scale for both setups, which cancels in their difference', () => {
    const difference = (result: TrialResult) =>
      result.comparisons[0]!.budget!.parts.find(({ name }) => name.startsWith('speed scale'))?.contributionW ?? 0;
    expect(difference(scaled)).toBeLessThan(0.05 * part(scaled).contributionW);
    expect(scaled.setups[0]!.pulls[0]!.speedSource).toBe(scaled.setups[1]!.pulls[0]!.speedSource);
  });

  it('is left alone where the satellite speed is too rough', () => {
    expect(driven([{ ...satellite, noise: 12 }]).setups[0]!.pulls[0]!.speedSource).not.toContain('satellite');
  });
});
