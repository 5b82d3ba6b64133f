import { makeLog, plainLogger, studyAir, studyCar } from '@pullproof/simulation';
import { describe, expect, it } from 'vitest';
import { runTrial } from '../../../packages/core/src/jobs/index.js';
import type { TrialResult } from '../../../packages/core/src/result/index.js';
import { studyTrialYaml } from '../../../packages/simulation/src/studyCar.js';

/** Runs a trial of two setups of three pulls each with the given true power; `edit` changes the text of the trial file. */
function answered(powerW: readonly ((rpm: number) => number)[], edit: (trial: string) => string = (text) => text): TrialResult {
  const names = ['before', 'after'];
  const logs = new Map(
    names.map((name, i) => {
      const { text } = makeLog({
        car: studyCar,
        around: studyAir,
        engine: { fullLoadWheelPowerW: powerW[i]! },
        phases: Array.from({ length: 3 }, () => ({ kind: 'pull', gear: 3, fromRpm: 2400, toRpm: 6200, leadS: 2 }) as const),
        logger: plainLogger(),
        seed: 20 + i,
        stepS: 0.01,
      });
      return [`${name}.csv` as string, new TextEncoder().encode(text)] as const;
    }),
  );
  const trial = studyTrialYaml(
    'Estimators',
    names.map((name) => ({ name, runs: [{ log: `${name}.csv`, outing: 'saturday' }] })),
  );
  return runTrial(edit(trial), 'trial.yaml', (path) => ({ chunks: logs.get(path)!, sha256: () => path }));
}

/** Falls from 120 kW at 4,000 rpm to 62 kW at 6,200 rpm. */
const falling = (rpm: number): number => (rpm < 4000 ? 30 * rpm : 120e3 - 26.4 * (rpm - 4000));

describe('estimator of a setup', () => {
  it('is the output-error fit where it settles, and the local polynomial agrees with it', () => {
    const result = answered([falling, falling]);
    for (const { estimator } of result.setups) expect(estimator).toEqual({ used: 'output-error fit', why: null, disagreement: null });
    expect(result.findings.filter(({ code }) => ['FIT_NOT_USED', 'ESTIMATORS_DISAGREE'].includes(code))).toEqual([]);
  });

  // A slope entered that is not there takes more force away than the engine has left at the top: the logarithm of torque has no solution.
  // Only the second setup has it, so the first keeps its fit.
  const wrongGrade = (text: string): string => {
    const at = text.lastIndexOf('grade: 0 %');
    return `${text.slice(0, at)}grade: -12 %${text.slice(at + 'grade: 0 %'.length)}`;
  };

  it('is the local polynomial where the fit has no solution: a finding, a wide band, the truth inside it, and the other setup untouched', () => {
    const result = answered([falling, falling], wrongGrade);
    expect(result.setups[0]!.estimator!.used).toBe('output-error fit');
    const { estimator, curves } = result.setups[1]!;
    expect(estimator!.used).toBe('local polynomial');
    expect(estimator!.why).toMatch(/moved by|no solution|uncertain/);
    const finding = result.findings.find(({ code }) => code === 'FIT_NOT_USED')!;
    expect(finding.where.setup).toBe('after');
    const curve = curves.wheelPowerW!;
    expect(curve.engineSpeedRpm.length).toBeGreaterThan(20);
    // Power as the entered slope has it: less by m g · 12 % · v.
    const weightN = 1600 * 9.80665 * 0.12;
    const noise = curve.parts!.noise;
    let inside = 0;
    curve.engineSpeedRpm.forEach((rpm, i) => {
      const speedMps = (rpm * Math.PI * studyCar.tyreRadiusM) / (30 * studyCar.gearRatios[2]! * studyCar.finalDrive);
      const truthW = falling(rpm) - weightN * speedMps;
      expect(curve.low[i]!).toBeLessThan(curve.value[i]!);
      const half = Math.hypot(noise[i]!, curve.parts!.pullToPull[i]!);
      if (Math.abs(curve.value[i]! - truthW) <= half) inside++;
    });
    expect(inside / curve.engineSpeedRpm.length).toBeGreaterThan(0.9);
  });
});
