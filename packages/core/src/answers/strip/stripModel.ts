import { densityExponents } from '../../compare/index.js';
import type { SetupResult } from '../../result/index.js';
import { type PassModel, type PassSpreads, powerTable, type UncertainDay, usualPassSpreads, usualRollOutM } from '../../strip/index.js';
import type { CarFile, RunInputs } from '../../trial/index.js';
import { rpmText } from '../../units/index.js';
import { rotatingFactor, rpmPerMps, usualInertias } from '../../vehicle/index.js';

/** An input of the pass that the trial file leaves out. */
export interface StripAssumption {
  readonly quantity: string;
  readonly value: string;
  readonly source: string;
}

const practice = 'common practice, no source';

/**
 * The car of a trial as the strip sees it.
 *
 * @param car as the trial file has it
 * @param inputs of the pass or run that gives mass and conditions
 * @param setup with its measured curve
 * @returns the model; null where curve or gears are missing, with what is missing
 */
export function stripModel(
  car: CarFile,
  inputs: RunInputs,
  setup: SetupResult,
): { readonly model: PassModel; readonly assumed: readonly StripAssumption[] } | { readonly model: null; readonly missing: string } {
  const curve = setup.curves.wheelPowerW;
  if (curve === undefined) return { model: null, missing: 'a measured wheel-power curve' };
  const { gearRatios, finalDrive, tyreRadiusM, massKg } = inputs;
  if (gearRatios === null || finalDrive === null) return { model: null, missing: 'car.gear-ratios and car.final-drive' };
  const assumed: StripAssumption[] = [];
  const assume = <T>(given: T | undefined, otherwise: T, quantity: string, value: string, source = practice): T => {
    if (given !== undefined) return given;
    assumed.push({ quantity, value, source });
    return otherwise;
  };
  const launch = car.launch ?? {};
  const transmission = inputs.transmission ?? 'manual';
  const driven = assume(car.driven, 'rear' as const, 'driven axle', 'rear');
  const wheelbaseM = assume(launch.wheelbase?.si, 2.65, 'wheelbase', '2.65 m');
  const cgHeightM = assume(launch['cg-height']?.si, 0.52, 'height of the centre of gravity', '0.52 m');
  const usualShare = driven === 'front' ? 0.6 : 0.52;
  const drivenShare =
    driven === 'all'
      ? 1
      : assume(launch['driven-axle-share']?.si, usualShare, 'share of the weight on the driven axle', `${100 * usualShare} %`);
  const redlineRpm = inputs.redlineRpm ?? curve.engineSpeedRpm.at(-1)!;
  const automatic = transmission === 'automatic';
  const launchRpm = automatic ? 2300 : Math.round(0.5 * redlineRpm);
  const launchText = `${rpmText(launchRpm)}${automatic ? ' (stall of the converter)' : ''}`;
  const shiftRpm = assume(launch['shift-rpm']?.si, redlineRpm - 150, 'engine speed at a shift', rpmText(redlineRpm - 150));
  const usualHoleS = { manual: 0.35, 'dual-clutch': 0.05, automatic: 0.12 }[transmission];
  const holeS = assume(launch['shift-time']?.si, usualHoleS, 'time of a shift without driving force', `${usualHoleS} s`);
  assumed.push({ quantity: 'grip of the driven tyres', value: '1.00, within 18 %', source: practice });
  assumed.push({ quantity: 'time in which the driving force builds up', value: '0.2 s, within 50 %', source: practice });
  assumed.push({
    quantity: 'roll-out',
    value: `${usualRollOutM.value} ± ${usualRollOutM.spread} m`,
    source: 'chord of a tyre over the stage beam',
  });
  if (automatic) assumed.push({ quantity: 'torque ratio of the converter at stall', value: '1.9', source: practice });
  const gearing = { gearRatios, finalDrive, tyreRadiusM: tyreRadiusM.value };
  const { neutral, share: rotatingShare, factorOf } = spinning(inputs);
  const gears = gearRatios.map((ratio, i) => ({ rpmPerMps: rpmPerMps(gearing, i + 1), rotatingFactor: factorOf(i + 1, ratio) }));
  const pulledGear = setup.pulls.find(({ gear }) => gear !== null)?.gear ?? null;
  const pulled = pulledGear === null ? undefined : gears[pulledGear - 1];
  const exponents = densityExponents(inputs.boostControl);
  const model: PassModel = {
    car: {
      massKg: massKg.value,
      dragAreaM2: inputs.dragAreaM2.value,
      rollingCoefficient: inputs.rollingCoefficient.value,
      gears,
      neutralRotatingFactor: neutral,
      power: powerTable(curve.engineSpeedRpm, curve.value),
      grip: {
        frictionCoefficient: 1,
        drivenShare,
        transfer: driven === 'all' ? 0 : ((driven === 'front' ? -1 : 1) * cgHeightM) / wheelbaseM,
      },
      launch: {
        engineSpeedRpm: assume(launch.rpm?.si, launchRpm, 'engine speed at launch', launchText),
        riseS: 0.2,
        stallTorqueRatio: automatic ? 1.9 : null,
      },
      shift: { engineSpeedRpm: shiftRpm, holeS, returnS: 0.08 },
    },
    curveDensityKgPerM3: mean(setup.runs.map(({ air }) => air.densityKgPerM3.value ?? Number.NaN)),
    densityExponent: (exponents.low + exponents.high) / 2,
    ...(pulled === undefined ? {} : { pulled }),
    spreads: {
      ...usualPassSpreads,
      powerShare: pulled === undefined ? bandShare(curve) : withoutRotating(bandShare(curve), rotatingShare, pulled.rotatingFactor),
      rotatingShare,
      launchRpmShare: launch.rpm === undefined ? usualPassSpreads.launchRpmShare : 0.04,
      densityExponent: (exponents.high - exponents.low) / (2 * Math.sqrt(3)),
      massShare: Math.sqrt(Math.max(0, massKg.spread ** 2 - inputs.massOwnSpreadKg ** 2)) / massKg.value,
      dragShare: inputs.dragAreaM2.spread / inputs.dragAreaM2.value,
      rollingShare: inputs.rollingCoefficient.spread / inputs.rollingCoefficient.value,
      shiftShare: launch['shift-time'] === undefined ? usualPassSpreads.shiftShare : 0.15,
    } satisfies PassSpreads,
  };
  return { model, assumed };
}

