/** A short, invented log as cells of text: time every 0.04 s, engine speed, road speed, manifold pressure. */
export interface FixtureOptions {
  readonly rows?: number;
  readonly delimiter?: string;
  readonly decimal?: '.' | ',';
  readonly header?: readonly string[];
  readonly end?: string;
}

export const plainHeader: readonly string[] = ['Time (s)', 'Engine speed (rpm)', 'Vehicle speed (km/h)', 'MAP (kPa)'];

/** Cells of row i: they differ from row to row and are easy to check. */
export function plainRow(i: number): string[] {
  return [(i * 0.04).toFixed(2), (2000 + 13.5 * i).toFixed(1), (40 + 0.31 * i).toFixed(2), (98 + ((i * 7) % 11) / 10).toFixed(1)];
}

export function plainRows(rows = 60): string[][] {
  return Array.from({ length: rows }, (_, i) => plainRow(i));
}

export function textOf(cells: readonly (readonly string[])[], options: FixtureOptions = {}): string {
  const { delimiter = ',', decimal = '.', header = plainHeader, end = '\n' } = options;
  const body = cells.map((row) => row.map((cell) => (decimal === ',' ? cell.replace('.', ',') : cell)).join(delimiter));
  return [header.join(delimiter), ...body].map((line) => line + end).join('');
}

export function plainText(options: FixtureOptions = {}): string {
  return textOf(plainRows(options.rows), options);
}

export function utf8(text: string): Uint8Array {
  return new TextEncoder().encode(text);
}

/** One byte a character: windows-1252 where the characters are those of Latin-1. */
export function latin1(text: string): Uint8Array {
  return Uint8Array.from(text, (character) => character.charCodeAt(0));
}

export function utf16(text: string, bigEndian: boolean, mark: boolean): Uint8Array {
  const units = (mark ? `\ufeff${text}` : text).split('').map((character) => character.charCodeAt(0));
  return Uint8Array.from(units.flatMap((unit) => (bigEndian ? [unit >> 8, unit & 255] : [unit & 255, unit >> 8])));
}
