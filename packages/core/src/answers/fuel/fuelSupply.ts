import type { Finding } from '../../findings/index.js';
import type { Repeatability } from '../../power/index.js';
import type { FittedSetup, TrialPull } from '../../pulls/index.js';
import type { CurveResult, FuelSupplyResult, Headroom } from '../../result/index.js';
import { nullable } from '../../result/index.js';
import { airflowForecast, toRedline } from './airflowForecast.js';
import { fuelFlowByChannel, fuelFlowByInjectors, type KnownFuelFlow } from './fuelFlow.js';
import { fuelPressureFall } from './fuelPressureFall.js';
import { type HeadroomPull, headroomAt } from './headroom.js';
import { deadTime, pressureAcross, railFollows } from './injectorFuel.js';
import { dutySource, type InjectorReadings, injectorReadings, injectsDirectly } from './injectorReadings.js';
import { bandedCurve, bandedPoint, modelledCurve } from './pullCurves.js';
import { type KnownInput, shownInput } from './supplyInputs.js';

/** Fuel supply of a setup, and what was taken for it. */
export interface FuelSupplyParts {
  readonly supply: FuelSupplyResult;
  readonly inputs: readonly KnownInput[];
  readonly findings: readonly Finding[];
}

/** What the setups share, and what fuel supply takes of them. */
export interface SupplyOptions {
  readonly spread: Repeatability;
  readonly gridRpm: Float64Array;
  readonly pulls: readonly TrialPull[];
  readonly wheelPowerW: CurveResult | null;
  /** Densest air of the trial's slips, kg/m³; null without slips. */
  readonly slipAirKgPerM3: number | null;
}

/** Fuel supply of a setup over its pulls: duty, pressure, flow, headroom, fall of pressure. */
export function fuelSupply(setup: FittedSetup, options: SupplyOptions): FuelSupplyParts {
  const { pulls, gridRpm, spread } = options;
  const all = injectorReadings(pulls, gridRpm);
  const readings = all.filter(({ told }) => told);
  const fall = fuelPressureFall(all, gridRpm, spread);
  const flow = fuelFlowByInjectors(readings, spread);
  const logged = fuelFlowByChannel(pulls, gridRpm, spread);
  const known = logged ?? ('missing' in flow ? null : flow);
  const flowCurve = known === null ? null : { from: known.from, curve: bandedCurve(known.modelled) };
  const sagFindings = fall.sag?.verdict === 'falls' ? [fallFinding(fall.sag.sentence, setup.name)] : [];
  const base = { fuelFlowKgPerS: flowCurve, sag: fall.sag, sagStatus: fall.status };
  const empty = { duty: null, pressureAcross: null, headroom: [], pulls: pullFlows(pulls, readings, gridRpm, known) };
  const flowInputs = known === null ? [] : known.modelled.effects.map(({ input }) => input);
  const closed = (status: string): FuelSupplyParts => ({
    supply: { ...base, ...empty, sentence: status, status, inputs: flowInputs.map(shownInput) },
    inputs: flowInputs,
    findings: sagFindings,
  });
  if (readings.length === 0)
    return closed('Injector duty or pulse width was not logged in the pulls: log one of them to see what the injectors have left.');
  if (injectsDirectly(readings) === true)
    return closed(
      'The fuel pressure is that of direct injection, which has only a part of each cycle for it: duty does not tell what is left.',
    );
  const { inputs } = pulls[0]!.run;
  const across = pressureAcross(readings);
  const acrossCurve = modelledCurve(across.model, gridRpm, spread);
  const source = dutySource(readings[0]!.pull)!;
  const duty = modelledCurve({ inputs: [], curves: () => readings.map(({ dutyHighest }) => dutyHighest) }, gridRpm, spread);
  const dutyCurve = bandedCurve(duty);
  const highestAt = highestIndex(duty.mean);
  if (highestAt === null) return closed(`${source.channel} has no readings in the pulls.`);
  const dead = deadTime(inputs);
  const follows = railFollows(pulls.map(({ run, log }) => ({ inputs: run.inputs, log })));
  const taken = [dead, ...(follows.spread > 0 ? [follows] : []), ...across.model.inputs];
  const head = readings.map(
    (one, p): HeadroomPull => ({ gridRpm, duty: one.dutyHighest, manifoldOverAcross: manifoldOver(one, acrossCurve.pulls[p]!) }),
  );
  const car = { deadTime: dead, railFollows: follows, wheelPowerW: options.wheelPowerW };
  const measured = headroomAt(
    head,
    { at: 'measured', description: 'The air that the engine took in these pulls.', factors: [], airFactor: 1, fuelFactor: () => 1 },
    car,
    spread,
  );
  const forecast = airflowForecast({
    pulls,
    gridRpm,
    redlineRpm: inputs.redlineRpm,
    targetLambda: inputs.targetLambda,
    slipAirKgPerM3: options.slipAirKgPerM3,
    duty,
  });
  const ahead = headroomAt(toRedline(head, forecast.redlineRpm), forecast.airflow, car, spread);
  const headroom = [measured, ahead].filter((one) => one !== null);
  const used = [...new Map([...taken, ...flowInputs].map((input) => [input.key, input])).values()];
  return {
    supply: {
      ...base,
      sentence:
        headroom.length === 0
          ? 'The injectors’ duty is known, but not what it leaves: manifold pressure is needed where the rail does not follow it.'
          : headroom.map(({ sentence }) => sentence).join(' '),
      status: null,
      duty: {
        ...source,
        curve: dutyCurve,
        deadShare: Array.from(gridRpm, (rpm) => nullable((dead.value * rpm) / 120)),
        highest: bandedPoint(dutyCurve, highestAt, '1', 'measured'),
        highestAtRpm: gridRpm[highestAt]!,
      },
      pressureAcross: acrossCurve.mean.some(Number.isFinite)
        ? { from: across.from, how: across.how, curve: bandedCurve(acrossCurve) }
        : null,
      pulls: pullFlows(pulls, readings, gridRpm, known),
      headroom,
      inputs: used.map(shownInput),
    },
    inputs: used,
    findings: [...sagFindings, ...outFindings(headroom, setup.name)],
  };
}

