import { moistAirDensity } from './air.js';
import { blownEngine } from './blownEngine.js';
import { drive } from './drive.js';
import { sampleLog } from './logger.js';
import type { Phase } from './phases.js';
import { seededRandom } from './random.js';
import { baseSetup, pulleySetup, type SampleSetup, sampleCar, sampleEngine } from './sampleCar.js';
import { sampleLogger } from './sampleLogger.js';
import { timeSlip } from './timeSlip.js';

/** The way the owner launches and shifts; the trial file gives what a person would know of it. */
export const sampleLaunch = { rpm: 3400, shiftRpm: 6600, shiftTimeS: 0.32 } as const;

/** One pass at the strip, on a day of its own. */
export interface SamplePass {
  readonly setup: SampleSetup;
  readonly when: string;
  readonly fuelL: number;
  readonly temperatureC: number;
  readonly pressureKPa: number;
  readonly humidityPercent: number;
  readonly headwindMps: number;
  /** Largest driving force over the weight. */
  readonly gripShare: number;
  readonly luck: number;
  readonly log: string | null;
}

const evening = { temperatureC: 18.5, pressureKPa: 99.6, humidityPercent: 55, headwindMps: 0.8 } as const;

export const samplePasses: readonly SamplePass[] = [
  { ...evening, setup: baseSetup, when: '2026-05-30T19:05', fuelL: 22, gripShare: 0.56, luck: 1.001, log: 'pass-base.csv' },
  { ...evening, setup: baseSetup, when: '2026-05-30T19:40', fuelL: 20, gripShare: 0.57, luck: 0.998, log: null },
  { ...evening, setup: pulleySetup, when: '2026-05-30T20:35', fuelL: 18, gripShare: 0.563, luck: 1, log: null },
];

const rolloutM = 0.28;

/** A pass driven: what the strip printed, times to a millisecond and speeds to a hundredth of a mile an hour, and what the logger wrote. */
export function drivenPass(
  pass: SamplePass,
  index: number,
): { readonly times: Readonly<Record<string, string>>; readonly speeds: Readonly<Record<string, string>>; readonly text: string } {
  const phases: Phase[] = [
    { kind: 'key-on', durationS: 2 },
    { kind: 'idle', durationS: 5 },
    { kind: 'cruise', durationS: 2, speedMps: 5, gear: 1 },
    { kind: 'idle', durationS: 5 },
    { kind: 'cruise', durationS: 1.5, speedMps: 1.4, gear: 1 },
    { kind: 'idle', durationS: 2 },
    {
      kind: 'pass',
      launchRpm: sampleLaunch.rpm,
      shiftRpm: sampleLaunch.shiftRpm,
      holeS: sampleLaunch.shiftTimeS,
      gripShare: pass.gripShare,
      riseS: 0.15,
      rolloutM,
      lengthM: 406,
      scale: pass.luck,
    },
    { kind: 'cruise', durationS: 20, speedMps: 11, gear: 3 },
    { kind: 'idle', durationS: 3 },
  ];
  const ambientK = pass.temperatureC + 273.15;
  const ambientPa = 1000 * pass.pressureKPa;
  const around = {
    airDensityKgPerM3: moistAirDensity(ambientK, ambientPa, pass.humidityPercent / 100),
    headwindMps: pass.headwindMps,
    grade: 0,
  };
  const driven = drive(sampleCar(pass.fuelL), around, blownEngine(sampleEngine(pass.setup, ambientK, ambientPa)), phases, { stepS: 0.005 });
  const slip = timeSlip(driven, driven.marks.find(({ kind }) => kind === 'pass')!, rolloutM);
  return {
    times: Object.fromEntries(slip.times.map(({ mark, timeS }) => [mark, `${timeS.toFixed(3)} s`])),
    speeds: Object.fromEntries(slip.speeds.map(({ mark, speedMps }) => [mark, `${(speedMps / 0.44704).toFixed(2)} mph`])),
    text: sampleLog(driven, sampleLogger('point'), seededRandom(20260530 + index)),
  };
}

/** Lines of the trial file for the slips. */
export function slipLines(): string[] {
  const flow = (values: Readonly<Record<string, string>>): string =>
    `{ ${Object.entries(values)
      .map(([mark, value]) => `${mark}: ${value}`)
      .join(', ')} }`;
  return [
    'slips:',
    ...samplePasses.flatMap((pass, index) => {
      const { times, speeds } = drivenPass(pass, index);
      return [
        `  - setup: ${pass.setup.name}`,
        ...(pass.log === null ? [] : [`    log: ${pass.log}`]),
        `    when: ${pass.when}`,
        `    fuel-in-tank: ${pass.fuelL} L`,
        `    air: { temperature: ${pass.temperatureC} degC, pressure: ${pass.pressureKPa} kPa, humidity: ${pass.humidityPercent} % }`,
        `    wind: ${pass.headwindMps} m/s`,
        `    times: ${flow(times)}`,
        `    speeds: ${flow(speeds)}`,
      ];
    }),
  ];
}
