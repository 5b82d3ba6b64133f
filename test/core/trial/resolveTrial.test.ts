import { parseTrial, resolveTrial, type TrialInputs } from '@pullproof/core';
import { describe, expect, test } from 'vitest';
import { fullTrial } from './fullTrial.js';

function resolved(text: string): TrialInputs {
  return resolveTrial(parseTrial(text, 'trial.yaml'));
}

function runOf(text: string, setup = 0, run = 0) {
  return resolved(text).setups[setup]!.runs[run]!;
}

const bare = (car: string, run = '{ log: a.csv }') => `trial: 1\ncar: ${car}\nsetups: [ { name: stock, runs: [ ${run} ] } ]`;

describe('mass', () => {
  test('is a ledger: scale less fuel, driver, cargo, fuel', () => {
    const { massKg, ledger } = runOf(fullTrial);
    const carKg = 3478 * 0.45359237 - 40 * 0.745;
    expect(ledger.map(({ item, massKg: kg }) => [item, Number(kg.toFixed(6))])).toEqual([
      ['car', Number(carKg.toFixed(6))],
      ['driver', 82],
      ['cargo', 6],
      ['fuel', Number((35 * 0.745).toFixed(6))],
    ]);
    expect(massKg.value).toBeCloseTo(carKg + 82 + 6 + 35 * 0.745, 9);
    expect(massKg.standing).toBe('entered');
  });

  test('a setup and a run may override driver and cargo; a share of the tank counts', () => {
    const { ledger } = runOf(fullTrial, 1);
    expect(ledger[1]).toMatchObject({ item: 'driver', massKg: 90 });
    expect(ledger[2]).toMatchObject({ item: 'cargo', massKg: 0 });
    expect(ledger[3]!.massKg).toBeCloseTo(0.5 * 70 * 0.745, 9);
  });

  test('a driver who sat in on the scale and drives cancels, in value and in spread', () => {
    const weighed = (driver: string) =>
      bare(`{ weighed: { mass: 1600 kg, fuel-in-tank: 40 L, driver: in }, ${driver} cargo: 0 kg }`, '{ log: a.csv, fuel-in-tank: 40 L }');
    const known = runOf(weighed('driver: 90 kg,')).massKg;
    const unknown = runOf(weighed('')).massKg;
    expect(known.value).toBeCloseTo(1600, 9);
    expect(unknown.value).toBeCloseTo(1600, 9);
    expect(unknown.spread).toBeCloseTo(known.spread, 9);
  });

  test('two runs differ in mass only by what is their own', () => {
    const run = runOf(fullTrial);
    // 2 L of petrol at 0.745 kg/L, by the table of spreads; regression, not truth.
    expect(run.massOwnSpreadKg).toBeCloseTo(1.49, 9);
    expect(run.massKg.spread).toBeGreaterThan(run.massOwnSpreadKg);
  });

  test('mass-without-fuel has neither driver nor fuel in it', () => {
    const { massKg } = runOf(
      bare('{ mass-without-fuel: 1480 kg, driver: 82 kg, cargo: 0 kg, fuel-density: 0.75 kg/L }', '{ log: a.csv, fuel-in-tank: 40 L }'),
    );
    expect(massKg.value).toBeCloseTo(1480 + 82 + 30, 9);
  });
});

