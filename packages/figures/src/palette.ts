/**
 * The one place where colours are written down. Everything else names a role.
 *
 * Setups take the hues of Okabe and Ito's set in the order blue, orange, reddish purple, black, bluish green, vermillion
 * (M. Okabe, K. Ito, "Color Universal Design", 2008, jfly.uni-koeln.de/color). Lightness is moved where a hue would stand
 * at less than 3:1 against its page (WCAG 2.2, 1.4.11); test/figures/palette.test.ts holds both properties.
 */
export const palette = {
  light: {
    page: '#ffffff',
    panel: '#f4f5f6',
    text: '#16191d',
    muted: '#565d66',
    rule: '#c9ced4',
    grid: '#e2e5e9',
    axis: '#7b838d',
    link: '#004f80',
    difference: '#1d3d6b',
    air: '#6e665c',
    gain: '#00694c',
    loss: '#a83c00',
    unclear: '#565d66',
    alarm: '#a50f15',
    setup1: '#0072b2',
    setup2: '#b27600',
    setup3: '#b0508a',
    setup4: '#22262b',
    setup5: '#009e73',
    setup6: '#d55e00',
  },
  dark: {
    page: '#14171b',
    panel: '#1c2026',
    text: '#e8eaed',
    muted: '#a6aeb8',
    rule: '#3c434c',
    grid: '#2b3139',
    axis: '#868f9a',
    link: '#8ecdf5',
    difference: '#c4dcff',
    air: '#b3aa9e',
    gain: '#4fd1a5',
    loss: '#ff9a5c',
    unclear: '#a6aeb8',
    alarm: '#ff8a80',
    setup1: '#56b4e9',
    setup2: '#e69f00',
    setup3: '#d98cb8',
    setup4: '#e8eaed',
    setup5: '#1fb58b',
    setup6: '#e8702a',
  },
} as const;

export type Theme = keyof typeof palette;
export type Role = keyof (typeof palette)['light'];

/** How one setup is drawn: told apart by colour, by line and by marker, each enough by itself. */
export interface SetupStyle {
  readonly role: Role;
  readonly dash: string;
  readonly symbol: string;
}

const setupStyles: readonly SetupStyle[] = [
  { role: 'setup1', dash: 'solid', symbol: 'circle' },
  { role: 'setup2', dash: '9px,4px', symbol: 'square' },
  { role: 'setup3', dash: '2px,3px', symbol: 'diamond' },
  { role: 'setup4', dash: '10px,3px,2px,3px', symbol: 'triangle-up' },
  { role: 'setup5', dash: '5px,3px', symbol: 'x' },
  { role: 'setup6', dash: '14px,4px,2px,3px,2px,4px', symbol: 'star' },
];

/**
 * Style of the setup at a place in the trial.
 * @param index place of the setup, the first is 0
 * @returns colour role, dash and marker; past six setups colours repeat with another marker and dash
 */
export function setupStyle(index: number): SetupStyle {
  const count = setupStyles.length;
  const form = setupStyles[(index + Math.floor(index / count)) % count]!;
  return { role: setupStyles[index % count]!.role, dash: form.dash, symbol: form.symbol };
}
