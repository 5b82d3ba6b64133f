import type { Finding } from '../../findings/index.js';
import type { BandedNumber, SetupForecast, SetupResult } from '../../result/index.js';
import {
  carInputs,
  constantPower,
  estimateQuarterMile,
  forecastPass,
  type LearnedCar,
  movedPass,
  ownInputs,
  type PassModel,
  quarterMileRules,
  ruleScatter,
  simulatePass,
  speedSpanS,
  type UncertainDay,
} from '../../strip/index.js';
import type { RunInputs } from '../../trial/index.js';
import { numberText, rpmText } from '../../units/index.js';

/** Share of flywheel power that a driveline and tyres lose; an assumption with a range, common practice, no source. */
const drivelineLoss = { value: 0.15, spread: 0.04 };

export function simulatedForecast(
  setup: string,
  model: PassModel,
  day: UncertainDay,
  learned: LearnedCar | undefined,
  source: string,
): SetupForecast {
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
    rollOutS: forecast.central.clockStartS,
    from60To130MphS: speedSpanS(forecast.central, 60 * 0.44704, 130 * 0.44704),
    motion: { distanceM: thin(trace.distanceM), speedMps: thin(trace.speedMps) },
    shares: forecast.shares.map(({ input, elapsedTime, trap }) => ({ input, et: elapsedTime, trap })),
    draws: { etS: Array.from(forecast.draws.elapsedTimeS), trapMps: Array.from(forecast.draws.trapMps) },
  };
}

/** The limit of constant power and the published rules. */
export function ruleForecasts(setup: SetupResult, inputs: RunInputs): SetupForecast[] {
  const powers = setup.curves.wheelPowerW?.value.filter((w): w is number => w !== null) ?? [];
  if (powers.length === 0) return [];
  const wheelW = Math.max(...powers);
  const massKg = inputs.massKg.value;
  const none = { splits: [], rollOutS: null, from60To130MphS: null, motion: null, shares: [], draws: null } as const;
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

export function beyondCurve(setup: string, model: PassModel, day: UncertainDay, path: string): Finding[] {
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