describe('air', () => {
  test('altimeter setting and elevation become station pressure', () => {
    // Source: CK-1.24's ISA form by hand, 29.98 inHg × (1 − 0.0065 × 185.928/288.15)^5.25588 = 99,306 Pa; 10 Pa apart from other published forms.
    const expected = 29.98 * 3386.38864 * (1 - (0.0065 * 610 * 0.3048) / 288.15) ** 5.25588;
    expect(Math.abs(runOf(fullTrial, 1).stationPressurePa.value - expected)).toBeLessThan(10);
  });

  test('dew point becomes humidity', () => {
    // Source: CK-1.15, Magnus form of WMO-No. 8: 30 °C with a dew point of 20 °C is 55.096 %.
    const { relativeHumidity } = runOf(bare('{}', '{ log: a.csv, air: { temperature: 30 degC, dew-point: 20 degC } }'));
    expect(relativeHumidity.value).toBeCloseTo(0.55096, 4);
    expect(relativeHumidity.standing).toBe('entered');
  });

  test('density is that of CIPM-2007', () => {
    // Source: CK-1.3: 20 °C, 101325 Pa, 50 %: 1.1993139 kg/m³.
    const { airDensityKgPerM3 } = runOf(bare('{}', '{ log: a.csv, air: { temperature: 20 degC, pressure: 101325 Pa, humidity: 50 % } }'));
    expect(airDensityKgPerM3.value).toBeCloseTo(1.1993139, 5);
  });

  test('only what is missing is assumed', () => {
    const { temperatureK, stationPressurePa, relativeHumidity, airDensityKgPerM3 } = runOf(
      bare('{}', '{ log: a.csv, air: { temperature: 24 degC, pressure: 99.1 kPa } }'),
    );
    expect([temperatureK, stationPressurePa, relativeHumidity, airDensityKgPerM3].map(({ standing }) => standing)).toEqual([
      'entered',
      'entered',
      'assumed',
      'assumed',
    ]);
  });

  test('an elevation alone narrows the pressure', () => {
    const { stationPressurePa } = runOf(bare('{}', '{ log: a.csv, air: { elevation: 1500 m } }'));
    // Source: US Standard Atmosphere 1976, 1500 m: 84,556 Pa.
    expect(stationPressurePa.value).toBeCloseTo(84556, -1);
    expect(stationPressurePa.standing).toBe('assumed');
    expect(stationPressurePa.spread).toBeLessThan(3000);
  });

  test('a pressure reduced to sea level is noticed when the elevation stands beside it', () => {
    const { findings } = resolved(bare('{}', '{ log: a.csv, air: { pressure: 1018 hPa, elevation: 1500 m } }'));
    expect(findings.map(({ code }) => code)).toContain('W_PRESSURE_REDUCED');
  });
});

describe('fuel', () => {
  test.each([
    // Source: CK-6.6 with 14.6 for petrol and 9.00 for ethanol, 0.745 and 0.789 kg/L; tolerance 0.005.
    [0.1, 14.011],
    [0.15, 13.718],
    [0.2, 13.428],
    [0.5, 11.72],
    [0.7, 10.613],
    [0.85, 9.8],
  ])('%s ethanol by volume needs %s kg of air for a kg', (share, afr) => {
    const { stoichAfr } = runOf(bare(`{ fuel-type: { ethanol: ${100 * share} % } }`));
    expect(Math.abs(stoichAfr.value - afr)).toBeLessThanOrEqual(0.005);
  });

  test('fuel-type may be overridden for a run', () => {
    const { stoichAfr } = runOf(bare('{ fuel-type: { ethanol: 10 % } }', '{ log: a.csv, fuel-type: { stoich-afr: 9.8 } }'));
    expect(stoichAfr).toMatchObject({ value: 9.8, standing: 'entered' });
  });
});

