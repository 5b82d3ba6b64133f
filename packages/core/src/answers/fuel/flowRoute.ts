import type { Quantity } from '../../log/index.js';
import type { Repeatability } from '../../power/index.js';
import type { FoundCeiling, TrialPull } from '../../pulls/index.js';
import { channelOf, pullsCurve } from '../../pulls/index.js';
import type { RouteInput, RouteVia } from '../../result/index.js';
import { largestIndex, type OpenRoute } from './openRoute.js';
import { bandedCurve, modelledCurve, type PullModel } from './pullCurves.js';
import { routeOf } from './routeMeanings.js';
import { flowToPower } from './routeMixture.js';
import { type KnownInput, shownInput } from './supplyInputs.js';

/** A flow of air or fuel along pulls, and by what it is known. */
export interface RouteFlow {
  readonly via: Exclude<RouteVia, 'wheel power'>;
  readonly model: PullModel;
  readonly pulls: readonly TrialPull[];
  readonly channels: readonly string[];
  /** How the flow is known, in words; empty where nothing is to be said. */
  readonly equation: string;
  /** Channels whose ceilings make the power a bound. */
  readonly ceilingsOf: readonly Quantity[];
}

/** Crank power by a flow of air or fuel; null where nothing comes of it. */
export function flowRoute(
  flow: RouteFlow,
  gridRpm: Float64Array,
  spread: Repeatability,
  ceilings: readonly FoundCeiling[],
): { readonly route: OpenRoute; readonly inputs: readonly KnownInput[] } | null {
  const side = routeOf[flow.via] === 'air' ? 'air' : 'fuel';
  const toPower = flowToPower(side, flow.pulls, gridRpm);
  const flowInputs = flow.model.inputs.length;
  const model: PullModel = {
    inputs: [...flow.model.inputs, ...toPower.inputs],
    curves: (values) =>
      flow.model.curves(values.slice(0, flowInputs)).map((kgPerS, p) => toPower.powerW(flow.pulls[p]!, kgPerS, values.slice(flowInputs))),
  };
  const modelled = modelledCurve(model, gridRpm, spread);
  if (!modelled.mean.some(Number.isFinite)) return null;
  const at = largestIndex(modelled.mean);
  const bounds = boundsOf(flow, gridRpm, ceilings);
  const inputs = modelled.effects
    .map(({ input, effect }): RouteInput => ({ ...shownInput(input), contributionW: Math.abs(effect[at]!) }))
    .sort((a, b) => b.contributionW! - a.contributionW!);
  return {
    inputs: model.inputs,
    route: {
      via: flow.via,
      gridRpm,
      powerW: modelled.mean,
      errors: [
        { ...modelled.random, id: `pulls of ${flow.via}` },
        ...modelled.effects.map(({ input, effect }) => ({
          id: input.key,
          name: input.name,
          shape: effect,
          degrees: Number.POSITIVE_INFINITY,
        })),
      ],
      covariance: null,
      bounds,
      curve: bandedCurve(modelled, bounds),
      equation: flow.equation === '' ? toPower.equation : `${toPower.equation}; ${flow.equation}`,
      channels: [...new Set([...flow.channels, ...toPower.channels])],
      inputs,
    },
  };
}

function boundsOf(
  { pulls, ceilingsOf }: RouteFlow,
  gridRpm: Float64Array,
  ceilings: readonly FoundCeiling[],
): ('at-least' | 'at-most' | null)[] {
  const each = ceilingsOf.map((quantity) => pullsCurve(pulls, channelOf([quantity]), gridRpm, ceilings, quantity)?.bounds ?? []);
  return Array.from(gridRpm, (_, i) => each.map((bounds) => bounds[i] ?? null).find((bound) => bound !== null) ?? null);
}
