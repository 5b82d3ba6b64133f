import { palette, setupStyle, type Theme } from '@pullproof/figures';
import { describe, expect, it } from 'vitest';

type Triple = readonly [number, number, number];

const linear = (hex: string): Triple =>
  [1, 3, 5].map((at) => {
    const share = Number.parseInt(hex.slice(at, at + 2), 16) / 255;
    return share <= 0.04045 ? share / 12.92 : ((share + 0.055) / 1.055) ** 2.4;
  }) as unknown as Triple;

// Source: WCAG 2.2, definitions of relative luminance and contrast ratio.
const luminance = ([red, green, blue]: Triple): number => 0.2126 * red + 0.7152 * green + 0.0722 * blue;
const contrast = (one: string, other: string): number => {
  const [light, dark] = [luminance(linear(one)), luminance(linear(other))].sort((a, b) => b - a) as [number, number];
  return (light + 0.05) / (dark + 0.05);
};

// Source: G. M. Machado, M. M. Oliveira, L. A. F. Fernandes, IEEE TVCG 15 (2009) 1291–1298, matrices for severity 1.0 in linear RGB. Values from memory.
const seenBy: Readonly<Record<string, readonly Triple[]>> = {
  protanopia: [
    [0.152286, 1.052583, -0.204868],
    [0.114503, 0.786281, 0.099216],
    [-0.003882, -0.048116, 1.051998],
  ],
  deuteranopia: [
    [0.367322, 0.860646, -0.227968],
    [0.280085, 0.672501, 0.047413],
    [-0.01182, 0.04294, 0.968881],
  ],
  tritanopia: [
    [1.255528, -0.076749, -0.178779],
    [-0.078411, 0.930809, 0.147602],
    [0.004733, 0.691367, 0.3039],
  ],
};

const seen = (matrix: readonly Triple[], colour: Triple): Triple =>
  matrix.map((row) => Math.min(1, Math.max(0, row[0] * colour[0] + row[1] * colour[1] + row[2] * colour[2]))) as unknown as Triple;

// Source: CIE 15, CIELAB with the D65 white of sRGB (IEC 61966-2-1); distance is CIE76.
function lab([red, green, blue]: Triple): Triple {
  const f = (t: number): number => (t > (6 / 29) ** 3 ? Math.cbrt(t) : t / (3 * (6 / 29) ** 2) + 4 / 29);
  const x = f((0.4124 * red + 0.3576 * green + 0.1805 * blue) / 0.9505);
  const y = f(luminance([red, green, blue]));
  const z = f((0.0193 * red + 0.1192 * green + 0.9505 * blue) / 1.089);
  return [116 * y - 16, 500 * (x - y), 200 * (y - z)];
}
const distance = (one: Triple, other: Triple): number => Math.hypot(...lab(one).map((value, index) => value - lab(other)[index]!));

const themes: readonly Theme[] = ['light', 'dark'];
const setups = [0, 1, 2, 3, 4, 5].map((index) => setupStyle(index));

describe.each(themes)('the %s palette', (theme) => {
  const colours = palette[theme];

  it('has text at 4.5:1 and figure colours at 3:1 against the page', () => {
    // Source: WCAG 2.2, success criteria 1.4.3 and 1.4.11.
    for (const role of ['text', 'muted', 'link', 'alarm', 'loss', 'gain'] as const)
      expect.soft(contrast(colours[role], colours.page), role).toBeGreaterThanOrEqual(4.5);
    for (const role of ['difference', 'air', 'axis', 'unclear', ...setups.map((style) => style.role)] as const) {
      expect.soft(contrast(colours[role], colours.page), role).toBeGreaterThanOrEqual(3);
    }
  });

  it.each(Object.keys(seenBy))('keeps the first four setups apart by colour alone with %s', (sight) => {
    // The bound of 10 is common practice, no source: well above a just noticeable difference of about 2.3 (Mahy 1994, from memory).
    const shown = setups.slice(0, 4).map((style) => seen(seenBy[sight]!, linear(colours[style.role])));
    shown.forEach((one, index) => {
      for (const other of shown.slice(index + 1)) expect.soft(distance(one, other)).toBeGreaterThan(10);
    });
  });

  it('would not keep red and green apart, so the measure can fail', () => {
    const matrix = seenBy.deuteranopia!;
    expect(distance(seen(matrix, linear('#c8503c')), seen(matrix, linear('#7d7a30')))).toBeLessThan(
      distance(linear('#c8503c'), linear('#7d7a30')) / 2,
    );
  });
});

describe('setup styles', () => {
  it('differ in every one of colour, line and marker for six setups', () => {
    for (const property of ['role', 'dash', 'symbol'] as const) expect(new Set(setups.map((style) => style[property])).size).toBe(6);
  });

  it('never repeat as a whole, and colour with form stays told apart, for a dozen', () => {
    const dozen = Array.from({ length: 12 }, (_, index) => setupStyle(index));
    expect(new Set(dozen.map((style) => `${style.role} ${style.symbol}`)).size).toBe(12);
  });
});

describe('the Okabe and Ito hues', () => {
  it('stand unchanged where they reach 3:1', () => {
    // Source: M. Okabe, K. Ito, Color Universal Design, 2008: blue 0,114,178; vermillion 213,94,0; bluish green 0,158,115; sky blue 86,180,233; orange 230,159,0.
    expect([palette.light.setup1, palette.light.setup6, palette.light.setup5]).toEqual(['#0072b2', '#d55e00', '#009e73']);
    expect([palette.dark.setup1, palette.dark.setup2]).toEqual(['#56b4e9', '#e69f00']);
  });
});
