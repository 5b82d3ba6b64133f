import { palette, type Theme } from '@pullproof/figures';
import { figureStyle } from './style/figureStyle.js';
import { pageStyle } from './style/pageStyle.js';
import { paperStyle } from './style/paperStyle.js';

const variables = (theme: Theme): string =>
  Object.entries(palette[theme])
    .map(([role, colour]) => `--${role}:${colour};`)
    .join('');

const roles = Object.keys(palette.light);

/** Sizes and spaces by name; everything else refers to these. */
const scale = '--small:.875rem;--body:1rem;--large:1.2rem;--answer:1.5rem;--gap:.5rem;--space:1rem;--room:1.75rem;--page-width:82rem;';

/** The report's one style sheet. Colours come from the palette of the figures. */
export function styleSheet(): string {
  return `:root{color-scheme:light dark;${scale}${variables('light')}}
@media screen and (prefers-color-scheme:dark){:root{${variables('dark')}}}
${roles.map((role) => `.role-${role}{--role:var(--${role})}.s-${role}{stroke:var(--${role})}.f-${role}{fill:var(--${role})}`).join('')}
${pageStyle}${figureStyle}${paperStyle}`;
}

/** For a reader without scripts: what a script would show or hide stands there. */
export function bareStyle(): string {
  return '.pair-panel[hidden]{display:grid!important}.choice,.bar,.units,.readout,.tick{display:none!important}';
}
