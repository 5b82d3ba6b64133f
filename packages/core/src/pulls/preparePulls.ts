import type { Finding, Place } from '../findings/index.js';
import { checkSpeedByGears, mostEngineSpeedRpm } from '../log/index.js';
import { lowerBound, upperBound } from '../maths/index.js';
import {
  dragKgPerM,
  gradeChangeN,
  type MotionPull,
  type PreparedPull,
  type PullConditions,
  type SpeedReadings,
  steadyForceN,
} from '../power/index.js';
import { type Pull, quantileOf, type Readings } from '../stretches/index.js';
import type { RunInputs } from '../trial/index.js';
import { rotatingFactor, rpmPerMps, usualInertias } from '../vehicle/index.js';
import { type ChosenSpeed, speedOf } from './chosenSpeed.js';
import { sparseFindings, withEnoughReadings } from './fewReadings.js';
import { groundScales } from './groundSpeed.js';
import { type Heading, headingsOf } from './headings.js';
import type { LoadedRun } from './loadedRun.js';
import { gearRatiosMeasured, type RoadMending } from './measuredRatio.js';
import type { MeasuredGrade } from './roadGrades.js';
import { driveSlips, engineCoupling } from './slippingDrive.js';
import type { TrialPull } from './trialPull.js';

/** No car takes longer through one gear at full load, s. Common practice, no source. */
const longestPullS = 300;

/**
 * Turns the pulls of every run into what the torque fit takes: gearing calibrated to road speed, mass, road load, readings.
 *
 * @param runs Every run of the trial.
 * @param grades Grade under a pull where altitude told it; else that of the run counts.
 * @returns Every pull found, used or not, and findings about speed and gearing.
 */
export function preparePulls(
  runs: readonly LoadedRun[],
  grades: ReadonlyMap<Pull, MeasuredGrade> = new Map(),
): { readonly pulls: readonly TrialPull[]; readonly findings: readonly Finding[] } {
  const findings: Finding[] = [];
  const located = runs.flatMap((run) => pullsOf(run).map((pull) => ({ run, pull })));
  const ratios = gearRatiosMeasured(located, findings);
  const satellites = gearRatiosMeasured(located, [], 'satellite');
  const outings = outingKeys(runs);
  const along = headingsOf(runs.map(({ inputs }) => inputs.direction));
  const scales = groundScales(runs);
  const slipping: Place[] = [];
  const found = located.map(({ run, pull }, index): TrialPull => {
    const base = { run, log: run.log, signals: run.found.signals, pull };
    const speed = speedOf(run, pull, {
      road: ratios[index] ?? null,
      satellite: satellites[index] ?? null,
      scale: scales.get(run) ?? null,
    });
    if (speed === null) {
      return {
        ...base,
        prepared: null,
        gear: null,
        speedSource: 'none',
        cutReason: 'no road speed, and gearing that could replace it is not known',
      };
    }
    if (!(pull.endS - pull.startS <= longestPullS)) {
      const cutReason = `it lasts over ${longestPullS} s, as no pull in one gear does: check the unit of time`;
      return { ...base, prepared: null, gear: speed.gear, speedSource: speed.source, cutReason };
    }
    const slips = driveSlips(run.found.signals, pull, run.inputs);
    if (slips && ratios[index] === null) {
      return {
        ...base,
        prepared: null,
        gear: speed.gear,
        speedSource: speed.source,
        cutReason: 'the drive slips, and no road speed tells how the car moves',
      };
    }
    const motion = motionOf(run, pull, slips ? lockedRatio(run, speed) : speed.rpmPerMps, speed.gear, {
      roadScale: slips ? 1 : speed.roadScale,
      ...(slips ? asLogged : speed.road),
      slips,
      along: along(run.inputs.direction),
      measured: grades.get(pull) ?? null,
    });
    if (slips) slipping.push({ path: run.inputs.log, setup: run.inputs.setup, fromTimeS: pull.startS, toTimeS: pull.endS });
    const prepared: PreparedPull = { motion: motion.motion, conditions: motion.conditions(speed.spread), outingKey: outings.get(run)! };
    return { ...base, prepared, gear: speed.gear, speedSource: speed.source, cutReason: null };
  });
  const pulls = withEnoughReadings(found);
  findings.push(...speedUnitFindings(runs), ...sparseFindings(runs));
  if (slipping.length > 0) findings.push(slippingFinding(slipping));
  for (const run of runs) {
    const own = pulls.filter((pull) => pull.run === run);
    if (own.some((pull) => pull.prepared === null && pull.speedSource === 'none')) findings.push(noRoadSpeed(run));
  }
  return { pulls, findings };
}

