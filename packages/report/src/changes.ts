import type { ChangedBesides, TrialResult } from '@pullproof/core';
import { changeText, displayUnits, numberText } from '@pullproof/figures';
import { shortName } from './html.js';
import { decimalsFor, unitsFor } from './text.js';

/** What could be why comes first. */
export const changeOrder: Readonly<Record<ChangedBesides['couldExplain'], number>> = {
  yes: 0,
  partly: 1,
  'cannot tell': 2,
  no: 3,
  'no clear change': 4,
};

/** About how much power a change is worth; null where no rule is known. */
export function amountText(change: ChangedBesides, result: TrialResult): string | null {
  const { power } = displayUnits[result.units];
  return change.couldExplainW === null ? null : `${changeText(power.fromSi(change.couldExplainW))} ${power.symbol}`;
}

/** `100.5 → 107.1 °F`, with as many digits as the difference needs; nothing for a change that has no values. */
export function valuesText(change: ChangedBesides, result: TrialResult): string {
  if (change.before === null && change.after === null) return '';
  if (change.unit === 'kg/m³') return densityText(change);
  const { value: unit } = unitsFor(change.unit, result);
  const [before, after] = [change.before, change.after].map((value) => (value === null ? null : unit.fromSi(value)));
  const known = before !== null && before !== undefined && after !== null && after !== undefined;
  const decimals = Math.min(4, decimalsFor(known ? Math.abs(after - before) : null, unit.decimals));
  const text = (value: number | null | undefined): string =>
    value === null || value === undefined ? 'not known' : numberText(value, decimals);
  return `${text(before)} → ${text(after)}${symbolText(unit.symbol)}`;
}

/** No space before a degree of angle. */
function symbolText(symbol: string): string {
  return symbol === 'deg' ? '°' : symbol === '' ? '' : ` ${shortName(symbol, 20)}`;
}

/** Air density is read as a change: nobody knows its unit by heart. */
function densityText({ before, after }: ChangedBesides): string {
  if (before === null || after === null || !(before > 0)) return '';
  const share = 100 * (after / before - 1);
  return Math.abs(share) < 0.05 ? 'under 0.1%' : `${numberText(share, 1, { signed: true })}%`;
}
