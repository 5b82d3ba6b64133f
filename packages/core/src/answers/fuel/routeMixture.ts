import { powerFromFuel } from '../../fuel/index.js';
import { findChannel } from '../../log/index.js';
import type { TrialPull } from '../../pulls/index.js';
import { pullCurves } from './pullCurves.js';
import { supplyDefaults } from './supplyDefaults.js';
import { assumedConsumption, assumedInput, type KnownInput, statedInput } from './supplyInputs.js';

/** How air and fuel become power at the crank: `power` of one pull's flow, for values of `inputs`. */
export interface FlowToPower {
  readonly inputs: readonly KnownInput[];
  readonly channels: readonly string[];
  readonly equation: string;
  readonly powerW: (pull: TrialPull, flowKgPerS: Float64Array, values: readonly number[]) => Float64Array;
}

/** Air-fuel ratio that the assumed consumption of petrol belongs to. */
const petrolAfr = supplyDefaults.stoich.value;

/**
 * Air or fuel to power at the crank.
 *
 * Entered consumption b holds for the mixture as it was: P = ṁ_f/b, and ṁ_f = ṁ_a/(λ AFR). The assumed one counts the fuel that finds air, so that a rich mixture wastes the rest:
 * P = ṁ_f min(λ, 1)/b₁, and from air P = ṁ_a/(AFR b₁); fuels other than petrol by their air-fuel ratio, as all give about as much heat for a kilogram of air.
 */
export function flowToPower(route: 'air' | 'fuel', pulls: readonly TrialPull[], gridRpm: Float64Array): FlowToPower {
  const { inputs } = pulls[0]!.run;
  const lambda = lambdaOf(pulls, gridRpm);
  const stoich = statedInput('stoich', inputs.stoichAfr);
  const { specificConsumptionKgPerJ: entered } = inputs.engine;
  const { channels } = lambda;
  if (entered !== null) {
    const consumption = statedInput('enteredConsumption', entered);
    if (route === 'fuel') {
      return {
        inputs: [consumption],
        channels: [],
        equation: 'fuel flow ÷ specific consumption',
        powerW: (_, flow, [b]) => flow.map((kgPerS) => powerFromFuel(kgPerS, b!)),
      };
    }
    return {
      inputs: [lambda.input, stoich, consumption],
      channels,
      equation: 'air flow ÷ (lambda × stoichiometric ratio × specific consumption)',
      powerW: (pull, flow, [scale, afr, b]) => {
        const read = lambda.of(pull, scale!);
        return flow.map((kgPerS, i) => powerFromFuel(kgPerS / (read[i]! * afr!), b!));
      },
    };
  }
  const consumption = assumedConsumption(inputs.boostControl);
  if (route === 'air') {
    return {
      inputs: [consumption],
      channels,
      equation: 'air flow ÷ (stoichiometric ratio × consumption of the fuel that finds air)',
      powerW: (pull, flow, [b]) => {
        const read = lambda.of(pull, lambda.input.value);
        return flow.map((kgPerS, i) => powerFromFuel(kgPerS / (leanOver(read[i]!) * petrolAfr), b!));
      },
    };
  }
  return {
    inputs: [lambda.input, stoich, consumption],
    channels,
    equation: 'fuel flow × lambda (at most 1) ÷ consumption of the fuel that finds air',
    powerW: (pull, flow, [scale, afr, b]) => {
      const read = lambda.of(pull, scale!);
      return flow.map((kgPerS, i) => powerFromFuel((kgPerS * Math.min(1, read[i]!) * afr!) / petrolAfr, b!));
    },
  };
}

/** Air beyond what the fuel can use burns nothing; a rich mixture uses all of it, and so does one whose lambda is unknown. */
function leanOver(lambda: number): number {
  return Number.isNaN(lambda) ? 1 : Math.max(1, lambda);
}

interface LambdaOf {
  readonly input: KnownInput;
  readonly channels: readonly string[];
  /** On the grid, for a value of the input. */
  readonly of: (pull: TrialPull, value: number) => Float64Array;
}

/** Lambda of the pulls where it was logged in all of them, else the one aimed at or the usual one. */
function lambdaOf(pulls: readonly TrialPull[], gridRpm: Float64Array): LambdaOf {
  const curves = pullCurves(pulls, ['lambda'], gridRpm);
  if (curves.every((curve) => curve !== null)) {
    const channel = findChannel(pulls[0]!.log, 'lambda');
    return {
      input: assumedInput('lambda'),
      channels: channel === null ? [] : [channel.name],
      of: (pull, scale) => curves[pulls.indexOf(pull)]!.map((read) => scale * read),
    };
  }
  const { targetLambda } = pulls[0]!.run.inputs;
  const input =
    targetLambda === null
      ? assumedInput('assumedLambda')
      : assumedInput('assumedLambda', {
          value: targetLambda,
          spread: 0.03,
          source: 'car.targets.lambda, met within 3 % or so; common practice, no source',
        });
  return { input, channels: [], of: (_, value) => new Float64Array(gridRpm.length).fill(value) };
}
