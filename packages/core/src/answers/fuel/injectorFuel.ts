import { injectorFlowAtPressure, injectorFlowShare } from '../../fuel/index.js';
import { fuelRailOfRuns } from '../../pulls/index.js';
import type { RunInputs } from '../../trial/index.js';
import type { InjectorReadings } from './injectorReadings.js';
import type { PullModel } from './pullCurves.js';
import { assumedInput, type KnownInput, statedInput } from './supplyInputs.js';

/** How the pressure across the injectors is known. */
export interface PressureAcross {
  readonly from: 'logged fuel pressure' | 'referenced rail' | 'fixed rail';
  /** In words. */
  readonly how: string;
  readonly model: PullModel;
}

/** Values by the keys of their inputs. */
function byKey(inputs: readonly KnownInput[], values: readonly number[]): (key: KnownInput['key']) => number {
  const map = new Map(inputs.map(({ key }, i) => [key, values[i]!]));
  return (key) => map.get(key)!;
}

/** How far the rail follows manifold pressure: as entered or as the logs show it, else anything. */
export function railFollows(runs: Parameters<typeof fuelRailOfRuns>[0]): KnownInput {
  const known = fuelRailOfRuns(runs);
  if (known === null) return assumedInput('railFollows');
  const { rail, standing } = known;
  const source = standing === 'entered' ? `car.injectors.rail: ${rail}` : 'fuel pressure against manifold pressure at part load';
  return { ...assumedInput('railFollows', { value: rail === 'referenced' ? 1 : 0, spread: 0, source }), standing };
}

/** An entered dead time is one of a table by voltage and pressure. Common practice, no source. */
const enteredDeadTimeSpreadS = 0.1e-3;

/** Dead time as entered, else assumed. */
export function deadTime({ injectors }: RunInputs): KnownInput {
  const entered = injectors?.deadTimeS ?? null;
  if (entered === null) return assumedInput('deadTime');
  const source = `car.injectors.dead-time: ${Number((1e3 * entered).toPrecision(6))} ms`;
  return { ...assumedInput('deadTime', { value: entered, spread: enteredDeadTimeSpreadS, source }), standing: 'entered' };
}

/** Pressure across the injectors of each pull: logged fuel pressure wins, else the rail as entered. */
export function pressureAcross(readings: readonly InjectorReadings[]): PressureAcross {
  const { inputs } = readings[0]!.pull.run;
  if (readings.some(({ railPa }) => railPa !== null) && readings.some(({ manifoldPa }) => manifoldPa !== null)) {
    const model: PullModel = {
      inputs: [assumedInput('fuelPressureSensor')],
      curves: ([sensor]) =>
        readings.map(({ railPa, manifoldPa, stationPa }) =>
          (railPa ?? manifoldPa ?? new Float64Array(0)).map((_, i) =>
            railPa === null || manifoldPa === null ? Number.NaN : sensor! * (railPa[i]! - stationPa) - (manifoldPa[i]! - stationPa),
          ),
        ),
    };
    return { from: 'logged fuel pressure', how: 'fuel pressure as logged, less manifold pressure', model };
  }
  const follows = railFollows(readings.map(({ pull }) => ({ inputs: pull.run.inputs, log: pull.log })));
  const base = inputs.injectors?.railPressurePa ?? inputs.injectors?.ratedPressurePa ?? null;
  const whole = base === null ? assumedInput('ratedPressure') : null;
  const knownInputs = [assumedInput('railPressure'), ...(whole === null ? [] : [whole]), ...(follows.spread > 0 ? [follows] : [])];
  const model: PullModel = {
    inputs: knownInputs,
    curves: (values) => {
      const at = byKey(knownInputs, values);
      const railPa = at('railPressure') * (whole === null ? base! : at('ratedPressure'));
      const follow = follows.spread > 0 ? at('railFollows') : follows.value;
      return readings.map(({ dutyMean, manifoldPa, stationPa }) =>
        // Without manifold pressure only a rail that follows it wholly leaves the pressure across the injector known.
        dutyMean.map((_, i) => railPa - (follow === 1 ? 0 : (1 - follow) * ((manifoldPa?.[i] ?? Number.NaN) - stationPa))),
      );
    },
  };
  const rail = `${((base ?? assumedInput('ratedPressure').value) / 1e5).toFixed(1)} bar`;
  return follows.value === 1
    ? { from: 'referenced rail', how: `${rail} above manifold pressure, held by the regulator`, model }
    : {
        from: 'fixed rail',
        how: `${rail} above the air’s pressure, less what manifold pressure is above it${follows.spread > 0 ? '; whether the rail follows was not said' : ''}`,
        model,
      };
}

/** Fuel of all injectors, kg/s, as a model of each pull; or what is missing for it. */
export function injectorFuel(readings: readonly InjectorReadings[], across: PressureAcross): PullModel | { readonly missing: string } {
  const { injectors, cylinders, engine } = readings[0]!.pull.run.inputs;
  const flow = injectors?.flow ?? null;
  const count = injectors?.count ?? cylinders;
  if (flow === null)
    return { missing: 'Give the injectors: car.injectors: { count: 6, flow: 550 cc/min, at-pressure: 3 bar, rail: referenced }.' };
  if (count === null) return { missing: 'Give the number of injectors: car.injectors.count.' };
  const rated = injectors?.ratedPressurePa ?? null;
  const shared = across.model.inputs.some(({ key }) => key === 'ratedPressure');
  const own: KnownInput[] = [
    deadTime(readings[0]!.pull.run.inputs),
    assumedInput('injectorFlow'),
    ...(flow.kind === 'volume' ? [statedInput('fuelDensity', engine.fuelDensityKgPerM3)] : []),
    ...(rated === null && !shared ? [assumedInput('ratedPressure')] : []),
  ];
  const inputs = [...own, ...across.model.inputs];
  return {
    inputs,
    curves: (values) => {
      const at = byKey(inputs, values);
      const perInjector = at('injectorFlow') * flow.value * (flow.kind === 'volume' ? at('fuelDensity') : 1);
      const ratedPa = rated ?? at('ratedPressure');
      const acrossPa = across.model.curves(values.slice(own.length));
      return readings.map(({ gridRpm, dutyMean }, p) => {
        const grid = acrossPa[p]!;
        return dutyMean.map((duty, i) => {
          const share = injectorFlowShare(duty, gridRpm[i]!, at('deadTime'));
          return grid[i]! > 0 ? count * injectorFlowAtPressure(perInjector, ratedPa, grid[i]!) * share : Number.NaN;
        });
      });
    },
  };
}