/** One sentence and the one field that would change it. */
function noRoadSpeed({ inputs }: LoadedRun): Finding {
  const missing = [
    ...(inputs.gearRatios === null ? ['gear-ratios'] : []),
    ...(inputs.finalDrive === null ? ['final-drive'] : []),
    ...(inputs.tyreRadiusM.standing === 'assumed' ? ['tyre-radius or tyre'] : []),
  ];
  return {
    code: 'NO_ROAD_SPEED',
    severity: 'warning',
    message: `${inputs.log} has pulls but no road speed, and ${missing.length > 0 ? 'the gearing' : 'the gear'} is not known: they were left out.`,
    where: { path: inputs.log, setup: inputs.setup, field: inputs.gear === null ? 'gear' : 'car' },
    fix: `${inputs.gear === null ? 'Add the gear of the pulls to the run, such as gear: 3' : 'Keep the gear'}${missing.length > 0 ? `, and ${missing.join(', ')} to the car` : ''}; or log road speed.`,
  };
}

function slippingFinding(places: readonly Place[]): Finding {
  return {
    code: 'DRIVE_SLIPS',
    severity: 'note',
    message: `Engine speed runs ahead of road speed along ${places.length === 1 ? 'a pull' : `${places.length} pulls`}: converter or clutch slips. Road speed is used there, and the engine's inertia takes the engine's own acceleration.`,
    where: places[0]!,
    fix: 'Use a locked gear where the car allows it; say transmission and lock-up in the trial.',
    count: places.length,
  };
}

/** Locked ratio from gearing where it is known; a slipping drive's own ratio is no gearing. */
function lockedRatio(run: LoadedRun, speed: ChosenSpeed): number {
  const { gearRatios, finalDrive, tyreRadiusM } = run.inputs;
  if (gearRatios === null || finalDrive === null || speed.gear === null) return speed.rpmPerMps;
  return rpmPerMps({ gearRatios, finalDrive, tyreRadiusM: tyreRadiusM.value }, speed.gear);
}

/** A road speed in another unit than its name says shows against the car's gears. */
function speedUnitFindings(runs: readonly LoadedRun[]): Finding[] {
  return runs.flatMap(({ inputs, log }) => {
    const { gearRatios, finalDrive, tyreRadiusM } = inputs;
    if (gearRatios === null || finalDrive === null) return [];
    const gearing = { gearRatios, finalDrive, tyreRadiusM: tyreRadiusM.value };
    const finding = checkSpeedByGears(
      log,
      gearRatios.map((_, index) => rpmPerMps(gearing, index + 1)),
    );
    return finding === null ? [] : [finding];
  });
}

/** Pulls inside the span of the log that belongs to the run; none of a run that was driven for something else. */
function pullsOf(run: LoadedRun): readonly Pull[] {
  if (run.inputs.kind !== null && run.inputs.kind !== 'pulls') return [];
  const from = run.inputs.fromTimeS ?? Number.NEGATIVE_INFINITY;
  const to = run.inputs.toTimeS ?? Number.POSITIVE_INFINITY;
  return run.found.pulls.filter((pull) => pull.startS >= from && pull.endS <= to);
}

/** Runs of one named outing share a key; runs of unknown outing share one within their setup, or within a log that several setups use. */
function outingKeys(runs: readonly LoadedRun[]): Map<LoadedRun, string> {
  return new Map(
    runs.map((run) => {
      const { outing, log, setup } = run.inputs;
      if (outing !== null) return [run, `outing ${outing}`];
      const shared = runs.some((other) => other.setup !== run.setup && other.inputs.log === log);
      return [run, shared ? `log ${log}` : `unknown outing of ${setup}`];
    }),
  );
}

