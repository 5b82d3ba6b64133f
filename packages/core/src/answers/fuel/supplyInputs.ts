import type { Finding } from '../../findings/index.js';
import type { Standing, SupplyInput, TrialResult } from '../../result/index.js';
import type { RunInputs, StatedNumber } from '../../trial/index.js';
import { between, type InputKey, perKWh, practice, supplyDefaults } from './supplyDefaults.js';

/** An input of the fuel supply or of a route to power: `key` tells inputs that several routes share. */
export interface KnownInput {
  readonly key: InputKey;
  readonly name: string;
  readonly value: number;
  /** One standard uncertainty, same unit. */
  readonly spread: number;
  readonly unit: string;
  readonly standing: Standing;
  readonly source: string;
}

/**
 * Petrol that finds its air, for a kilowatt-hour at the crank, by how boost comes about: the trade's brake-specific consumption times the lambda that belongs to it.
 * Blown 0.50 to 0.68 lb/(hp h) at lambda 0.80, turbocharged 0.48 to 0.62 at 0.82, unboosted 0.43 to 0.55 at 0.87. Common practice, no source; 0.55 to 0.65 for boosted petrol from memory.
 */
const consumptionByBoost = {
  'fixed-ratio': [243, 331],
  controlled: [239, 309],
  none: [228, 291],
  unknown: [228, 331],
} as const;

/** The assumed input of a kind, changed where the car tells more. */
export function assumedInput(key: InputKey, replaced: Partial<Pick<KnownInput, 'value' | 'spread' | 'source'>> = {}): KnownInput {
  const { name, value, spread, unit, source } = supplyDefaults[key];
  return { key, name, value, spread, unit, standing: 'assumed', source, ...replaced };
}

/** An entered or assumed number of the trial as an input. */
export function statedInput(key: InputKey, { value, spread, standing, source }: StatedNumber): KnownInput {
  return { key, name: supplyDefaults[key].name, value, spread, unit: supplyDefaults[key].unit, standing, source };
}

/** Specific consumption of petrol counted on the fuel that finds air, for a car that is boosted as it is. */
export function assumedConsumption(boostControl: RunInputs['boostControl']): KnownInput {
  const [low, high] = consumptionByBoost[boostControl ?? 'unknown'];
  return assumedInput('consumption', {
    ...between(low * perKWh, high * perKWh),
    source: `${low} to ${high} g/kWh, petrol (other fuels by their air-fuel ratio); ${practice}`,
  });
}

/** As the result shows it. */
export function shownInput({ name, value, spread, unit, standing, source }: KnownInput): SupplyInput {
  return { name, value, spread, unit, standing, source };
}

/** What was assumed for fuel supply and routes, for the result's list; each once, with the setups it counts for. */
export function supplyAssumptions(
  used: readonly { readonly setup: string; readonly inputs: readonly KnownInput[] }[],
): TrialResult['assumptions'] {
  return grouped(used).map(({ input, setups }) => ({
    quantity: input.name,
    value: input.value,
    unit: input.unit,
    spread: input.spread,
    source: input.source,
    where: setups.join(', '),
    field: supplyDefaults[input.key].field,
  }));
}

/** One finding for everything assumed that could have been entered or logged: what it was, and how to do better. */
export function supplyFindings(used: readonly { readonly setup: string; readonly inputs: readonly KnownInput[] }[]): Finding[] {
  const told = grouped(used).filter(({ input }) => supplyDefaults[input.key].entered);
  return told.map(({ input, setups }) => ({
    code: `ASSUMED_${input.key.replaceAll(/[A-Z]/g, (letter) => `_${letter}`).toUpperCase()}`,
    severity: 'note',
    message: `For fuel supply and the routes to power of ${setups.join(', ')} this is assumed: ${input.name}, ${amountText(input)} (${input.source}).`,
    where: {},
    fix: supplyDefaults[input.key].fix,
  }));
}

function grouped(
  used: readonly { readonly setup: string; readonly inputs: readonly KnownInput[] }[],
): { readonly input: KnownInput; readonly setups: readonly string[] }[] {
  const groups = new Map<string, { input: KnownInput; setups: Set<string> }>();
  for (const { setup, inputs } of used) {
    for (const input of inputs.filter(({ standing }) => standing === 'assumed')) {
      // Told with the mass and the mixture already.
      if (input.key === 'fuelDensity' || input.key === 'stoich') continue;
      const id = `${input.key} ${input.value} ${input.spread}`;
      const group = groups.get(id) ?? { input, setups: new Set<string>() };
      group.setups.add(setup);
      groups.set(id, group);
    }
  }
  return [...groups.values()].map(({ input, setups }) => ({ input, setups: [...setups] }));
}

function amountText({ value, spread, unit }: KnownInput): string {
  const [scale, symbol] =
    unit === 's'
      ? [1e3, ' ms']
      : unit === 'kg/J'
        ? [3.6e9, ' g/kWh']
        : unit === 'Pa'
          ? [1e-5, ' bar']
          : [1, unit === '1' ? '' : ` ${unit}`];
  const number = (one: number): string => String(Number((one * scale).toPrecision(3)));
  return `${number(value)} ± ${number(spread)}${symbol}`;
}
