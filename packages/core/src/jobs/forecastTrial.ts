import { densityAltitudeM } from '../air/index.js';
import { stripCautions, stripDay, stripModel, type TrialSlip, trialSlips } from '../answers/index.js';
import type { Finding } from '../findings/index.js';
import type { OpenedLog } from '../pulls/index.js';
import type { BandedNumber, ForecastResult, SetupForecast, SetupResult, SlipResult, WorthResult } from '../result/index.js';
import {
  carInputs,
  carrySlip,
  constantPower,
  estimateQuarterMile,
  forecastPass,
  type LearnedCar,
  learnFromSlips,
  movedPass,
  ownInputs,
  type PassModel,
  quarterMileRules,
  ruleScatter,
  simulatePass,
  speedSpanS,
  type UncertainDay,
  worthOfChange,
} from '../strip/index.js';
import type { RunInputs, TrialFile } from '../trial/index.js';
import { parseTrial, resolveTrial } from '../trial/index.js';
import { numberText, rpmText } from '../units/index.js';
import { runTrial } from './runTrial.js';

/** Share of flywheel power that a driveline and tyres lose; an assumption with a range, common practice, no source. */
const drivelineLoss = { value: 0.15, spread: 0.04 };

/**
 * The whole job before the strip: a trial file and its logs in, what each setup will run out.
 *
 * @param trial Text of the trial file, or the trial as `parseTrial` gives it.
 * @param trialPath Its path, for messages.
 * @param openLog Opens a log, or a CSV file of slips, by the path that the trial gives it.
 * @returns Forecasts by every method that the trial allows, the worth of changes, what slips taught.
 * @throws PullproofError with the code of what cannot be used.
 */
export function forecastTrial(trial: string | TrialFile, trialPath: string, openLog: (path: string) => OpenedLog): ForecastResult {
  const file = typeof trial === 'string' ? parseTrial(trial, trialPath) : trial;
  const { slips, findings: slipFindings } = trialSlips(file, openLog);
  const compared = runTrial(file, trialPath, openLog, { formulaParser: null });
  const inputs = resolveTrial(file);
  const findings: Finding[] = [...compared.findings.filter(({ code }) => code !== 'ONE_SETUP'), ...slipFindings];
  const dayOf = (setup: string): { inputs: RunInputs; source: string } => {
    const slip = slips.findLast((one) => one.setup === setup) ?? slips.at(-1);
    if (slip !== undefined) return { inputs: slip.inputs, source: `air, wind and load of ${slip.name}` };
    const run = inputs.setups.find(({ name }) => name === setup)!.runs.at(-1)!;
    return { inputs: run, source: `air and load of ${run.log}` };
  };
  // One day for every setup, so that they can be compared.
  const common = dayOf(compared.setups.at(-1)!.name);
  const models = new Map<string, PassModel>();
  let assumed: ForecastResult['assumed'] = [];
  for (const setup of compared.setups) {
    const made = stripModel(file.car, common.inputs, setup);
    if (made.model === null) {
      findings.push({
        code: 'STRIP_NO_SIMULATION',
        severity: 'warning',
        message: `${setup.name} cannot be simulated: ${made.missing} is missing.`,
        where: { path: trialPath, setup: setup.name },
        fix: 'Add it; rules of power and weight are all that can be told until then.',
      });
      continue;
    }
    models.set(setup.name, made.model);
    assumed = made.assumed;
  }
  const learned = learn(slips, models);
  if (learned !== null) findings.push(...misfit(learned, trialPath));
  const forecasts: SetupForecast[] = [];
  for (const setup of compared.setups) {
    forecasts.push(...byRule(setup, common.inputs));
    const model = models.get(setup.name);
    if (model === undefined) continue;
    const day = stripDay(common.inputs, model);
    forecasts.push(simulated(setup.name, model, day, undefined, common.source));
    if (learned !== null) forecasts.push(simulated(setup.name, model, day, learned, `${common.source}; learned from ${countOf(slips)}`));
    findings.push(...beyondCurve(setup.name, model, day, trialPath));
  }
  const pairs = compared.comparisons.map((comparison) => ({
    comparison,
    before: models.get(comparison.before),
    after: models.get(comparison.after),
  }));
  const worth: WorthResult[] = [];
  const options = learned === null ? {} : { learned };
  for (const { comparison, before, after } of pairs) {
    if (before === undefined || after === undefined) continue;
    const day = stripDay(common.inputs, before);
    const changed = {
      model: after,
      day,
      powerDifferenceSpread: differenceSpread(comparison.wheelPowerW, compared.setups, comparison.before),
    };
    worth.push({
      change: `${comparison.before} to ${comparison.after}`,
      setup: comparison.before,
      ...banded(worthOfChange(before, day, changed, options)),
    });
  }
  const basis = compared.setups.at(-1)!.name;
  const model = models.get(basis);
  if (model !== undefined) worth.push(...usualChanges(basis, model, stripDay(common.inputs, model), options));
  const best = forecasts
    .filter(({ method }) => method === (learned === null ? 'simulated' : 'simulated-learned'))
    .map(({ etS }) => etS.low);
  return {
    schema: 'pullproof/forecast@1',
    title: compared.title,
    units: compared.units,
    provenance: compared.provenance,
    day: {
      airDensityKgPerM3: common.inputs.airDensityKgPerM3.value,
      densityAltitudeM: densityAltitudeM(common.inputs.airDensityKgPerM3.value),
      windMps: common.inputs.windMps.value,
      source: common.source,
    },
    forecasts,
    worth,
    slips: slips.map((slip) => slipResult(slip, models.get(slip.setup), learned, common.inputs)),
    learned: learned === null ? [] : learnedRows(learned),
    assumed,
    cautions: stripCautions(best.length === 0 ? null : Math.min(...best)),
    findings,
  };
}

