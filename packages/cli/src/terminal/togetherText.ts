import type { LogsTogether } from '@pullproof/core';
import { headline, nextLines, workLines } from './checkWords.js';
import { inertText } from './inertText.js';
import { wrapped } from './layout.js';
import { type Style, shownBy } from './style.js';

const gearsShown = 4;

/** What several logs are good for together. */
export function togetherText(together: LogsTogether, style: Style): string {
  const { logs, works, gears, missingForComparison } = together;
  const plain = (text: string) => shownBy(inertText(text, 600), style);
  const inGears = gears
    .slice(0, gearsShown)
    .map(
      ({ rpmPerMps, pulls }) => `${pulls} ${rpmPerMps === null ? 'in an unknown gear' : `at ${(rpmPerMps / 3.6).toFixed(0)} rpm per km/h`}`,
    );
  const more = gears.length > gearsShown ? ', …' : '';
  const compare =
    missingForComparison.length === 0
      ? 'To compare two setups: there are enough pulls in one gear. Enter weather, weight and gearing with: pullproof new LOG… > trial.yaml'
      : `To compare two setups, still missing: ${missingForComparison.join(', ')}. Weather, weight and gearing are entered in a trial file.`;
  const lines = [
    style.bold(plain(`${logs} logs together: ${headline(works)}`)),
    ...workLines(works, style),
    ...nextLines(works, style),
    ...(inGears.length === 0 ? [] : wrapped(plain(`Pulls by gear: ${inGears.join(', ')}${more}.`), style.width, '', '  ')),
    ...wrapped(plain(compare), style.width, '', '  '),
  ];
  return `${lines.join('\n')}\n\n`;
}
