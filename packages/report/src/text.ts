import type { StatedValue, TrialResult } from '@pullproof/core';
import { type DisplayUnit, displayUnitFor, displayUnits, inDisplayUnit, numberText, shareInPercent } from '@pullproof/figures';

/** Decimals at which a spread shows two digits, never fewer than none nor more than six. */
export function decimalsFor(spread: number | null | undefined, usual: number): number {
  if (spread === null || spread === undefined || !(spread > 0)) return usual;
  return Math.min(6, Math.max(0, 1 - Math.floor(Math.log10(spread))));
}

/** Value and spread, two digits of spread: `22.0 ± 0.6 °C`. */
export function spreadText(
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
  const unit = displayUnitFor(siSymbol, result.units);
  return { value: unit, spread: unit };
}

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
