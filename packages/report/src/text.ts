import { convert, type StatedValue, type TrialResult } from '@pullproof/core';
import { type DisplayUnit, displayUnitFor, displayUnits, inDisplayUnit, numberText, shareInPercent } from '@pullproof/figures';

/** Decimals at which a spread shows two digits, never fewer than none nor more than six. */
export function decimalsFor(spread: number | null | undefined, usual: number): number {
  if (spread === null || spread === undefined || !(spread > 0)) return usual;
  return Math.min(6, Math.max(0, 1 - Math.floor(Math.log10(spread))));
}

/** Value and spread, two digits of spread: `22.0 ± 0.6 °C`. */
function spreadText(
  value: number | null,
  spread: number | null,
  unit: { readonly value: DisplayUnit; readonly spread: DisplayUnit },
): string {
  if (value === null) return 'not known';
  const shownSpread = inDisplayUnit(spread, unit.spread);
  const decimals = decimalsFor(shownSpread, unit.value.decimals);
  const symbol = unit.value.symbol === '' ? '' : ` ${unit.value.symbol}`;
  const around = shownSpread === null || shownSpread === 0 ? '' : `\u00a0±\u00a0${numberText(shownSpread, decimals)}`;
  return `${numberText(unit.value.fromSi(value), decimals)}${around}${symbol}`;
}

/** Units for a value held in an SI unit, and for its spread. `as` overrules what the symbol alone would give. */
export function unitsFor(
  siSymbol: string,
  result: TrialResult,
  as?: 'share' | 'weatherPressure' | 'wind',
): { readonly value: DisplayUnit; readonly spread: DisplayUnit } {
  const shown = displayUnits[result.units];
  if (as === 'share') return { value: shareInPercent, spread: shareInPercent };
  if (as !== undefined) return { value: shown[as], spread: shown[as] };
  if (siSymbol === 'K') return { value: shown.temperature, spread: shown.temperatureDifference };
  if (siSymbol === 'kg/J') return { value: consumption[result.units], spread: consumption[result.units] };
  const unit = displayUnitFor(siSymbol, result.units);
  return { value: unit, spread: unit };
}

/** An input as people read it. A temperature below any that an engine meets is a difference; a time below a tenth of a second stands in ms. */
export function inputText(
  { value, spread, unit }: { readonly value: number | null; readonly spread: number | null; readonly unit: string },
  result: TrialResult,
  as?: 'wind',
): string {
  const { temperatureDifference } = displayUnits[result.units];
  const shown =
    unit === 'K' && value !== null && Math.abs(value) < coldestK
      ? { value: temperatureDifference, spread: temperatureDifference }
      : unit === 's' && value !== null && Math.abs(value) < 0.1
        ? { value: milliseconds, spread: milliseconds }
        : unitsFor(unit, result, as);
  const bare = value !== null && (spread === null || spread === 0) && shown.value.decimals === 3;
  // A limit has no spread that would tell how many digits it has: those it needs, three at most.
  const decimals = bare ? (/\.(\d*?)0*$/.exec(shown.value.fromSi(value).toFixed(3))?.[1] ?? '').length : shown.value.decimals;
  return spreadText(value, spread, { ...shown, value: { ...shown.value, decimals } });
}

/** Fuel for the energy at the crank; 1 hp is 745.7 W, 1 lb is 0.45359 kg. */
const consumption: Readonly<Record<TrialResult['units'], DisplayUnit>> = {
  metric: { symbol: 'g/kWh', fromSi: (kgPerJ) => convert(kgPerJ, 'kg/J', 'g/kWh'), decimals: 0 },
  imperial: { symbol: 'lb/(hp h)', fromSi: (kgPerJ) => convert(kgPerJ, 'kg/J', 'lb/(hp h)'), decimals: 3 },
};
const coldestK = 150;
const milliseconds: DisplayUnit = { symbol: 'ms', fromSi: (seconds) => 1e3 * seconds, decimals: 1 };

/** A stated value as people read it, without its standing. */
export function statedText(stated: StatedValue, result: TrialResult, as?: 'share' | 'weatherPressure' | 'wind'): string {
  return spreadText(stated.value, stated.spread, unitsFor(stated.unit, result, as));
}

/** A name of a quantity as plain words: `charge-temperature` becomes `charge temperature`. */
export function plainName(text: string): string {
  return /^[a-z]+(-[a-z]+)+$/.test(text) ? text.replaceAll('-', ' ') : text;
}

/** First sentence, and the rest. */
export function splitSentence(text: string): readonly [string, string] {
  const match = /^(.*?[.!?])\s+(?=\S)/.exec(text);
  return match === null ? [text, ''] : [match[1]!, text.slice(match[0].length)];
}

/** The same text with no line break inside a short bracket or between a number and its unit. */
export function keepTogether(text: string): string {
  const joined = (part: string): string => part.replaceAll(' ', '\u00a0');
  return text.replace(/\([^()]{1,24}\)/g, joined).replace(/[\d)] (?=(?:hp|kW|rpm|lb|psi|kPa|mph|%|°[CF]|\()(?![a-z]))/g, joined);
}

/** A remark as a sentence: a capital in front, a full stop behind. */
export function asSentence(text: string): string {
  if (text === '') return '';
  return `${text[0]!.toUpperCase()}${text.slice(1)}${/[.!?…]$/.test(text) ? '' : '.'}`;
}
