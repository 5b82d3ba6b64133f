import type { BandedNumber, SetupResult, WorthResult } from '../../result/index.js';
import { type LearnedCar, type PassModel, type UncertainDay, worthOfChange } from '../../strip/index.js';
import { rpmText } from '../../units/index.js';

export function etAndTrap({ elapsedTimeS, trapMps }: { elapsedTimeS: BandedNumber; trapMps: BandedNumber }): {
  etS: BandedNumber;
  trapMps: BandedNumber;
} {
  return { etS: elapsedTimeS, trapMps };
}

/** One standard uncertainty of the difference of power as a share of power. */
export function differenceSpread(
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
export function usualChanges(
  setup: string,
  model: PassModel,
  day: UncertainDay,
  options: { readonly learned?: LearnedCar },
): WorthResult[] {
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
    ...etAndTrap(worthOfChange(model, day, { model: changed, day: on, powerDifferenceSpread: 0 }, { ...options, draws: 60 })),
  }));
}