describe('what is left out', () => {
  const inputs = resolved(
    'trial: 1\nsetups:\n  - { name: a, runs: [ { log: a.csv, wind: 1 m/s }, { log: b.csv } ] }\n  - { name: b, runs: [ { log: c.csv } ] }',
  );

  test('is listed once per quantity with value, spread, source, where and how to supply it', () => {
    const codes = inputs.findings.map(({ code }) => code);
    expect(new Set(codes).size).toBe(codes.length);
    expect(codes.sort()).toEqual(
      [
        ...[
          'CAR_MASS',
          'DRIVER',
          'CARGO',
          'FUEL_LEVEL',
          'TANK',
          'FUEL_DENSITY',
          'DRAG_AREA',
          'ROLLING',
          'TYRE_RADIUS',
          'TEMPERATURE',
          'PRESSURE',
        ],
        ...['HUMIDITY', 'WIND', 'GRADE', 'WHEEL_INERTIA', 'ENGINE_INERTIA', 'STOICH', 'GAUGE_STOICH'],
      ]
        .map((name) => `ASSUMED_${name}`)
        .sort(),
    );
    const byCode = new Map(inputs.findings.map((finding) => [finding.code, finding]));
    expect(byCode.get('ASSUMED_TEMPERATURE')!.message).toBe(
      'The air temperature is not given for every run: assumed 20 ± 8 °C (20 °C; common practice, no source).',
    );
    expect(byCode.get('ASSUMED_WIND')!.message).toContain('for b.csv, c.csv: assumed 0 ± 2 m/s');
    expect(byCode.get('ASSUMED_PRESSURE')!.message).toContain('assumed 99 ± 3 kPa');
    for (const finding of inputs.findings) {
      expect(finding.severity).toBe('note');
      expect(finding.fix).toMatch(/^(Give|Say|Weigh)/);
    }
  });

  test('is listed as data too, SI, without NaN', () => {
    expect(inputs.assumptions).toHaveLength(18);
    expect(JSON.parse(JSON.stringify(inputs.assumptions))).toEqual(inputs.assumptions);
    expect(inputs.assumptions.find(({ quantity }) => quantity === 'headwind')).toMatchObject({
      value: 0,
      spread: 2,
      unit: 'm/s',
      where: 'b.csv, c.csv',
    });
  });

  test('every number of a run is finite and says where it comes from', () => {
    for (const run of inputs.setups.flatMap(({ runs }) => runs)) {
      for (const value of Object.values(run)) {
        if (typeof value !== 'object' || value === null || !('spread' in value) || !('value' in value)) continue;
        expect(Number.isFinite(value.value) && Number.isFinite(value.spread)).toBe(true);
        expect(value.source).not.toBe('');
      }
    }
  });

  test('outing, direction and time stay unknown', () => {
    expect(inputs.setups[0]!.runs[0]).toMatchObject({
      outing: null,
      direction: null,
      when: null,
      fromTimeS: null,
      toTimeS: null,
      lockUp: null,
    });
  });

  test('nothing is assumed for a run that states it all', () => {
    const all = fullTrial.replace('outing: saturday, fuel-in-tank: 50 %', 'outing: saturday, wind: 2 mph, grade: 0 %, fuel-in-tank: 50 %');
    expect(resolved(all).findings).toEqual([]);
    expect(resolved(all).assumptions).toEqual([]);
  });
});

describe('the car', () => {
  test('spinning parts by inertia, by factor, or by the kind of car', () => {
    expect(runOf(fullTrial).rotating).toMatchObject({ kind: 'inertia', wheelsKgM2: { value: 4.6 }, engineKgM2: { value: 0.24 } });
    const byFactor = runOf(bare('{ rotating-factor: { 1: 1.26, 2: 1.12 } }')).rotating;
    expect(byFactor).toMatchObject({
      kind: 'factor',
      byGear: new Map([
        [1, 1.26],
        [2, 1.12],
      ]),
    });
    // Regression, not truth: 0.05 + 0.055 for each liter, 10 % more with a converter.
    expect(runOf(bare('{}')).rotating).toMatchObject({
      kind: 'inertia',
      engineKgM2: { standing: 'assumed', value: expect.closeTo(0.215, 9) },
    });
    const one = runOf(bare('{ displacement: 5.0 L, transmission: automatic }')).rotating;
    expect(one).toMatchObject({
      wheelsKgM2: { standing: 'assumed' },
      engineKgM2: { standing: 'assumed', value: expect.closeTo(0.3575, 9) },
    });
  });

  test('what is left to coast-downs is passed on; the defaults stand in until the logs are read', () => {
    const { fromCoastDowns, findings } = resolved(bare('{ drag-area: from coast-downs, rolling-coefficient: from coast-downs }'));
    expect(fromCoastDowns).toEqual(['drag-area', 'rolling-coefficient']);
    expect(findings.map(({ code }) => code)).toContain('ASSUMED_DRAG_AREA');
  });

  test('a setup without runs is refused with its field', () => {
    expect(() => resolved('trial: 1\nsetups: [ { name: a } ]')).toThrow(/setups\[0\]\.runs.*\[E_TRIAL_MISSING\]/);
  });
});
