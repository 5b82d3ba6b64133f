import { readFileSync } from 'node:fs';
import { runTrial, type TrialResult } from '@pullproof/core';
import { describe, expect, test } from 'vitest';
import { changedSample } from './sampleText.js';

const folder = new URL('../../../sample-logs/', import.meta.url);
const trialText = readFileSync(new URL('trial.yaml', folder), 'utf8');

/** The sample trial, each log's manifold pressure put through `sensor`, kPa absolute. */
function answer(sensor: (kpa: number) => number, trial = trialText): TrialResult {
  return runTrial(trial, 'trial.yaml', (path) => {
    const changed = changedSample(readFileSync(new URL(path, folder), 'utf8'), 'Manifold pressure', sensor, 1);
    return { chunks: new TextEncoder().encode(changed), sha256: () => path };
  });
}

const asLogged = answer((kpa) => kpa);

describe('boost of the sample trial', () => {
  test('no ceiling is claimed where none is', () => {
    expect(asLogged.ceilings).toEqual([]);
    expect(asLogged.setups[0]!.curves.manifoldPressurePa!.bound).toBeNull();
  });

  test('drive ratio, rotor speed and its limit', () => {
    // Source: 160 mm over 79 mm and 74 mm; rotor speed at 6,800 rpm, limit 16,500 rpm (sample-logs/trial.yaml).
    expect(asLogged.setups.map(({ blower }) => blower!.driveRatio!.toFixed(4))).toEqual(['2.0253', '2.0253', '2.1622']);
    expect(asLogged.setups[2]!.blower!.rotorSpeedAtRedlineRpm).toBeCloseTo((6800 * 160) / 74, 6);
    expect(asLogged.setups[2]!.blower!.highestEngineSpeedRpm).toBeCloseTo(16500 / (160 / 74), 6);
  });

  test('gauge is absolute less the weather, ratio absolute over it', () => {
    const { manifoldPressurePa, boostPa, pressureRatio } = asLogged.setups[2]!.curves;
    const at = 30;
    const stations = asLogged.setups[2]!.runs.map(({ air }) => air.stationPressurePa.value!);
    const absolute = manifoldPressurePa!.value[at]!;
    expect(absolute - boostPa!.value[at]!).toBeGreaterThanOrEqual(Math.min(...stations) - 1e-6);
    expect(absolute - boostPa!.value[at]!).toBeLessThanOrEqual(Math.max(...stations) + 1e-6);
    expect(pressureRatio!.value[at]! * (absolute - boostPa!.value[at]!)).toBeCloseTo(absolute, -1);
  });

  test('a smaller pulley: clear rise with a band that holds the whole curve, near what the pulley alone should give', () => {
    const { pressure } = asLogged.comparisons.find(({ before, after }) => before === 'base' && after === '74 mm pulley')!;
    const { boostPa, expectedRatio } = pressure!;
    expect(boostPa.status).toBeNull();
    boostPa.low.forEach((low, i) => {
      expect(low!).toBeGreaterThan(0);
      expect(low!).toBeLessThan(boostPa.difference[i]!);
      expect(boostPa.high[i]!).toBeGreaterThan(boostPa.difference[i]!);
    });
    expectedRatio!.expected.forEach((expected, i) => {
      // Source: ratio grows at least by the drive ratio, and by no more than the heat it adds (FORMULAS §7).
      expect(expected!).toBeGreaterThan(expectedRatio!.withoutHeat[i]!);
      expect(expected!).toBeLessThan(1.05 * expectedRatio!.withoutHeat[i]!);
    });
    expect(asLogged.comparisons[0]!.pressure!.expectedRatio).toBeNull();
  });
});

describe('the same logs through a sensor that ends at 160 kPa', () => {
  const clipped = answer((kpa) => Math.min(kpa, 160));

  test('every log with clamped samples says so, with the boost that the sensor can show', () => {
    const certain = clipped.ceilings!.filter(({ verdict }) => verdict === 'certain');
    expect(certain.length).toBeGreaterThanOrEqual(6);
    for (const ceiling of certain) {
      expect(Math.abs(ceiling.value - 160000)).toBeLessThanOrEqual(100);
      expect(ceiling.samples).toBeGreaterThan(0);
      expect(Math.abs(ceiling.highestBoostPa! / 1000 - (160 - 98.8))).toBeLessThan(0.5);
      expect(ceiling.explanation).toContain('psi');
    }
    expect(clipped.findings.some(({ code }) => code === 'W_SENSOR_CEILING')).toBe(true);
  });

  test('curves become bounds, open upwards, and the difference claims nothing there', () => {
    const curve = clipped.setups[2]!.curves.manifoldPressurePa!;
    expect(curve.bound).toBe('at-least');
    curve.boundAt!.forEach((bound, i) => {
      if (bound === 'at-least') expect(curve.high[i]).toBeNull();
    });
    const { manifoldPressurePa } = clipped.comparisons[1]!.pressure!;
    manifoldPressurePa.ceiling.forEach((flag, i) => {
      if (flag === 1) expect(manifoldPressurePa.difference[i]).toBeNull();
    });
    expect(manifoldPressurePa.ceiling).toContain(1);
  });

  test('a model-based estimate is labelled as one and lies above the ceiling', () => {
    const estimates = clipped.ceilings!.flatMap(({ modelEstimate }) => modelEstimate ?? []);
    expect(estimates.length).toBeGreaterThan(0);
    // The small pulley's pulls lie above 160 kPa nearly throughout: too little is left below to draw a line from.
    expect(clipped.ceilings!.filter(({ setup }) => setup === '74 mm pulley').every(({ modelEstimate }) => modelEstimate === null)).toBe(
      true,
    );
    for (const { label, value } of estimates) {
      expect(label).toContain('Model-based');
      expect(value.every((pa) => pa === null || (pa > 155000 && pa < 190000))).toBe(true);
    }
  });
});

test('a sensor that ends at 200 kPa absolute tops out near 14.3 psi at sea level and 16.8 psi at 84 kPa (CK-5.8)', () => {
  // Source: FORMULAS §5, CK-5.8: (200 − 101.325) kPa and (200 − 84) kPa in psi.
  const high = answer(
    (kpa) => (kpa < 98.9 ? (kpa * 84) / 98.9 : Math.min(200, (kpa - 98.9) * 1.9 + 84)),
    trialText.replaceAll(/pressure: 98\.\d kPa/g, 'pressure: 84 kPa'),
  );
  const ceiling = high.ceilings!.find(({ verdict }) => verdict === 'certain')!;
  expect(ceiling.value).toBeCloseTo(200000, -2);
  expect(ceiling.explanation).toContain('14.3 psi');
  expect(ceiling.explanation).toContain('16.8 psi');
  expect(ceiling.highestBoostPa).toBeCloseTo(116000, -2);
});
