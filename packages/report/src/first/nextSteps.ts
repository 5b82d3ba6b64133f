import type { TrialResult } from '@pullproof/core';
import { type Html, html, shortName } from '../html.js';
import { sharpenGroups } from '../sections/sharpen.js';
import { keepTogether } from '../text.js';
import { isEngineFinding } from './warningStrip.js';

const mostSteps = 3;

/** The three things to do next; advice that several comparisons share is given once, further advice opens. */
export function nextSteps(result: TrialResult): Html | null {
  const { overall, warning, findings } = result;
  const base = overall[0]?.before;
  // What concerns the first setup comes before what concerns two later ones.
  const sorted = [...overall].sort((a, b) => Number(a.before !== base) - Number(b.before !== base));
  const before = warning.level === 'stop' ? findings.filter(isEngineFinding).slice(0, 1) : [];
  // Without these there is no verdict, so they come before what would follow from one.
  const deciding = sharpenGroups(result).flatMap(({ first }) => (first.decides ? [`Enter: ${first.sentence}`] : []));
  const advice = [...new Set([...before.map(({ fix }) => fix), ...deciding, ...sorted.flatMap(({ next }) => next)])];
  if (advice.length === 0) return null;
  const list = (texts: readonly string[], start: number): Html =>
    html`<ol class="next" start="${start}">${texts.map((text) => html`<li>${keepTogether(shortName(text, 600))}</li>`)}</ol>`;
  const further = advice.slice(mostSteps);
  return html`<section id="next" aria-labelledby="next-title"><h2 id="next-title">What to do next</h2>
${list(advice.slice(0, mostSteps), 1)}
${further.length === 0 ? null : html`<details><summary>${further.length} more</summary>${list(further, mostSteps + 1)}</details>`}</section>`;
}