/** Flow and duty along each pull. */
function pullFlows(
  pulls: readonly TrialPull[],
  readings: readonly InjectorReadings[],
  gridRpm: Float64Array,
  known: KnownFuelFlow | null,
): FuelSupplyResult['pulls'] {
  return pulls.flatMap((pull) => {
    const own = readings.find((one) => one.pull === pull);
    const at = known?.pulls.indexOf(pull) ?? -1;
    if (own === undefined && at < 0) return [];
    const values = (curve: Float64Array | undefined): (number | null)[] => Array.from(gridRpm, (_, i) => nullable(curve?.[i] ?? null));
    return [
      {
        log: pull.run.inputs.log,
        startS: pull.pull.startS,
        engineSpeedRpm: Array.from(gridRpm),
        fuelFlowKgPerS: values(at < 0 ? undefined : known!.modelled.pulls[at]),
        duty: values(own?.dutyHighest),
      },
    ];
  });
}

function manifoldOver({ manifoldPa }: InjectorReadings, acrossPa: Float64Array): Float64Array {
  return acrossPa.map((pa, i) => (pa > 0 ? (manifoldPa?.[i] ?? Number.NaN) / pa : Number.NaN));
}

function highestIndex(values: Float64Array): number | null {
  let highest: number | null = null;
  values.forEach((value, i) => {
    if (Number.isFinite(value) && (highest === null || value > values[highest]!)) highest = i;
  });
  return highest;
}

function fallFinding(sentence: string, setup: string): Finding {
  return {
    code: 'W_FUEL_PRESSURE_FALLS',
    severity: 'warning',
    message: sentence,
    where: { setup },
    fix: 'Check pump voltage, filter, lines and what the pump gives at this pressure, before more air or boost.',
  };
}

/** Injectors that run out at the air they have or may get. */
function outFindings(headroom: readonly Headroom[], setup: string): Finding[] {
  const out = headroom.find(({ limits }) =>
    limits.some(({ limitDuty, moreAir }) => limitDuty === 1 && moreAir.value !== null && moreAir.value < 0),
  );
  if (out === undefined) return [];
  return [
    {
      code: out.at === 'measured' ? 'W_INJECTORS_OUT' : 'W_INJECTORS_OUT_FORECAST',
      severity: 'warning',
      message: `${out.sentence} ${out.description}`,
      where: { setup },
      fix: 'Fit larger injectors or raise fuel pressure, and have the calibration follow, before more air, boost or a colder day.',
    },
  ];
}
