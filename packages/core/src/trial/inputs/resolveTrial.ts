import { type Finding, type Place, PullproofError } from '../../findings/index.js';
import { tyreFromSize, usualInertias } from '../../vehicle/index.js';
import type { CarFile, ReadingFile, RunFile, SetupFile, TrialFile, Written } from '../file/trialFile.js';
import { AssumptionLedger } from './assumptions.js';
import { type EnteredName, enteredSpread } from './defaults.js';
import type { RotatingInertia, RunInputs, SetupInputs, StatedNumber, TrialInputs } from './inputs.js';
import { pressureFinding, resolveAir } from './resolveAir.js';
import { resolveStoich } from './resolveFuel.js';
import { resolveBlower, resolveEngine, resolveInjectors, resolveMapSensor } from './resolveHardware.js';
import { resolveMass } from './resolveMass.js';

/**
 * Resolves a trial file: overrides applied, everything left out assumed with its spread and listed, each value with its standing.
 *
 * @param file as {@link parseTrial} gives it
 * @returns one set of inputs for each run, in the order of the file, in SI; findings say what was assumed, once per quantity
 * @throws E_TRIAL_MISSING when a setup has no runs
 *
 * @example
 * ```ts
 * import { parseTrial, resolveTrial } from '@pullproof/core';
 * const text = 'trial: 1\ncar: { mass-without-fuel: 1480 kg, driver: 82 kg, cargo: 0 kg }\nsetups: [{ name: stock, runs: [{ log: a.csv, fuel-in-tank: 40 L }] }]';
 * const { setups, findings } = resolveTrial(parseTrial(text, 'trial.yaml'));
 * setups[0]!.runs[0]!.massKg.value.toFixed(1); // => '1591.8'
 * findings.some(({ code }) => code === 'ASSUMED_DRAG_AREA'); // => true
 * ```
 */
export function resolveTrial(file: TrialFile): TrialInputs {
  const assumed = new AssumptionLedger();
  const found: Finding[] = [];
  const setups = file.setups.map((setup, s): SetupInputs => {
    if (setup.runs === undefined || setup.runs.length === 0) {
      throw new PullproofError(
        'E_TRIAL_MISSING',
        `The setup "${setup.name}" has no runs.`,
        { path: file.path, field: `setups[${s}].runs` },
        'Add at least one: runs: [{ log: a.csv }].',
      );
    }
    const runs = setup.runs.map((run, r) => {
      const finding = pressureFinding(run.air ?? {}, { path: file.path, field: `setups[${s}].runs[${r}].air.pressure`, setup: setup.name });
      if (finding !== null) found.push(finding);
      return placed({ path: file.path, field: `setups[${s}].runs[${r}]` }, () => resolveRun(file.car, setup, run, assumed));
    });
    return { name: setup.name, runs };
  });
  const logs = setups.flatMap(({ runs }) => runs.map(({ log }) => log));
  return {
    title: file.title,
    units: file.units,
    setups,
    assumptions: assumed.list(logs),
    fromCoastDowns: (['drag-area', 'rolling-coefficient'] as const).filter((key) => file.car[key] === 'from coast-downs'),
    findings: [...found, ...assumed.findings(file.path, logs)],
  };
}

