import { runTrial } from '@pullproof/core';
import { describe, expect, it } from 'vitest';

// A converter that slips, simulated here by small steps and apart from the product: the engine runs ahead of the locked ratio by a
// slip that falls from 14 % at low speed to 2 %. Wheel power counts what spinning up the engine costs (DESIGN §8).

const radPerSPerRpm = Math.PI / 30;
const massKg = 1600;
const wheelsKgM2 = 4.4;
const engineKgM2 = 0.25;
const radiusM = 0.316;
const overall = 1.41 * 3.64;
const kappa = overall / radiusM / radPerSPerRpm;
const dragKgPerM = 0.5 * 1.1656 * 0.69;
const rollingN = massKg * 9.80665 * 0.0125;

const powerW = (rpm: number): number => 100_000 + 100_000 * Math.sin((Math.PI / 2) * Math.min(1, (rpm - 2000) / 3800));
const engineRpm = (x: number): number => x * (1.02 + 0.12 * ((5500 - x) / 3500) ** 2);

function pull(seed: number, gain: number): string {
  let state = seed;
  const random = (): number => {
    state = (state * 1103515245 + 12345) % 2 ** 31;
    return state / 2 ** 31 - 0.5;
  };
  const rows: string[] = [];
  let clock = 0;
  for (let repeat = 0; repeat < 3; repeat++) {
    let v = 2100 / kappa;
    for (let k = 0; k < 50; k++, clock += 0.04)
      rows.push(`${clock.toFixed(3)},${Math.round(engineRpm(2100) + 6 * random())},${(3.6 * v).toFixed(1)},15`);
    const h = 0.0005;
    let next = 0;
    for (let t = 0; v * kappa < 5400; t += h) {
      const x = v * kappa;
      const n = engineRpm(x);
      if (t >= next) {
        rows.push(`${(clock + t).toFixed(3)},${Math.round(n + 12 * random())},${(3.6 * v).toFixed(1)},100`);
        next += 0.04;
      }
      // m k_w a + drag + rolling = (P − I ω dω/dt) / v with ω of the engine.
      const slope = engineRpm(x + 0.5) - engineRpm(x - 0.5);
      const inertia = massKg + wheelsKgM2 / radiusM ** 2 + (engineKgM2 * radPerSPerRpm ** 2 * n * slope * kappa) / v;
      v += (h * ((gain * powerW(n)) / v - dragKgPerM * v * v - rollingN)) / inertia;
      if (v * kappa >= 5400) clock += t;
    }
    for (let k = 1; k < 75; k++) {
      clock += 0.04;
      rows.push(`${clock.toFixed(3)},${Math.round(engineRpm(5400) - 18 * k)},${(3.6 * (v - 0.05 * k)).toFixed(1)},0`);
    }
  }
  return `Time (s),Engine speed (rpm),Road speed (km/h),Pedal (%)\n${rows.join('\n')}\n`;
}

const run = (log: string): string =>
  `      - { log: ${log}, outing: saturday, fuel-in-tank: 40 L, air: { temperature: 22 degC, pressure: 99.2 kPa, humidity: 45 % }, wind: 0 m/s, grade: 0 % }`;
const trial = `trial: 1
title: converter
units: metric
car:
  weighed: { mass: 1483 kg, fuel-in-tank: 40 L, driver: out }
  driver: 82 kg
  cargo: 35 kg
  drag-area: 0.69 m^2
  rolling-coefficient: 0.0125
  tyre-radius: ${radiusM} m
  gear-ratios: [3.27, 2.05, 1.41, 1, 0.78]
  final-drive: 3.64
  transmission: automatic
  wheel-inertia: ${wheelsKgM2} kg m^2
  engine-inertia: ${engineKgM2} kg m^2
setups:
  - name: before
    runs:
${run('before.csv')}
  - name: after
    runs:
${run('after.csv')}
`;

describe('a converter that slips', () => {
  const logs = new Map([
    ['before.csv', pull(1, 1)],
    ['after.csv', pull(2, 1.05)],
  ]);
  const result = runTrial(trial, 'trial.yaml', (path) => ({ chunks: new TextEncoder().encode(logs.get(path)!), sha256: () => path }));

  it('is seen and said', () => {
    expect(result.findings.map(({ code }) => code)).toContain('DRIVE_SLIPS');
  });

  it('still gives wheel power against engine speed within 1.5 %', () => {
    const curve = result.setups[0]!.curves.wheelPowerW!;
    const off = curve.engineSpeedRpm.flatMap((rpm, i) => (rpm > 3000 && rpm < 5300 ? [curve.value[i]! / powerW(rpm) - 1] : []));
    expect(off.length).toBeGreaterThan(30);
    expect(Math.max(...off.map(Math.abs))).toBeLessThan(0.015);
  });

  it('and the gain', () => {
    expect(result.overall[0]!.verdict).toBe('gain');
    const share = result.comparisons[0]!.regions.find(({ verdict }) => verdict === 'gain')!.meanShare;
    expect(Math.abs(share - 0.05)).toBeLessThan(0.01);
  });
});
