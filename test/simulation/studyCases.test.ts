import { describe, expect, it } from 'vitest';
import {
  type Curve,
  effectiveMassKg,
  fadingGain,
  outingLuck,
  pullSpread1pct,
  roadLoadN,
  type StudyCase,
  step300,
  studyAir,
  studyCar,
  studyCases,
  studyPowerW,
} from '../../packages/simulation/src/index.js';

const rowsOf = (text: string): number[][] =>
  text
    .trimEnd()
    .split('\n')
    .slice(1)
    .map((line) => line.split(',').map(Number));

/** Seconds that one logged pull took between two speeds, from road speed alone. */
function loggedS(study: StudyCase, run: StudyCase['truth']['runs'][number], pull: number, fromMps: number, toMps: number): number {
  const mark = run.pulls[pull]!;
  const rows = rowsOf(study.logs.get(run.log)!).filter(([t]) => t! > mark.fullFromS! && t! < mark.endS);
  // Time at a speed by a straight line through the readings within 1.5 m/s of it: many readings in place of the two at the crossing.
  const crossing = (mps: number): number => {
    const near = rows.filter(([, , kmh]) => Math.abs(kmh! / 3.6 - mps) < 1.5);
    const mean = (f: (row: number[]) => number): number => near.reduce((sum, row) => sum + f(row), 0) / near.length;
    const meanT = mean((row) => row[0]!);
    const meanV = mean((row) => row[2]! / 3.6);
    const slope = mean((row) => (row[0]! - meanT) * (row[2]! / 3.6 - meanV)) / mean((row) => (row[0]! - meanT) ** 2);
    return meanT + (mps - meanV) / slope;
  };
  return crossing(toMps) - crossing(fromMps);
}

/** The same from the truth: dt = m_eff v dv / (P − load v), midpoint rule on the truth's own grid. */
function trueS(curve: Curve, scale: number, rpmPerMps: number, fromRpm: number, toRpm: number): number {
  let seconds = 0;
  for (let k = 0; k + 1 < curve.wheelPowerW.length; k++) {
    const rpm = (curve.engineSpeedRpm[k]! + curve.engineSpeedRpm[k + 1]!) / 2;
    if (rpm < fromRpm || rpm > toRpm) continue;
    const powerW = (scale * (curve.wheelPowerW[k]! + curve.wheelPowerW[k + 1]!)) / 2;
    const v = rpm / rpmPerMps;
    seconds += ((50 / rpmPerMps) * v * effectiveMassKg(studyCar, 3)) / (powerW - roadLoadN(studyCar, studyAir, v) * v);
  }
  return seconds;
}

describe('studyCases', () => {
  it.each(Object.keys(studyCases))('%s: the true power explains how long the logged pulls took', (name) => {
    const study = studyCases[name]!(11);
    const rpmPerMps = (1.41 * 3.64 * 30) / (Math.PI * 0.316);
    for (const run of study.truth.runs) {
      const curve = run.setup === 'before' ? study.truth.before : study.truth.after;
      run.pulls.forEach((pull, i) => {
        const logged = loggedS(study, run, i, 3000 / rpmPerMps, 6000 / rpmPerMps);
        const wanted = trueS(curve, pull.scale!, rpmPerMps, 3000, 6000);
        // Steps of 0.1 km/h: a few ms on six seconds; of 1 km/h at 10 Hz: about 30 ms at each end.
        expect(Math.abs(logged / wanted - 1)).toBeLessThan(name === 'coarse10Hz' ? 0.012 : 0.0025);
      });
    }
  });

  it('gives the same bytes for the same seed and others for another', () => {
    for (const make of Object.values(studyCases)) {
      expect([...make(4).logs]).toEqual([...make(4).logs]);
      expect(make(4).trial).toBe(make(4).trial);
      expect([...make(5).logs]).not.toEqual([...make(4).logs]);
    }
  });

  it('describes the car that was driven', () => {
    const { trial } = outingLuck(1);
    // Scale with 40 L, road with 40 L: 1483 + 82 + 35 = 1600 kg.
    expect(trial).toMatch(/mass: 1483 kg, fuel-in-tank: 40 L, driver: out/);
    expect(trial.match(/fuel-in-tank: 40 L, air/g)).toHaveLength(2);
    expect(1483 + 82 + 35).toBe(studyCar.massKg);
    expect(trial).toMatch(/outing: saturday/);
    expect(trial).toMatch(/outing: sunday/);
  });

  it('spreads pulls and outings as it says', () => {
    const spread = (xs: number[]): number => {
      const mean = xs.reduce((a, b) => a + b, 0) / xs.length;
      return Math.sqrt(xs.reduce((a, b) => a + (b - mean) ** 2, 0) / (xs.length - 1));
    };
    const seeds = Array.from({ length: 120 }, (_, i) => i);
    const lucks = seeds.flatMap((seed) => outingLuck(seed, { pulls: 1 }).truth.runs.map((run) => run.luck));
    expect(spread(lucks) / 0.007).toBeGreaterThan(0.85);
    expect(spread(lucks) / 0.007).toBeLessThan(1.15);
    const scales = seeds
      .slice(0, 60)
      .flatMap((seed) => pullSpread1pct(seed).truth.runs.flatMap((run) => run.pulls.map((pull) => pull.scale!)));
    expect(spread(scales) / 0.01).toBeGreaterThan(0.85);
    expect(spread(scales) / 0.01).toBeLessThan(1.15);
  });

  it('the gain fades to half at the half-point and to nothing beyond', () => {
    const { truth } = fadingGain(1, { halfGainRpm: 4400 });
    const share = (rpm: number): number => {
      const i = truth.before.engineSpeedRpm.indexOf(rpm);
      return truth.differenceW[i]! / truth.before.wheelPowerW[i]!;
    };
    expect(truth.halfGainRpm).toBe(4400);
    expect(share(4400)).toBeCloseTo(0.04, 12);
    expect(share(4100)).toBeCloseTo(0.08 * 0.95, 12);
    expect(share(4700)).toBeCloseTo(0.08 * 0.05, 12);
    expect(share(2400)).toBeGreaterThan(0.0799);
    expect(Math.abs(share(6600))).toBeLessThan(1e-7);
  });

  it('the step of torque is 300 rpm wide and 12 % high; a null trial has no difference', () => {
    const { truth } = step300(1, { gainShare: 0 });
    const ratio = (rpm: number): number => truth.before.wheelPowerW[truth.before.engineSpeedRpm.indexOf(rpm)]! / studyPowerW(rpm);
    expect(ratio(4300)).toBeCloseTo(0.94, 12);
    expect(ratio(4450)).toBeCloseTo(1, 12);
    expect(ratio(4600)).toBeCloseTo(1.06, 12);
    expect(truth.differenceW.every((w) => w === 0)).toBe(true);
    // About 200 kW at the wheels.
    expect(Math.max(...step300(1).truth.before.wheelPowerW) / 200e3).toBeCloseTo(1.08, 1);
  });
});
