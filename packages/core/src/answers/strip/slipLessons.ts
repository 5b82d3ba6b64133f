import { densityAltitudeM } from '../../air/index.js';
import type { Finding } from '../../findings/index.js';
import type { ForecastResult, SlipResult } from '../../result/index.js';
import {
  carrySlip,
  type LearnedCar,
  learnFromSlips,
  movedPass,
  ownInputs,
  type PassModel,
  simulatePass,
  type UncertainDay,
} from '../../strip/index.js';
import type { RunInputs } from '../../trial/index.js';
import { stripDay } from './stripModel.js';
import type { TrialSlip } from './trialSlips.js';

export const slipCount = (slips: readonly TrialSlip[]): string => (slips.length === 1 ? 'one slip' : `${slips.length} slips`);

/** Learns from every usable slip whose setup has a model; null where there is none. */
export function learnFromTrial(slips: readonly TrialSlip[], models: ReadonlyMap<string, PassModel>): LearnedCar | null {
  const usable = slips.flatMap(({ setup, usable: slip, inputs }) => {
    const model = models.get(setup);
    const shows = Object.keys(slip.timesS).length + Object.keys(slip.trapsMps).length > 0;
    return model === undefined || !shows ? [] : [{ slip, model, day: stripDay(inputs, model) }];
  });
  return usable.length === 0 ? null : learnFromSlips(usable[0]!.model, usable);
}

/** Slips that no likely car would print. */
export function misfit({ cannotBe, misfit: size }: LearnedCar, path: string): Finding[] {
  if (!cannotBe) return [];
  return [
    {
      code: 'SLIPS_DO_NOT_FIT',
      severity: 'warning',
      message: `No car within the stated margins prints these slips: their misfit is ${size.toFixed(1)} times the usual one. Do not trust the forecast that is matched to them.`,
      where: { path, field: 'slips' },
      fix: 'Check times, speeds and units of the slips, then weight, gears, launch and shifts of the car.',
    },
  ];
}

export function slipResult(slip: TrialSlip, model: PassModel | undefined, learned: LearnedCar | null, to: RunInputs): SlipResult {
  const { inputs } = slip;
  const day = model === undefined ? null : stripDay(inputs, model);
  const carried =
    model === undefined || day === null
      ? null
      : carrySlip(slip.usable, model, day, { airDensityKgPerM3: to.airDensityKgPerM3.value }, learned === null ? {} : { learned });
  return {
    name: slip.name,
    setup: slip.setup,
    timesS: slip.written.timesS,
    speedsMps: slip.written.trapsMps,
    airDensityKgPerM3: inputs.airDensityKgPerM3.value,
    densityAltitudeM: densityAltitudeM(inputs.airDensityKgPerM3.value),
    carried:
      carried === null
        ? null
        : {
            etS: carried.elapsedTimeS,
            trapMps: carried.trapMps,
            byDragS: carried.byDragS,
            byPowerS: carried.byPowerS,
            cubeRootEtS: carried.cubeRootS,
            cubeRootTrapMps: carried.cubeRootMps,
          },
    lesson: model === undefined || day === null || learned === null ? null : lessonOf(slip, model, day, learned),
  };
}

/** How the slip differs from what was to be expected without it, laid to the inputs that it moved. */
function lessonOf(slip: TrialSlip, model: PassModel, day: UncertainDay, learned: LearnedCar): SlipResult['lesson'] {
  const et = slip.usable.timesS['1320ft'];
  if (et === undefined) return null;
  const ownZ = new Float64Array(ownInputs(model, day).length);
  const timeWith = (names: readonly string[] | null): number => {
    const carZ = learned.carZ.map((z, i) => (names === null || names.includes(learned.inputs[i]!.name) ? z : 0));
    const moved = movedPass(model, day, carZ, ownZ);
    return simulatePass(moved.car, moved.day).marks.at(-1)!.timeS;
  };
  const expected = timeWith([]);
  const launchS = timeWith(['grip', 'launch', 'roll-out', 'engine speed at launch']) - expected;
  const shiftsS = timeWith(['shifts']) - expected;
  const powerS =
    timeWith(['power', 'slope of the power curve', 'power beyond the measured engine speeds', 'power against air density']) - expected;
  return { etS: et - expected, launchS, shiftsS, powerS, otherS: et - expected - launchS - shiftsS - powerS };
}

export function learnedRows(learned: LearnedCar): ForecastResult['learned'] {
  const size = learned.inputs.length;
  return learned.inputs.map(({ name }, i) => ({
    input: name,
    deviation: learned.carZ[i]!,
    remaining: Math.sqrt(learned.covariance[i * size + i]!),
  }));
}
