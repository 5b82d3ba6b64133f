import { palette, type Role, type Theme } from './palette.js';

const rolePattern = /^role:([a-z0-9]+)(?:\/([0-9.]+))?$/i;

/**
 * The same data with every theme role (`role:text`, `role:setup1/0.2`) turned into a colour.
 * @param value a figure, or any part of one
 * @param theme `light` or `dark`
 * @returns a copy; the input is left alone
 * @example
 * ```ts
 * import { applyTheme } from '@pullproof/figures';
 * applyTheme({ color: 'role:setup1/0.2' }, 'light'); // => { color: 'rgba(0,114,178,0.2)' }
 * ```
 */
export function applyTheme<T>(value: T, theme: Theme): T {
  return themed(value, theme) as T;
}

function themed(value: unknown, theme: Theme): unknown {
  if (typeof value === 'string') return colourOf(value, theme);
  if (Array.isArray(value)) return value.map((item) => themed(item, theme));
  if (value !== null && typeof value === 'object') {
    return Object.fromEntries(Object.entries(value).map(([name, item]) => [name, themed(item, theme)]));
  }
  return value;
}

function colourOf(text: string, theme: Theme): string {
  const match = rolePattern.exec(text);
  if (match === null || !(match[1]! in palette[theme])) return text;
  const hex = palette[theme][match[1] as Role];
  return match[2] === undefined ? hex : `rgba(${[1, 3, 5].map((at) => Number.parseInt(hex.slice(at, at + 2), 16)).join(',')},${match[2]})`;
}
