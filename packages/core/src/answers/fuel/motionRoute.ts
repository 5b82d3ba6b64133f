import type { Repeatability } from '../../power/index.js';
import type { FittedSetup } from '../../pulls/index.js';
import type { RouteInput } from '../../result/index.js';
import { nullable } from '../../result/index.js';
import { bandOf } from '../../uncertainty/index.js';
import { inputStanding } from '../power/budget.js';
import { powerErrors } from '../power/setupResult.js';
import { largestIndex, type OpenRoute } from './openRoute.js';
import { assumedInput, type KnownInput, shownInput, statedInput } from './supplyInputs.js';

/** Crank power by motion: wheel power over the share that reaches the road. Null without a power curve. */
export function motionRoute(
  setup: FittedSetup,
  spread: Repeatability,
): { readonly route: OpenRoute; readonly inputs: readonly KnownInput[] } | null {
  const { curve, used } = setup;
  if (curve === null) return null;
  const entered = used[0]!.run.inputs.engine.drivetrainEfficiency;
  const efficiency = entered === null ? assumedInput('drivetrainEfficiency') : statedInput('drivetrainEfficiency', entered);
  const perWheel = 1 / efficiency.value;
  const powerW = curve.wheelPowerW.map((w) => w * perWheel);
  const { repeat, inputs, noise, shape } = powerErrors(setup, spread);
  const covariance = noise.map((value, i) => (value + shape[i]!) * perWheel * perWheel);
  const scaled = <E extends { readonly shape: Float64Array }>(error: E): E => ({ ...error, shape: error.shape.map((w) => w * perWheel) });
  const share = {
    name: efficiency.name,
    shape: powerW.map((w) => (-w * efficiency.spread) / efficiency.value),
    degrees: Number.POSITIVE_INFINITY,
  };
  const inputErrors = [share, ...inputs.map(scaled)];
  const errors = [...inputErrors, ...repeat.map(scaled)].map((error, i) => ({ ...error, id: `motion ${i} ${error.name}` }));
  const half = (from: Parameters<typeof bandOf>[0]): Float64Array => bandOf(from, powerW.length, { draws: 0 }).pointwise;
  const all = half({ shared: errors, covariance });
  const at = largestIndex(powerW);
  // One input may act by several keys: a wind for each outing.
  const byName = new Map<string, number>();
  for (const { name, shape: effect } of inputErrors) byName.set(name, Math.hypot(byName.get(name) ?? 0, effect[at]!));
  const shown = [...byName].map(([name, contributionW]): RouteInput => {
    if (name === efficiency.name) return { ...shownInput(efficiency), contributionW };
    return {
      name,
      value: null,
      spread: null,
      unit: 'W',
      standing: inputStanding(name, used),
      source: 'see the budget of wheel power',
      contributionW,
    };
  });
  return {
    inputs: [efficiency],
    route: {
      via: 'wheel power',
      gridRpm: curve.engineSpeedRpm,
      powerW,
      errors,
      covariance,
      bounds: [],
      curve: {
        engineSpeedRpm: Array.from(curve.engineSpeedRpm),
        value: Array.from(powerW, nullable),
        low: Array.from(powerW, (w, i) => nullable(w - all[i]!)),
        high: Array.from(powerW, (w, i) => nullable(w + all[i]!)),
        level: 0.95,
        simultaneous: false,
        bound: null,
        parts: {
          noise: Array.from(half({ shared: [], covariance: noise.map((value) => value * perWheel * perWheel) }), nullable),
          pullToPull: Array.from(
            half({ shared: repeat.map(scaled), covariance: shape.map((value) => value * perWheel * perWheel) }),
            nullable,
          ),
          inputs: Array.from(half({ shared: inputErrors, covariance: null }), nullable),
        },
      },
      equation: 'wheel power ÷ share of the crank’s power that reaches the road',
      channels: [...new Set(used.map(({ speedSource }) => speedSource))],
      inputs: shown.sort((a, b) => (b.contributionW ?? 0) - (a.contributionW ?? 0)),
    },
  };
}