function motionOf(
  run: LoadedRun,
  pull: Pull,
  ratio: number,
  gear: number | null,
  how: {
    readonly slips: boolean;
    readonly roadScale: number;
    readonly delayS: number;
    readonly offsetMps: number;
    readonly along: Heading;
    readonly measured: MeasuredGrade | null;
  },
): { readonly motion: MotionPull; readonly conditions: (speedSpread: number) => PullConditions } {
  const { inputs } = run;
  const engineKgM2 = inputs.rotating.kind === 'inertia' ? inputs.rotating.engineKgM2.value : 0;
  const coupling = how.slips ? engineCoupling(run.found.signals, pull, ratio, engineKgM2) : null;
  const rotating = rotatingOf(inputs, ratio, gear, { engineApart: coupling !== null });
  const outing = inputs.outing ?? `log ${inputs.log}`;
  const base = {
    massKg: inputs.massKg,
    ownMassSpreadKg: inputs.massOwnSpreadKg,
    rotatingFactor: rotating,
    airDensityKgPerM3: inputs.airDensityKgPerM3.value,
    airDensitySpreadKgPerM3: inputs.airDensityKgPerM3.spread,
    dragAreaM2: inputs.dragAreaM2,
    rollingCoefficient: inputs.rollingCoefficient,
    roadLoadCovarianceM2: inputs.roadLoadCovarianceM2,
    windMps: inputs.windMps,
    grade: inputs.grade,
    carKey: `car, tyre ${inputs.tyreRadiusM.value}`,
    runKey: `${inputs.setup} ${inputs.log}`,
    windKey: outing,
    gradeKey: how.along.road ?? outing,
    heading: how.along.heading,
    ...how.measured,
  };
  const sharedMassSpread = Math.sqrt(Math.max(0, inputs.massKg.spread ** 2 - inputs.massOwnSpreadKg ** 2));
  const conditions = (speedScaleSpread: number): PullConditions => ({
    ...base,
    massKg: { value: inputs.massKg.value, spread: sharedMassSpread },
    speedScaleSpread,
  });
  const resolved = conditions(0);
  const { engine, road } = run.found.signals;
  const motion: MotionPull = {
    massKg: inputs.massKg.value,
    rotatingFactor: rotating.value,
    dragKgPerM: dragKgPerM(resolved),
    steadyN: steadyForceN(resolved),
    ...(how.measured === null ? {} : { gradeChangeN: (roadRpm: number) => gradeChangeN(resolved, roadRpm / ratio) }),
    windMps: inputs.windMps.value,
    rpmPerMps: ratio,
    ...(coupling === null ? {} : { coupling }),
    spans: pull.spans.map((span) => {
      if (coupling !== null) return [readingsIn(road!, span, ratio)];
      const channels: SpeedReadings[] = [readingsIn(engine!, span, 1)];
      if (road !== null) channels.push(readingsIn(road, span, ratio * how.roadScale, how));
      return channels;
    }),
  };
  return { motion, conditions };
}

/** Road speed that needs nothing put right. */
const asLogged: RoadMending = { delayS: 0, offsetMps: 0 };

/** Readings inside a span, with what is known of their lag and of steps that are cut off put right first. */
function readingsIn(readings: Readings, span: Pull['spans'][number], factor: number, mending: RoadMending = asLogged): SpeedReadings {
  const { delayS, offsetMps } = mending;
  const from = lowerBound(readings.timeS, span.fromS + delayS);
  const to = upperBound(readings.timeS, span.toS + delayS);
  const timeS = new Float64Array(to - from);
  const engineSpeedRpm = new Float64Array(to - from);
  let count = 0;
  for (let i = from; i < to; i++) {
    const rpm = (readings.values[i]! + offsetMps) * factor;
    // Beyond that a reading is a broken one, and the log's own findings say so.
    if (!(Math.abs(rpm) <= mostEngineSpeedRpm)) continue;
    timeS[count] = readings.timeS[i]! - delayS;
    engineSpeedRpm[count++] = rpm;
  }
  const values = engineSpeedRpm.subarray(0, count);
  const seconds: number[] = [];
  for (let i = 2; i < values.length; i++) seconds.push(Math.abs(values[i]! - 2 * values[i - 1]! + values[i - 2]!));
  const rough = seconds.length < 3 ? 0 : quantileOf(seconds, 0.5) / 0.6745 / Math.sqrt(6);
  const noiseRpm = Math.max(rough, (readings.channel.quantum * factor) / Math.sqrt(12), 0.05);
  return { timeS: timeS.subarray(0, count), engineSpeedRpm: values, noiseRpm };
}

/** Rotating factor of a gear; with `engineApart` an engine inertia that is known is left out, because the coupling counts it. */
function rotatingOf(
  inputs: RunInputs,
  ratio: number,
  gear: number | null,
  options: { readonly engineApart: boolean },
): { readonly value: number; readonly spread: number } {
  const { rotating, tyreRadiusM, gearRatios, finalDrive, massKg } = inputs;
  const stated = gear === null || gearRatios === null || finalDrive === null ? undefined : gearRatios[gear - 1];
  const overall = stated === undefined ? (ratio * 2 * Math.PI * tyreRadiusM.value) / 60 : stated * finalDrive!;
  if (rotating.kind === 'factor' && gear !== null && rotating.byGear.has(gear)) {
    return { value: rotating.byGear.get(gear)!, spread: rotating.spread };
  }
  const { wheelsKgM2, engineKgM2 } =
    rotating.kind === 'inertia' ? rotating : usualInertias({ ...inputs, massKg: massKg.value, tyreRadiusM: tyreRadiusM.value });
  const drive = { gearRatio: overall, finalDrive: 1, tyreRadiusM: tyreRadiusM.value };
  const value = rotatingFactor(
    massKg.value,
    { wheelsKgM2: wheelsKgM2.value, engineKgM2: options.engineApart ? 0 : engineKgM2.value },
    drive,
  );
  const perWheels = wheelsKgM2.spread / (massKg.value * tyreRadiusM.value ** 2);
  const perEngine = (engineKgM2.spread * overall ** 2) / (massKg.value * tyreRadiusM.value ** 2);
  return { value, spread: Math.hypot(perWheels, perEngine) };
}
