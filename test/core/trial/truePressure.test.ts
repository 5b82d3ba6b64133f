import { type Log, parseTrial, type RunInputs, readLog, resolveTrial } from '@pullproof/core';
import { describe, expect, test } from 'vitest';
import { runBarometer, withTruePressure } from '../../../packages/core/src/pulls/truePressure.js';

const law = 'map-sensor: { logged: { at-0V: 10 kPa, at-5V: 260 kPa }, fitted: { at-0V: 1.1 kPa, at-5V: 315.6 kPa } }';

function inputsOf(extra = ''): RunInputs {
  const text = `trial: 1
car: { mass-without-fuel: 1480 kg, driver: 82 kg, blower: { crank-pulley: 160 mm, max-rotor-speed: 16500 rpm }, injectors: { rail: referenced, flow: 420 cc/min, at-pressure: 3 bar, count: 6 } }
setups: [{ name: a, blower-pulley: 80 mm, ${extra === '' ? '' : `${extra}, `}runs: [{ log: a.csv, air: { pressure: 98 kPa } }] }]`;
  return resolveTrial(parseTrial(text, 'trial.yaml')).setups[0]!.runs[0]!;
}

/** Engine off for two seconds, then a rise of manifold pressure, as kPa in the log. */
function logOf(kpaAt: (timeS: number) => number): Log {
  const rows = Array.from({ length: 120 }, (_, i) => {
    const t = i / 20;
    return `${t.toFixed(2)},${t < 3 ? 0 : 3000},${kpaAt(t).toFixed(2)}`;
  });
  const text = `Time (s),Engine speed (rpm),Manifold pressure (kPa)\n${rows.join('\n')}\n`;
  return readLog(new TextEncoder().encode(text), { path: 'a.csv' });
}

const manifold = (log: Log): Float64Array => log.channels.find(({ quantity }) => quantity === 'manifold-pressure')!.values;

describe('hardware of a run', () => {
  test('blower, injectors and both sensor laws', () => {
    const inputs = inputsOf(law);
    expect(inputs.blower).toMatchObject({ driveRatio: 2, maxRotorSpeedRpm: 16500, displacementM3: null });
    expect(inputs.injectors).toMatchObject({ count: 6, rail: 'referenced', ratedPressurePa: 300000, flow: { kind: 'volume' } });
    expect(inputs.mapSensor!.fitted.slopePaPerV).toBeCloseTo(62900, 6);
    expect(inputsOf().mapSensor).toBeNull();
  });

  test('a sensor whose law is published may be named; one that is not known gives the known ones', () => {
    // Source: datasheet of the MPX4250A, V = Vs (0.004 P − 0.04) with P in kPa: 10 kPa at 0 V and 260 kPa at 5 V of a 5 V supply.
    const { logged, fitted } = inputsOf('map-sensor: { logged: mpx4250a, fitted: { at-0V: 1.1 kPa, at-5V: 315.6 kPa } }').mapSensor!;
    expect(logged.offsetPa).toBeCloseTo(10_000, 6);
    expect(logged.slopePaPerV).toBeCloseTo(50_000, 6);
    expect(fitted.slopePaPerV).toBeCloseTo(62900, 6);
    const unknown = (sensor: string) => () => inputsOf(`map-sensor: { logged: ${sensor}, fitted: MPX4250A }`);
    expect(unknown('MPX9')).toThrow(
      expect.objectContaining({
        code: 'E_SENSOR_UNKNOWN',
        where: { path: 'trial.yaml', line: 3, field: 'setups[0].map-sensor.logged' },
        fix: expect.stringContaining('MPX4250A'),
      }),
    );
    expect(unknown('{ at-0V: 10 kPa }')).toThrow(expect.objectContaining({ code: 'E_TRIAL_MISSING' }));
    expect(unknown('[1]')).toThrow(expect.objectContaining({ code: 'E_TRIAL_VALUE' }));
  });
});

describe('manifold pressure logged through another sensor’s law', () => {
  test('agrees with the directly logged truth within 0.1 kPa, and the finding says so', () => {
    const truthKpa = (t: number): number => (t < 3 ? 98 : 98 + 25 * (t - 3));
    // Source: both laws set equal in voltage (FORMULAS §5.2); the recorder's view of the truth.
    const asLogged = logOf((t) => 10 + 250 * ((truthKpa(t) - 1.1) / 314.5));
    const corrected = withTruePressure(asLogged, inputsOf(law));
    const values = manifold(corrected);
    values.forEach((pa, row) => {
      expect(Math.abs(pa / 1000 - truthKpa(corrected.timeS[row]!))).toBeLessThan(0.1);
    });
    expect(corrected.findings.some(({ code }) => code === 'MAP_SENSOR_APPLIED')).toBe(true);
    expect(runBarometer(corrected, inputsOf(law))).toMatchObject({ findings: [] });
    const wrong = runBarometer(asLogged, inputsOf());
    expect(wrong!.findings.map(({ code }) => code)).toEqual(['W_BAROMETER_DISAGREES']);
  });

  test('a log that needs nothing is left as it is', () => {
    const log = logOf((t) => (t < 3 ? 98 : 150));
    expect(withTruePressure(log, inputsOf())).toBe(log);
  });
});

test('a channel taken for absolute that reads below zero is used as gauge, and says so', () => {
  const log = logOf((t) => (t < 3 ? 0.2 : -60 + 30 * (t - 3)));
  const taken = log.channels.find(({ quantity }) => quantity === 'manifold-pressure')!;
  const corrected = withTruePressure(
    { ...log, channels: log.channels.map((one) => (one === taken ? { ...one, reference: 'absolute', standing: 'guessed' } : one)) },
    inputsOf(),
  );
  expect(corrected.channels.find(({ quantity }) => quantity === 'manifold-pressure')!.reference).toBe('gauge');
  expect(corrected.findings.some(({ code }) => code === 'W_PRESSURE_REFERENCE')).toBe(true);
});
