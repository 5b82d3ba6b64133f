import { numberText } from '@pullproof/core';

/** Round numbers within a range, `about` of them. */
export function ticksWithin(low: number, high: number, about: number): number[] {
  const span = high - low;
  if (!(span > 0) || !Number.isFinite(span)) return Number.isFinite(low) ? [low] : [];
  const rough = span / Math.max(1, about);
  const power = 10 ** Math.floor(Math.log10(rough));
  const step = power * ([1, 2, 5, 10].find((factor) => factor * power >= rough * 0.999) ?? 10);
  return ticksBy(low, high, step);
}

/** Multiples of a step within a range. */
export function ticksBy(low: number, high: number, step: number): number[] {
  const slack = 1e-9 * (high - low);
  const first = Math.ceil((low - slack) / step);
  const last = Math.floor((high + slack) / step);
  if (!(last - first < 200)) return [];
  return Array.from({ length: last - first + 1 }, (_, index) => Number(((first + index) * step).toPrecision(12)));
}

/** Ticks as text: as many decimals as tell them apart, thousands with a comma, a true minus; a `+` where the format asks for signs. */
export function tickTexts(ticks: readonly number[], format = '~f'): string[] {
  const fixed = /\.(\d)f/.exec(format);
  const needed = ticks.reduce((most, tick) => Math.max(most, (String(Number(tick.toPrecision(8))).split('.')[1] ?? '').length), 0);
  const decimals = fixed === null ? Math.min(6, needed) : Math.min(Number(fixed[1]), needed);
  return ticks.map((tick) => numberText(tick, decimals, { signed: format.startsWith('+') }));
}
