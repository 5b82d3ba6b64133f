import type { TopEndAnalysis } from '@pullproof/core';
import { inertText } from './inertText.js';
import { wrapped } from './layout.js';
import { type Style, shownBy } from './style.js';

/** Causes that are named with their reasons. */
const shownCauses = 3;

/** What limits the top end, in a few lines: the answer, the causes that are ahead with what speaks for and against each, and what would decide. */
export function topEndLines(analysis: TopEndAnalysis | undefined, style: Style): string[] {
  if (analysis === undefined || analysis.answer === 'nothing fades') return [];
  const plain = (text: string) => shownBy(inertText(text), style);
  const causes = analysis.causes.slice(0, Math.max(shownCauses, analysis.leading.length)).flatMap((cause) => {
    const [forIt] = cause.speaksFor;
    const [against] = cause.speaksAgainst;
    const why = [
      forIt === undefined ? '' : ` For: ${forIt.sentence}`,
      against === undefined ? '' : ` Against: ${against.sentence}`,
      cause.notLogged.length === 0 ? '' : ` Not logged: ${cause.notLogged.join(', ')}.`,
    ].join('');
    return wrapped(plain(`${cause.name}: ${cause.words}.${why}`), style.width, `  ${cause.rank}. `, '     ');
  });
  return [
    style.bold('What limits the top end'),
    ...wrapped(plain(analysis.sentence), style.width, '  '),
    ...causes,
    ...analysis.next.slice(0, 2).flatMap((step) => wrapped(plain(step), style.width, '  To decide: ', '  ')),
    '',
  ];
}
