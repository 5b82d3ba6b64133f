import { moistAirDensity } from './air.js';
import { blownEngine } from './blownEngine.js';
import type { Surroundings } from './car.js';
import { makeLog } from './makeLog.js';
import type { Mark, Phase } from './phases.js';
import { seededRandom } from './random.js';
import { sampleCar, sampleEngine } from './sampleCar.js';
import { sampleLogger } from './sampleLogger.js';
import { roadGradePercent, type SampleRun, sampleRuns } from './sampleRuns.js';
import { drivenPass, samplePasses } from './sampleStrip.js';
import { sampleTrialYaml } from './sampleTrialYaml.js';

const seed = 20260516;
const stepS = 0.01;
/** Standard deviation of a pull's factor about 1. */
const pullSpread = 0.004;
const gridRpm = Array.from({ length: 39 }, (_, i) => 2650 + 100 * i);

interface TruePull {
  readonly scale: number;
  readonly startS: number;
  readonly endS: number;
  /** Wheel power that was put in, W, on the grid, with luck and scale. */
  readonly wheelPowerW: number[];
}

/** Wheel power of one pull on the grid of engine speeds, on straight lines between samples 10 ms apart. */
function powerOnGrid(rpm: Float64Array, power: Float64Array, mark: Mark): number[] {
  let i = Math.round(mark.fullFromS! / stepS);
  return gridRpm.map((wanted) => {
    while (rpm[i]! < wanted) i++;
    const share = (wanted - rpm[i - 1]!) / (rpm[i]! - rpm[i - 1]!);
    return power[i - 1]! + share * (power[i]! - power[i - 1]!);
  });
}

function driveRun(run: SampleRun, index: number): { text: string; pulls: TruePull[] } {
  const random = seededRandom(seed + 1000 * index);
  const north = run.direction === 'north' ? 1 : -1;
  const around: Surroundings = {
    airDensityKgPerM3: moistAirDensity(run.temperatureC + 273.15, 1000 * run.pressureKPa, run.humidityPercent / 100),
    headwindMps: north * run.outing.windNorthMps,
    grade: (north * roadGradePercent) / 100,
  };
  const pulls = Array.from({ length: 3 }, (): Phase[] => [
    { kind: 'cruise', durationS: 14, speedMps: 21, gear: 4, wanderMps: 0.15 },
    { kind: 'pull', gear: 3, fromRpm: 2400, toRpm: 6600, scale: run.outing.luck * (1 + pullSpread * random.normal()) },
  ]);
  const made = makeLog({
    car: sampleCar(run.fuelL),
    around,
    engine: blownEngine(sampleEngine(run.setup, run.temperatureC + 273.15, 1000 * run.pressureKPa)),
    phases: [
      { kind: 'key-on', durationS: 6 },
      { kind: 'idle', durationS: 12 },
      ...pulls.flat(),
      { kind: 'coast', fromSpeedMps: 33, toSpeedMps: 19 },
    ],
    logger: sampleLogger(run.decimal),
    seed: seed + 1000 * index + 1,
    stepS,
  });
  const rpm = made.truth.drive.channels.get('engineSpeedRpm')!;
  const power = made.truth.drive.channels.get('wheelPowerW')!;
  const marks = made.truth.marks.filter((mark) => mark.kind === 'pull');
  return {
    text: made.text,
    pulls: marks.map((mark) => ({ scale: mark.scale!, startS: mark.startS, endS: mark.endS, wheelPowerW: powerOnGrid(rpm, power, mark) })),
  };
}

const round = (value: number, decimals: number): number => Number(value.toFixed(decimals));
const meanOf = (curves: readonly (readonly number[])[]): number[] =>
  gridRpm.map((_, i) => curves.reduce((sum, curve) => sum + curve[i]!, 0) / curves.length);

/** JSON with lists of numbers on one line each. */
const jsonText = (value: unknown): string =>
  `${JSON.stringify(value, null, 2).replace(/\[[\d\s.,-]+\]/g, (list) => list.replace(/\s+/g, ' ').replace('[ ', '[').replace(' ]', ']'))}\n`;

/**
 * The sample logs, their trial file and the truth behind them: file name → text. Always the same bytes.
 *
 * `truth.json`: wheel power as defined for measurement, W. A setup's curve is the mean over its pulls without outing luck and without the
 * pulls' own scales (`scale` of a pull holds both); a difference compares setups within the outing that logged both.
 */
export function sampleLogs(): ReadonlyMap<string, string> {
  const files = new Map<string, string>([['trial.yaml', sampleTrialYaml()]]);
  const driven = sampleRuns.map((run, index) => ({ run, ...driveRun(run, index) }));
  for (const { run, text } of driven) files.set(run.log, text);
  samplePasses.forEach((pass, index) => {
    if (pass.log !== null) files.set(pass.log, drivenPass(pass, index).text);
  });
  const ownCurves = (setup: string, outing?: string): number[] =>
    meanOf(
      driven
        .filter(({ run }) => run.setup.name === setup && (outing === undefined || run.outing.name === outing))
        .flatMap(({ pulls }) => pulls.map((pull) => pull.wheelPowerW.map((w) => w / pull.scale))),
    );
  const difference = (before: string, after: string, outing: string): object => {
    const from = ownCurves(before, outing);
    const to = ownCurves(after, outing);
    return {
      before,
      after,
      outing,
      wheelPowerW: to.map((w, i) => round(w - from[i]!, 0)),
      share: to.map((w, i) => round(w / from[i]! - 1, 4)),
    };
  };
  const names = [...new Set(sampleRuns.map((run) => run.setup.name))];
  files.set(
    'truth.json',
    jsonText({
      about: 'Invented data. The wheel power that the simulated car was given; written by tools/makeSampleLogs.js.',
      seed,
      engineSpeedRpm: gridRpm,
      outings: [...new Set(sampleRuns.map((run) => run.outing))].map(({ name, luck }) => ({ name, luck })),
      setups: names.map((name) => ({ name, wheelPowerW: ownCurves(name).map((w) => round(w, 0)) })),
      differences: [difference('base', 'large charge cooler', 'saturday'), difference('base', '74 mm pulley', 'sunday')],
      runs: driven.map(({ run, pulls }) => ({
        log: run.log,
        setup: run.setup.name,
        outing: run.outing.name,
        massKg: round(sampleCar(run.fuelL).massKg, 3),
        pulls: pulls.map((pull) => ({
          scale: round(pull.scale, 6),
          startS: round(pull.startS, 2),
          endS: round(pull.endS, 2),
          wheelPowerW: pull.wheelPowerW.map((w) => round(w, 0)),
        })),
      })),
    }),
  );
  return files;
}