export function resolveRun(car: CarFile, setup: SetupFile, run: RunFile, assumed: AssumptionLedger): RunInputs {
  const { log } = run;
  const entered = (written: Written | undefined, name: EnteredName, field: string): StatedNumber | undefined =>
    written === undefined
      ? undefined
      : { value: written.si, spread: enteredSpread(name, written.si), standing: 'entered', source: `${field}: ${written.text}` };
  const carDragArea = car['drag-area'];
  const carRolling = car['rolling-coefficient'];
  const gauge = car.targets?.['gauge-stoich'];
  const body = {
    setup: setup.name,
    log,
    fromTimeS: run.from?.si ?? null,
    toTimeS: run.to?.si ?? null,
    when: run.when ?? null,
    outing: run.outing ?? null,
    direction: run.direction ?? null,
    kind: run.kind ?? null,
    gear: run.gear ?? null,
    ...resolveMass(car, setup, run, log, assumed),
    ...resolveAir(run.air ?? {}, log, assumed),
    windMps: entered(run.wind, 'wind', 'wind') ?? assumed.assume('wind', log),
    grade: entered(run.grade, 'grade', 'grade') ?? assumed.assume('grade', log),
    dragAreaM2:
      (typeof carDragArea === 'object' ? entered(carDragArea, 'dragArea', 'car.drag-area') : undefined) ?? assumed.assume('dragArea', log),
    rollingCoefficient:
      (typeof carRolling === 'object' ? entered(carRolling, 'rolling', 'car.rolling-coefficient') : undefined) ??
      assumed.assume('rolling', log),
    roadLoadCovarianceM2: 0,
    tyreRadiusM: resolveTyre(
      car,
      entered(run['tyre-radius'] ?? setup['tyre-radius'] ?? car['tyre-radius'], 'tyreRadius', 'tyre-radius'),
      log,
      assumed,
    ),
    displacementM3: car.displacement?.si ?? null,
    transmission: car.transmission ?? null,
  };
  return {
    ...body,
    gearRatios: car['gear-ratios'] ?? null,
    finalDrive: car['final-drive'] ?? null,
    rotating: resolveRotating(car, body, assumed),
    lockUp: car['lock-up'] ?? null,
    redlineRpm: car.redline?.si ?? null,
    cylinders: car.cylinders ?? null,
    boostControl: car['boost-control'] ?? null,
    stoichAfr: resolveStoich(run['fuel-type'] ?? setup['fuel-type'] ?? car['fuel-type'], log, assumed),
    gaugeStoich:
      gauge === undefined
        ? assumed.assume('gaugeStoich', log)
        : { value: gauge, spread: enteredSpread('gaugeStoich', gauge), standing: 'entered', source: `car.targets.gauge-stoich: ${gauge}` },
    targetLambda: car.targets?.lambda ?? null,
    leanestLambda: car.targets?.['leanest-lambda'] ?? null,
    lambdaDelayS: car.targets?.['lambda-delay']?.si ?? null,
    channels: run.channels ?? new Map(),
    reading: resolveReading(run.reading ?? {}),
    blowerPulleyM: setup['blower-pulley']?.si ?? null,
    blower: resolveBlower(car, setup),
    injectors: resolveInjectors(car),
    engine: resolveEngine(car),
    mapSensor: resolveMapSensor(setup),
    calibration: setup.calibration ?? null,
  };
}

function resolveTyre(car: CarFile, radius: StatedNumber | undefined, log: string, assumed: AssumptionLedger): StatedNumber {
  if (radius !== undefined) return radius;
  if (car.tyre === undefined) return assumed.assume('tyreRadius', log);
  const { rollingRadiusM, rollingRadiusSpreadM, source } = tyreFromSize(car.tyre);
  return { value: rollingRadiusM, spread: rollingRadiusSpreadM, standing: 'entered', source };
}

function resolveReading({ delimiter, decimal, encoding, rate, table, ...rest }: ReadingFile): RunInputs['reading'] {
  return { delimiter, decimal, encoding, timeUnit: rest['time-unit'], rateHz: rate?.si, table, maxGapS: rest['max-gap']?.si };
}

function resolveRotating(
  car: CarFile,
  body: Pick<RunInputs, 'log' | 'massKg' | 'tyreRadiusM' | 'displacementM3' | 'transmission'>,
  assumed: AssumptionLedger,
): RotatingInertia {
  const byGear = car['rotating-factor'];
  if (byGear !== undefined) return { kind: 'factor', byGear, spread: enteredSpread('rotatingFactor', 1) };
  const usual = usualInertias({ ...body, massKg: body.massKg.value, tyreRadiusM: body.tyreRadiusM.value });
  const stated = (written: Written | undefined, field: string, name: 'wheelInertia' | 'engineInertia', otherwise: Amount): StatedNumber =>
    written === undefined
      ? assumed.assume(name, body.log, otherwise)
      : { value: written.si, spread: enteredSpread('inertia', written.si), standing: 'entered', source: `${field}: ${written.text}` };
  return {
    kind: 'inertia',
    wheelsKgM2: stated(car['wheel-inertia'], 'car.wheel-inertia', 'wheelInertia', usual.wheelsKgM2),
    engineKgM2: stated(car['engine-inertia'], 'car.engine-inertia', 'engineInertia', usual.engineKgM2),
  };
}

interface Amount {
  readonly value: number;
  readonly spread: number;
}

/** Gives the place to a problem that the sums behind a run have found. */
function placed<T>(where: Place, make: () => T): T {
  try {
    return make();
  } catch (problem) {
    if (!(problem instanceof PullproofError)) throw problem;
    throw new PullproofError(problem.code, problem.what, { ...where, ...problem.where }, problem.fix);
  }
}
