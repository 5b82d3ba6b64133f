import { densityExponents } from '../../compare/index.js';
import type { SetupResult } from '../../result/index.js';
import { type PassModel, type PassSpreads, powerTable, type UncertainDay, usualPassSpreads, usualRollOutM } from '../../strip/index.js';
import type { CarFile, RunInputs } from '../../trial/index.js';
import { rpmText } from '../../units/index.js';
import { defaultRotatingFactor, rotatingFactor, rpmPerMps } from '../../vehicle/index.js';

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
  const gears = gearRatios.map((ratio, i) => ({ rpmPerMps: rpmPerMps(gearing, i + 1), rotatingFactor: factorOf(inputs, i + 1, ratio) }));
  const { rotating } = inputs;
  const neutral = rotating.kind === 'inertia' ? 1 + rotating.wheelsKgM2.value / (massKg.value * tyreRadiusM.value ** 2) : 1.04;
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
    spreads: {
      ...usualPassSpreads,
      powerShare: bandShare(curve),
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

function factorOf(inputs: RunInputs, gear: number, ratio: number): number {
  const { rotating, massKg, tyreRadiusM, finalDrive } = inputs;
  const stated = rotating.kind === 'factor' ? rotating.byGear.get(gear) : undefined;
  if (stated !== undefined) return stated;
  if (rotating.kind === 'inertia') {
    const drive = { gearRatio: ratio, finalDrive: finalDrive!, tyreRadiusM: tyreRadiusM.value };
    return rotatingFactor(massKg.value, { wheelsKgM2: rotating.wheelsKgM2.value, engineKgM2: rotating.engineKgM2.value }, drive);
  }
  return defaultRotatingFactor(ratio * finalDrive!).value;
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
