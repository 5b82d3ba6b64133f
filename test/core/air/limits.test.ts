import { describe, expect, it } from 'vitest';
import {
  densityAltitudeM,
  dewPointK,
  geopotentialFromGeometric,
  powerCorrection,
  pressureAltitudeM,
  reducedPressureFinding,
  relativeHumidityFromDewPoint,
  saturationPressurePa,
  standardAtmosphere,
  stationPressureFromAltimeter,
} from '../../../packages/core/src/air/index.js';
import { PullproofError } from '../../../packages/core/src/findings/index.js';

// The stated ranges are our own decision: what roads and weather reach.
const ranges: readonly [
  name: string,
  call: (value: number) => number,
  low: number,
  high: number,
  code: string,
  what: (given: number) => string,
  fix: string,
][] = [
  [
    'standardAtmosphere',
    (m) => standardAtmosphere(m).pressurePa,
    -1000,
    11000,
    'E_ALTITUDE',
    (m) => `altitude must lie between −1000 m and 11000 m, given ${m}.`,
    'Check the unit.',
  ],
  [
    'geopotentialFromGeometric',
    geopotentialFromGeometric,
    -1000,
    11000,
    'E_ALTITUDE',
    (m) => `height must lie between −1000 m and 11000 m, given ${m}.`,
    'Check the unit.',
  ],
  [
    'elevation of an altimeter setting',
    (m) => stationPressureFromAltimeter(101325, m),
    -1000,
    11000,
    'E_ALTITUDE',
    (m) => `elevation must lie between −1000 m and 11000 m, given ${m}.`,
    'Check the unit.',
  ],
  [
    'pressureAltitudeM',
    pressureAltitudeM,
    22632,
    120e3,
    'E_ALTITUDE',
    (pa) => `pressure must lie between 22632 Pa and 120000 Pa, given ${pa}.`,
    'Check the unit; it is an absolute pressure.',
  ],
  [
    'densityAltitudeM',
    densityAltitudeM,
    0.36,
    1.8,
    'E_ALTITUDE',
    (density) => `air density must lie between 0.36 and 1.8 kg/m³, given ${density}.`,
    'Check temperature and pressure.',
  ],
  [
    'altimeter setting',
    (pa) => stationPressureFromAltimeter(pa, 0),
    85e3,
    110e3,
    'E_ALTIMETER',
    (pa) => `altimeter setting must lie between 850 hPa and 1100 hPa, given ${pa / 100} hPa.`,
    'Check the unit; if it is a station pressure, give it as such, without elevation.',
  ],
  [
    'saturationPressurePa',
    saturationPressurePa,
    223.15,
    333.15,
    'E_AIR',
    (k) => `temperature must lie between 223.15 K and 333.15 K, given ${k}.`,
    'Check the unit.',
  ],
  [
    'dewPointK',
    (k) => dewPointK(k, 0.5),
    223.15,
    333.15,
    'E_AIR',
    (k) => `temperature must lie between 223.15 K and 333.15 K, given ${k}.`,
    'Check the unit.',
  ],
  [
    'air of a dew point',
    (k) => relativeHumidityFromDewPoint(k, 220),
    223.15,
    333.15,
    'E_AIR',
    (k) => `temperature must lie between 223.15 K and 333.15 K, given ${k}.`,
    'Check the unit.',
  ],
  [
    'dew point',
    (k) => relativeHumidityFromDewPoint(293.15, k),
    180,
    293.15,
    'E_AIR',
    (k) => `dew point must lie between 180 K and the air's temperature of 293.15 K, given ${k} K.`,
    'Check the units of both; the dew point is never above the temperature.',
  ],
];

function refusal(call: () => unknown): PullproofError {
  try {
    call();
  } catch (error) {
    if (error instanceof PullproofError) return error;
    throw error;
  }
  throw new Error('nothing was refused');
}