const countOf = (slips: readonly TrialSlip[]): string => (slips.length === 1 ? 'one slip' : `${slips.length} slips`);

/** Learns from every usable slip whose setup has a model; null where there is none. */
function learn(slips: readonly TrialSlip[], models: ReadonlyMap<string, PassModel>): LearnedCar | null {
  const usable = slips.flatMap(({ setup, usable: slip, inputs }) => {
    const model = models.get(setup);
    const shows = Object.keys(slip.timesS).length + Object.keys(slip.trapsMps).length > 0;
    return model === undefined || !shows ? [] : [{ slip, model, day: stripDay(inputs, model) }];
  });
  return usable.length === 0 ? null : learnFromSlips(usable[0]!.model, usable);
}

/** Slips that no likely car would print. */
function misfit({ cannotBe, misfit: size }: LearnedCar, path: string): Finding[] {
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

function banded({ elapsedTimeS, trapMps }: { elapsedTimeS: BandedNumber; trapMps: BandedNumber }): {
  etS: BandedNumber;
  trapMps: BandedNumber;
} {
  return { etS: elapsedTimeS, trapMps };
}

function simulated(setup: string, model: PassModel, day: UncertainDay, learned: LearnedCar | undefined, source: string): SetupForecast {
  const forecast = forecastPass(model, day, learned === undefined ? {} : { learned });
  const { trace } = forecast.central;
  const thin = (values: readonly number[]): number[] => values.filter((_, i) => i % 8 === 0 || i === values.length - 1);
  return {
    setup,
    method: learned === undefined ? 'simulated' : 'simulated-learned',
    etS: forecast.elapsedTimeS,
    trapMps: forecast.trapMps,
    splits: forecast.splits.map(({ mark, timeS, trapMps }) => ({ mark, timeS, speedMps: mark === '60ft' ? null : trapMps })),
    source,
    from60To130MphS: speedSpanS(forecast.central, 60 * 0.44704, 130 * 0.44704),
    motion: { distanceM: thin(trace.distanceM), speedMps: thin(trace.speedMps) },
    shares: forecast.shares.map(({ input, elapsedTime, trap }) => ({ input, et: elapsedTime, trap })),
    draws: { etS: Array.from(forecast.draws.elapsedTimeS), trapMps: Array.from(forecast.draws.trapMps) },
  };
}

/** The limit of constant power and the published rules. */
function byRule(setup: SetupResult, inputs: RunInputs): SetupForecast[] {
  const powers = setup.curves.wheelPowerW?.value.filter((w): w is number => w !== null) ?? [];
  if (powers.length === 0) return [];
  const wheelW = Math.max(...powers);
  const massKg = inputs.massKg.value;
  const none = { splits: [], from60To130MphS: null, motion: null, shares: [], draws: null } as const;
  const around = (value: number, share: number): BandedNumber => ({
    value,
    low: value * (1 - 1.96 * share),
    high: value * (1 + 1.96 * share),
  });
  const free = constantPower(massKg, wheelW);
  const flywheelW = wheelW / (1 - drivelineLoss.value);
  // A third of the relative uncertainty of power reaches time and speed.
  const share = Math.hypot(ruleScatter, drivelineLoss.spread / (1 - drivelineLoss.value) / 3);
  return [
    {
      setup: setup.name,
      method: 'constant-power',
      etS: { value: free.elapsedTimeS, low: free.elapsedTimeS, high: free.elapsedTimeS },
      trapMps: { value: free.speedMps, low: free.speedMps, high: free.speedMps },
      source: 'a limit, not a forecast: peak wheel power all the way, no losses, speed at the stripe',
      ...none,
    },
    ...Object.values(quarterMileRules).map((rule): SetupForecast => {
      const { elapsedTimeS, trapMps } = estimateQuarterMile(massKg, flywheelW, rule);
      return {
        setup: setup.name,
        method: rule.name,
        etS: around(elapsedTimeS, share),
        trapMps: around(trapMps, share),
        source: `${rule.author}, ${rule.year === 'not known' ? 'year not known' : rule.year}: ${rule.power}, here wheel power with a driveline loss of ${100 * drivelineLoss.value} ± ${100 * drivelineLoss.spread} % assumed; ±6 % on 32 cars of 1974`,
        ...none,
      };
    }),
  ];
}

function beyondCurve(setup: string, model: PassModel, day: UncertainDay, path: string): Finding[] {
  const moved = movedPass(model, day, new Float64Array(carInputs(model).length), new Float64Array(ownInputs(model, day).length));
  const { lowestRpm, highestRpm } = simulatePass(moved.car, moved.day);
  const { fromRpm, toRpm } = model.car.power;
  if (lowestRpm >= fromRpm - 1 && highestRpm <= toRpm + 1) return [];
  return [
    {
      code: 'STRIP_BEYOND_CURVE',
      severity: 'note',
      message: `The pass of ${setup} uses ${numberText(lowestRpm, 0)} to ${rpmText(highestRpm)}, the pulls measured ${numberText(fromRpm, 0)} to ${rpmText(toRpm)}: power beyond is taken as constant torque below and constant power above, and widens the band.`,
      where: { path, setup },
      fix: 'Start a pull lower and let it run to the shift point.',
    },
  ];
}

/** One standard uncertainty of the difference of power as a share of power. */
function differenceSpread(
  difference: { readonly low: readonly (number | null)[]; readonly high: readonly (number | null)[] },
  setups: readonly SetupResult[],
  before: string,
): number {
  const powers = setups.find(({ name }) => name === before)?.curves.wheelPowerW?.value.filter((w): w is number => w !== null) ?? [];
  const widths = difference.low.flatMap((low, i) => (low === null || difference.high[i] == null ? [] : [difference.high[i] - low]));
  if (powers.length === 0 || widths.length === 0) return 0.01;
  const mean = (values: readonly number[]): number => values.reduce((sum, value) => sum + value, 0) / values.length;
  // A simultaneous 95 % band is wider than a pointwise one by about half.
  return mean(widths) / 2 / 2.9 / mean(powers);
}

/** What usual changes are worth to this car on this day. */
function usualChanges(setup: string, model: PassModel, day: UncertainDay, options: { readonly learned?: LearnedCar }): WorthResult[] {
  const powered = (factor: (rpm: number) => number): PassModel => {
    const { power } = model.car;
    return { ...model, car: { ...model.car, power: { ...power, at: (rpm) => factor(rpm) * power.at(rpm) } } };
  };
  const middleRpm = (model.car.power.fromRpm + model.car.power.toRpm) / 2;
  const changes: readonly (readonly [string, PassModel, UncertainDay])[] = [
    ['5 % more power everywhere', powered(() => 1.05), day],
    [`5 % more power above ${rpmText(Math.round(middleRpm / 50) * 50)}`, powered((rpm) => (rpm > middleRpm ? 1.05 : 1)), day],
    [`5 % more power below ${rpmText(Math.round(middleRpm / 50) * 50)}`, powered((rpm) => (rpm > middleRpm ? 1 : 1.05)), day],
    ['50 kg less', model, { ...day, massFactor: day.massFactor - 50 / model.car.massKg }],
    ['air 5 % thinner', model, { ...day, airDensityKgPerM3: 0.95 * day.airDensityKgPerM3 }],
    [
      '10 % more grip',
      { ...model, car: { ...model.car, grip: { ...model.car.grip, frictionCoefficient: 1.1 * model.car.grip.frictionCoefficient } } },
      day,
    ],
    ['3 m/s of headwind', model, { ...day, windMps: day.windMps + 3 }],
  ];
  return changes.map(([change, changed, on]) => ({
    change,
    setup,
    ...banded(worthOfChange(model, day, { model: changed, day: on, powerDifferenceSpread: 0 }, { ...options, draws: 60 })),
  }));
}

function slipResult(slip: TrialSlip, model: PassModel | undefined, learned: LearnedCar | null, to: RunInputs): SlipResult {
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

function learnedRows(learned: LearnedCar): ForecastResult['learned'] {
  const size = learned.inputs.length;
  return learned.inputs.map(({ name }, i) => ({
    input: name,
    deviation: learned.carZ[i]!,
    remaining: Math.sqrt(learned.covariance[i * size + i]!),
  }));
}
