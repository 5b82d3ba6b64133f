import type { TrialResult } from '@pullproof/core';
import { calculatedUnit, numberText } from '@pullproof/figures';
import { inertText } from './inertText.js';
import { table } from './layout.js';
import { type Style, shownBy } from './style.js';

/** Calculated quantities: the mean of each setup over the engine speeds at which all setups have a value. */
export function calculatedLines({ calculated = [], setups, units }: TrialResult, style: Style): string[] {
  if (calculated.length === 0) return [];
  const rows = calculated.map((one) => {
    const { fromSi, symbol, decimals } = calculatedUnit(one, units);
    const curves = one.setups.map(({ curve }) => new Map(curve?.engineSpeedRpm.map((rpm, i) => [rpm, curve.value[i] ?? null])));
    const drawn = curves.filter((curve) => curve.size > 0);
    const shared = [...(drawn[0]?.keys() ?? [])].filter((rpm) => drawn.every((curve) => typeof curve.get(rpm) === 'number'));
    const means = curves.map((curve) =>
      curve.size === 0 || shared.length === 0
        ? '–'
        : numberText(fromSi(shared.reduce((sum, rpm) => sum + curve.get(rpm)!, 0) / shared.length), decimals),
    );
    return [one.name, ...means, symbol].map((text) => shownBy(inertText(text, 40), style));
  });
  const columns = [
    { title: 'calculated, mean', flexible: true },
    ...setups.map(({ name }) => ({ title: shownBy(inertText(name, 20), style), align: 'right' as const })),
    { title: '' },
  ];
  return [...table(columns, rows, style), ''];
}