describe('ranges are closed, and what lies outside is refused with the value, the range and the mend', () => {
  it.each(ranges)('%s', (_, call, low, high, code, what, fix) => {
    expect(call(low)).not.toBeNaN();
    expect(call(high)).not.toBeNaN();
    const span = high - low;
    for (const outside of [low - 1e-6 * span, high + 1e-6 * span, Number.NaN, Number.POSITIVE_INFINITY]) {
      const error = refusal(() => call(outside));
      expect([error.code, error.what, error.fix]).toEqual([code, what(outside), fix]);
    }
  });

  it('relative humidity of a dew point: above 0, at most 1', () => {
    expect(dewPointK(293.15, 1)).toBeCloseTo(293.15, 9);
    for (const outside of [0, 1.0001, 45, Number.NaN]) {
      const error = refusal(() => dewPointK(293.15, outside));
      expect([error.what, error.fix]).toEqual([
        `relative humidity must lie above 0 and at most 1, given ${outside}.`,
        'Check the unit: 45 % is 0.45.',
      ]);
    }
  });

  it('dry pressure of a correction: above 0.7 of the station pressure, at most all of it', () => {
    const inlet = (dryPressurePa: number) => ({ temperatureK: 298.15, stationPressurePa: 100e3, dryPressurePa });
    expect(powerCorrection('sae-j1349', inlet(100e3), { boostControl: 'none' }).factor).toBeGreaterThan(0);
    for (const outside of [70e3, 100e3 + 1, Number.NaN]) {
      const error = refusal(() => powerCorrection('sae-j1349', inlet(outside), { boostControl: 'none' }));
      expect([error.code, error.what, error.fix]).toEqual([
        'E_AIR',
        `dry pressure must lie a little below the station pressure of 100000 Pa, given ${outside}.`,
        'Take the vapour pressure off the station pressure.',
      ]);
    }
  });

  it('fuel per cycle of a diesel correction: between 0 and 1000 mg per litre', () => {
    const inlet = { temperatureK: 298.15, stationPressurePa: 100e3, dryPressurePa: 99e3 };
    for (const outside of [0, 1000, Number.NaN]) {
      const error = refusal(() => powerCorrection('iso-1585-diesel', inlet, { boostControl: 'none', fuelPerCycleMgPerL: outside }));
      expect([error.code, error.what, error.fix]).toEqual([
        'E_CORRECTION',
        `fuel per litre and cycle must lie between 0 and 1000 mg/L, given ${outside}.`,
        'Give milligrams of fuel per litre of displacement and cycle, over the pressure ratio.',
      ]);
    }
  });
});

describe('warnings of a correction', () => {
  const inlet = { temperatureK: 298.15, stationPressurePa: 100e3, dryPressurePa: 99e3 };

  it('are one sentence, or null', () => {
    expect(powerCorrection('sae-j1349', inlet, { boostControl: 'none' }).warning).toBeNull();
    // A dry pressure low enough for two warnings: the window of pressure, and the window of the factor.
    const two = powerCorrection('sae-j1349', { ...inlet, dryPressurePa: 89e3 }, { boostControl: 'none' }).warning;
    expect(two).toBe(
      'a dry pressure of 89.0 kPa is outside the 90 to 105 kPa for which SAE J1349 is meant; a factor of 1.133 is outside the 0.97 to 1.03 within which SAE J1349 counts on it.',
    );
  });

  it('a blower of fixed ratio is warned about for spark ignition alone', () => {
    const options = { boostControl: 'fixed-ratio' as const, fuelPerCycleMgPerL: 50 };
    expect(powerCorrection('sae-j1349', inlet, options).warning).toBe(
      'the standard was made for engines without boost: for a blower of fixed ratio its direction holds, its size is not known.',
    );
    expect(powerCorrection('iso-1585-diesel', inlet, options).warning).toBeNull();
  });

  it('the ends of a window belong to it', () => {
    for (const temperatureK of [288.15, 308.15]) {
      const { warning } = powerCorrection('sae-j1349', { ...inlet, temperatureK }, { boostControl: 'none' });
      expect(warning).toBeNull();
    }
    for (const temperatureK of [288.1, 308.2]) {
      const { warning } = powerCorrection('sae-j1349', { ...inlet, temperatureK }, { boostControl: 'none' });
      expect(warning).toMatch(/^inlet air of \d+\.\d °C is outside the 15 to 35 °C for which SAE J1349 is meant\.$/);
    }
  });
});

describe('a pressure that looks reduced to sea level', () => {
  it('says how far above the usual it is', () => {
    // Source: U.S. Standard Atmosphere 1976, table I: 898.76 hPa at 1000 m geopotential.
    expect(reducedPressureFinding(1013.25e2, 1000, { path: 'trial.yaml' })).toEqual({
      code: 'W_PRESSURE_REDUCED',
      severity: 'warning',
      message:
        '1013.3 hPa at an elevation of 1000 m is 13 % above the usual 899 hPa, as a pressure reduced to sea level would be; air density, and what air could explain, would be wrong by as much.',
      where: { path: 'trial.yaml' },
      fix: 'If it came from a weather report or a phone, give it as altimeter with elevation; a manifold-pressure reading with the engine off is the station pressure.',
    });
  });

  it('begins above an altimeter setting of 1045 hPa', () => {
    expect(reducedPressureFinding(104500, 0, {})).toBeNull();
    expect(reducedPressureFinding(104501, 0, {})).not.toBeNull();
  });
});
