import { findChannel } from '../../log/index.js';
import type { Repeatability } from '../../power/index.js';
import type { TrialPull } from '../../pulls/index.js';
import { injectorFuel, pressureAcross } from './injectorFuel.js';
import { dutySource, type InjectorReadings, injectsDirectly } from './injectorReadings.js';
import { type ModelledCurve, modelledCurve, onGrid, type PullModel } from './pullCurves.js';
import { assumedInput, statedInput } from './supplyInputs.js';

/** Fuel that the injectors or a channel tell of, kg/s, with how it is known. */
export interface KnownFuelFlow {
  readonly from: 'injectors' | 'fuel flow channel';
  readonly channels: readonly string[];
  /** In the order of the modelled curves. */
  readonly pulls: readonly TrialPull[];
  readonly model: PullModel;
  readonly modelled: ModelledCurve;
}

/** Fuel by the injectors; or what is missing for it. */
export function fuelFlowByInjectors(
  readings: readonly InjectorReadings[],
  spread: Repeatability,
): KnownFuelFlow | { readonly missing: string } {
  if (readings.length === 0) return { missing: 'Log injector duty or pulse width.' };
  if (injectsDirectly(readings) === true) return { missing: 'Log fuel flow: duty does not tell it with direct injection.' };
  const across = pressureAcross(readings);
  const model = injectorFuel(readings, across);
  if ('missing' in model) return model;
  const modelled = modelledCurve(model, readings[0]!.gridRpm, spread);
  if (!modelled.mean.some(Number.isFinite))
    return { missing: 'Log manifold pressure: the rail does not follow it, so the pressure across the injectors is unknown.' };
  const { log } = readings[0]!.pull;
  const pressures =
    across.from === 'logged fuel pressure' ? (['fuel-pressure', 'manifold-pressure'] as const) : (['manifold-pressure'] as const);
  const names = pressures.flatMap((quantity) => findChannel(log, quantity)?.name ?? []);
  return {
    from: 'injectors',
    channels: [dutySource(readings[0]!.pull)!.channel, ...names],
    pulls: readings.map(({ pull }) => pull),
    model,
    modelled,
  };
}

/** Fuel by a channel of its own, by mass or by volume; null where no pull has one. */
export function fuelFlowByChannel(pulls: readonly TrialPull[], gridRpm: Float64Array, spread: Repeatability): KnownFuelFlow | null {
  const told = pulls.flatMap((pull) => {
    const byMass = findChannel(pull.log, 'fuel-mass-flow');
    const channel = byMass ?? findChannel(pull.log, 'fuel-volume-flow');
    return channel === null ? [] : [{ pull, channel, byMass: byMass !== null, values: onGrid(pull, channel, gridRpm) }];
  });
  if (told.length === 0) return null;
  const density = statedInput('fuelDensity', told[0]!.pull.run.inputs.engine.fuelDensityKgPerM3);
  const inputs = [assumedInput('fuelMeter'), ...(told.some(({ byMass }) => !byMass) ? [density] : [])];
  const model: PullModel = {
    inputs,
    curves: ([meter, kgPerM3]) => told.map(({ byMass, values }) => values.map((value) => meter! * value * (byMass ? 1 : kgPerM3!))),
  };
  const modelled = modelledCurve(model, gridRpm, spread);
  if (!modelled.mean.some(Number.isFinite)) return null;
  return {
    from: 'fuel flow channel',
    channels: [...new Set(told.map(({ channel }) => channel.name))],
    pulls: told.map(({ pull }) => pull),
    model,
    modelled,
  };
}
