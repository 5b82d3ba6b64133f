import type { PullTrace, TrialResult } from '@pullproof/core';
import { type DisplayUnit, displayUnits, labelText, setupStyle, shareInPercent, type UnitSystem } from '@pullproof/figures';
import { plainName } from './text.js';

/** A unit as numbers: shown = scale × SI + shift. */
export interface LinearUnit {
  readonly symbol: string;
  readonly scale: number;
  readonly shift: number;
  readonly decimals: number;
}

/** What one panel of the pull viewer shows. */
export interface ViewerPanel {
  readonly title: string;
  readonly quantities: readonly string[];
  readonly units: Readonly<Record<UnitSystem, LinearUnit>>;
}

/** What the pull viewer draws from. */
export interface ViewerData {
  readonly panels: readonly ViewerPanel[];
  readonly pulls: readonly (PullTrace & { readonly name: string; readonly role: string; readonly dash: string })[];
}

const linear = (unit: DisplayUnit, decimals = unit.decimals): LinearUnit => ({
  symbol: unit.symbol,
  scale: unit.fromSi(1) - unit.fromSi(0),
  shift: unit.fromSi(0),
  decimals,
});
const same = (symbol: string, decimals: number): ViewerPanel['units'] => {
  const unit = { symbol, scale: 1, shift: 0, decimals };
  return { metric: unit, imperial: unit };
};
const both = (quantity: 'pressure' | 'temperature' | 'speed', decimals?: number): ViewerPanel['units'] => ({
  metric: linear(displayUnits.metric[quantity], decimals),
  imperial: linear(displayUnits.imperial[quantity], decimals),
});
const percent: ViewerPanel['units'] = { metric: linear(shareInPercent, 0), imperial: linear(shareInPercent, 0) };

const panels: readonly ViewerPanel[] = [
  { title: 'Engine speed', quantities: ['engine-speed'], units: same('rpm', 0) },
  { title: 'Road speed', quantities: ['road-speed', 'gps-speed', 'wheel-speed'], units: both('speed') },
  { title: 'Pedal or throttle', quantities: ['pedal', 'throttle'], units: percent },
  { title: 'Manifold pressure, absolute', quantities: ['manifold-pressure'], units: both('pressure', 1) },
  { title: 'Lambda', quantities: ['lambda', 'commanded-lambda'], units: same('', 3) },
  { title: 'Timing', quantities: ['spark-advance', 'knock-retard'], units: same('°', 1) },
  { title: 'Charge or intake temperature', quantities: ['charge-temperature', 'intake-temperature'], units: both('temperature', 0) },
  { title: 'Fuel pressure', quantities: ['fuel-pressure'], units: both('pressure', 1) },
  { title: 'Injector duty', quantities: ['injector-duty'], units: percent },
];

/**
 * What the pull viewer draws from.
 * @param result the trial's result with its `traces`
 * @returns null where the readings of the pulls were not asked for
 */
export function viewerData(result: TrialResult): ViewerData | null {
  if (result.traces === undefined || result.traces.length === 0) return null;
  const logged = new Set(result.traces.flatMap(({ channels }) => channels.map(({ quantity }) => quantity)));
  return {
    panels: panels.filter(({ quantities }) => quantities.some((quantity) => logged.has(quantity))),
    pulls: result.traces.map((trace) => {
      const { role, dash } = setupStyle(trace.setup);
      const channels = trace.channels.map((channel) => ({ ...channel, name: labelText(channel.name) }));
      return { ...trace, channels, name: pullName(trace, result), role, dash };
    }),
  };
}

function pullName({ setup, pull }: PullTrace, { setups }: TrialResult): string {
  return `${labelText(plainName(setups[setup]?.name ?? ''))}, pull ${pull + 1}`;
}
