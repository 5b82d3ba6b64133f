import { injectorDutyOf } from '../../fuel/index.js';
import { channelsOf, findChannel } from '../../log/index.js';
import type { TrialPull } from '../../pulls/index.js';
import { onGrid, pullCurves } from './pullCurves.js';

/** What the log tells of the injectors along one pull, on the grid; null where it was not logged. */
export interface InjectorReadings {
  readonly pull: TrialPull;
  readonly gridRpm: Float64Array;
  /** False where the log tells neither duty nor pulse width; duty is NaN then. */
  readonly told: boolean;
  /** Mean and highest of the banks, 0–1. */
  readonly dutyMean: Float64Array;
  readonly dutyHighest: Float64Array;
  readonly manifoldPa: Float64Array | null;
  /** Fuel pressure as logged, absolute. */
  readonly railPa: Float64Array | null;
  readonly stationPa: number;
}

/** Above this the fuel pressure is that of a direct-injection pump. Common practice, no source. */
const directInjectionPa = 2.5e6;

/** How duty is known in a log, and by which channels. */
export function dutySource(
  pull: TrialPull,
): { readonly from: 'logged duty' | 'pulse width and engine speed'; readonly channel: string } | null {
  const duty = findChannel(pull.log, 'injector-duty');
  if (duty !== null) return { from: 'logged duty', channel: duty.name };
  const pulse = findChannel(pull.log, 'injector-pulse-width');
  return pulse === null ? null : { from: 'pulse width and engine speed', channel: pulse.name };
}

/** Readings of every pull. */
export function injectorReadings(pulls: readonly TrialPull[], gridRpm: Float64Array): InjectorReadings[] {
  const manifold = pullCurves(pulls, ['manifold-pressure'], gridRpm);
  const rail = pullCurves(pulls, ['fuel-pressure'], gridRpm);
  return pulls.map((pull, p) => {
    const told = dutySource(pull) !== null;
    const banks = told ? dutyBanks(pull, gridRpm) : [new Float64Array(gridRpm.length).fill(Number.NaN)];
    return {
      pull,
      gridRpm,
      told,
      dutyMean: gridRpm.map((_, i) => banks.reduce((sum, bank) => sum + bank[i]!, 0) / banks.length),
      dutyHighest: gridRpm.map((_, i) => Math.max(...banks.map((bank) => bank[i]!))),
      manifoldPa: manifold[p]!,
      railPa: rail[p]!,
      stationPa: pull.run.inputs.stationPressurePa.value,
    };
  });
}

/** Duty of each bank; the one channel to use where the banks are not named. */
function dutyBanks(pull: TrialPull, gridRpm: Float64Array): Float64Array[] {
  const quantity = findChannel(pull.log, 'injector-duty') === null ? 'injector-pulse-width' : 'injector-duty';
  const all = channelsOf(pull.log, quantity);
  const banks = new Map(all.filter(({ bank }) => bank !== null).map((channel) => [channel.bank, channel]));
  const channels = banks.size > 1 ? [...banks.values()] : [findChannel(pull.log, quantity)!];
  const curves = channels.map((channel) => onGrid(pull, channel, gridRpm));
  if (quantity === 'injector-duty') return curves;
  return curves.map((pulses) => pulses.map((pulseS, i) => injectorDutyOf(pulseS, gridRpm[i]!)));
}

/** Whether the car injects into the cylinders, by its fuel pressure; null where that was neither logged nor entered. */
export function injectsDirectly(readings: readonly InjectorReadings[]): boolean | null {
  const logged = readings
    .flatMap(({ railPa }) => (railPa === null ? [] : Array.from(railPa).filter(Number.isFinite)))
    .sort((a, b) => a - b);
  if (logged.length > 0) return logged[logged.length >> 1]! > directInjectionPa;
  const injectors = readings[0]?.pull.run.inputs.injectors ?? null;
  const entered = injectors?.railPressurePa ?? injectors?.ratedPressurePa ?? null;
  return entered === null ? null : entered > directInjectionPa;
}
