import { type Finding, placeText, type Standing, type StatedValue } from '@pullproof/core';
import { type DisplayUnit, numberText } from '@pullproof/figures';

/** Value in a unit for people, with the unit. */
export function valueText(value: number | null, unit: DisplayUnit, signed = false): string {
  if (value === null || !Number.isFinite(value)) return '–';
  return withSymbol(numberText(unit.fromSi(value), unit.decimals, { signed }), unit.symbol);
}

/** Both bounds in a unit for people. */
export function boundsText(low: number | null, high: number | null, unit: DisplayUnit, signed = false): string {
  if (low === null || high === null || !Number.isFinite(low) || !Number.isFinite(high)) return 'not known';
  const text = (value: number): string => numberText(unit.fromSi(value), unit.decimals, { signed });
  return `${text(low)} to ${text(high)}`;
}

/** A stated value, with its band from its spread, one standard uncertainty. */
export function statedRow(
  what: string,
  { value, spread, standing }: StatedValue,
  unit: DisplayUnit,
): { what: string; value: string; band: string; standing: Standing } {
  return {
    what,
    value: valueText(value, unit),
    band: value === null || spread === null ? 'not known' : `${boundsText(value - 1.96 * spread, value + 1.96 * spread, unit)} (95 %)`,
    standing,
  };
}

/** A finding as one text: where, what, what to do. */
function findingWords({ where, message, fix, code }: Finding): string {
  return `${placeText(where)}${message} ${fix} [${code}]`;
}

/** What deserves a reader's attention: errors and warnings, each once, and how many notes there are beside. */
export function cautionsOf(findings: readonly Finding[]): string[] {
  const told = [...new Set(findings.filter(({ severity }) => severity !== 'note').map(findingWords))];
  const notes = findings.filter(({ severity }) => severity === 'note').length;
  return notes === 0 ? told : [...told, `${notes === 1 ? 'One note stands' : `${notes} notes stand`} in the result’s findings.`];
}

function withSymbol(text: string, symbol: string): string {
  return symbol === '' ? text : `${text} ${symbol}`;
}