/** Conditions of a pass for a model. */
export function stripDay(inputs: RunInputs, model: PassModel): UncertainDay {
  return {
    airDensityKgPerM3: inputs.airDensityKgPerM3.value,
    windMps: inputs.windMps.value,
    grade: 0,
    rollOutM: usualRollOutM.value,
    windSpreadMps: Math.min(inputs.windMps.spread, 2),
    // Strips are built level; what is left is a rule of thumb.
    gradeSpread: 0.0005,
    densitySpreadShare: inputs.airDensityKgPerM3.spread / inputs.airDensityKgPerM3.value,
    massFactor: inputs.massKg.value / model.car.massKg,
    massSpreadShare: Math.max(inputs.massOwnSpreadKg / inputs.massKg.value, 1e-6),
  };
}

/** Factors of what spins, and how far what it adds may be off: the same numbers that the pulls were worked out with. */
function spinning(inputs: RunInputs): {
  readonly neutral: number;
  readonly share: number;
  readonly factorOf: (gear: number, ratio: number) => number;
} {
  const { rotating, massKg, tyreRadiusM, finalDrive } = inputs;
  const usual = usualInertias({ ...inputs, massKg: massKg.value, tyreRadiusM: tyreRadiusM.value });
  const { wheelsKgM2, engineKgM2 } = rotating.kind === 'inertia' ? rotating : usual;
  const neutral = 1 + wheelsKgM2.value / (massKg.value * tyreRadiusM.value ** 2);
  const fromInertia = (ratio: number): number =>
    rotatingFactor(
      massKg.value,
      { wheelsKgM2: wheelsKgM2.value, engineKgM2: engineKgM2.value },
      { gearRatio: ratio, finalDrive: finalDrive!, tyreRadiusM: tyreRadiusM.value },
    );
  if (rotating.kind === 'factor') {
    const stated = [...rotating.byGear.values()].map((factor) => factor - 1);
    return {
      neutral: Math.min(neutral, ...rotating.byGear.values()),
      share: stated.length === 0 ? 0.1 : rotating.spread / Math.max(mean(stated), rotating.spread),
      factorOf: (gear, ratio) => rotating.byGear.get(gear) ?? fromInertia(ratio),
    };
  }
  // The engine makes most of it in the gears that matter.
  return { neutral, share: engineKgM2.spread / engineKgM2.value, factorOf: (_gear, ratio) => fromInertia(ratio) };
}

/** What a curve's band leaves open once spinning parts are an input of their own. */
function withoutRotating(share: number, rotatingShare: number, pulledFactor: number): number {
  const rotating = (rotatingShare * (pulledFactor - 1)) / pulledFactor;
  return Math.sqrt(Math.max(0.25 * share ** 2, share ** 2 - rotating ** 2));
}

/** Standard uncertainty of a curve as a share, mean over its points. */
function bandShare(curve: NonNullable<SetupResult['curves']['wheelPowerW']>): number {
  const shares = curve.value.flatMap((w, i) => {
    const [low, high] = [curve.low[i], curve.high[i]];
    return w === null || low == null || high == null ? [] : [(high - low) / (2 * 1.96 * w)];
  });
  return shares.length === 0 ? usualPassSpreads.powerShare : mean(shares);
}

function mean(values: readonly number[]): number {
  return values.reduce((sum, value) => sum + value, 0) / values.length;
}
