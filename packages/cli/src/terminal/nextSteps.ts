import type { TrialResult } from '@pullproof/core';
import { inertText } from './inertText.js';
import { wrapped } from './layout.js';
import { type Style, shownBy } from './style.js';

/** A stop as the first lines of a screen; none where nothing asks for one. */
export function stopLines({ warning }: TrialResult, style: Style): string[] {
  if (warning.level !== 'stop') return [];
  const details = warning.details.filter(({ level }) => level === 'stop').slice(0, 2);
  const plain = (text: string) => shownBy(inertText(text), style);
  return [
    ...wrapped('STOP: no more full-throttle pulls until this is fixed.', style.width).map(style.red),
    ...details.flatMap(({ text }) => fitted(plain(text), style.width, 3, '  ', '  ')),
    '',
  ];
}

/** Findings that come before any verdict: an engine or a bolt may break. */
const urgent = /^(?:W_FASTENER_TORQUE|W_KNOCK|W_LEAN|STOP)/;

/**
 * What to do next from all that was found, by severity: what may break first, then what the verdict asks for. After a stop nothing asks for another pull.
 *
 * @returns sentences, each once
 */
export function nextSteps({ findings, overall, warning, topEnd }: TrialResult): string[] {
  const broken = findings
    .filter(({ severity, code }) => severity === 'error' || urgent.test(code))
    .map(({ message, fix, severity }) => (severity === 'error' ? fix : `${message} ${fix}`));
  const stopped = warning.level === 'stop';
  const limits = (topEnd?.comparisons ?? []).flatMap(({ next }) => next.slice(0, 1));
  // Where weather is missing nobody has to drive: the pulls are usable.
  const verdict = overall.flatMap(({ verdict: word, because = [], next }) => [
    ...(word === 'cannot tell' ? because.slice(0, 1).map(({ settle }) => settle) : []),
    ...(because[0]?.code === 'WEATHER_UNKNOWN' ? [] : next),
  ]);
  const stop = stopped
    ? [
        'Have what the stop names found and fixed, before the engine sees full throttle again.',
        'Send these logs and the report to your tuner.',
      ]
    : [];
  const all = [...stop, ...broken, ...(stopped ? [] : [...verdict, ...limits])];
  const asksForPull = /\b(?:log|pulls?|drive|coast down)\b/i;
  return [...new Set(all.filter((step) => step !== '' && !(stopped && !stop.includes(step) && asksForPull.test(step))))];
}

/** As many whole sentences as fit into some lines; the first is never cut. */
export function fitted(text: string, width: number, most: number, first: string, hanging: string): string[] {
  const sentences = text.match(/.*?[.!?](?=\s|$)\s*|.+$/g) ?? [text];
  let lines = wrapped(sentences[0]!.trim(), width, first, hanging);
  for (let count = 2; count <= sentences.length; count++) {
    const longer = wrapped(sentences.slice(0, count).join('').trim(), width, first, hanging);
    if (longer.length > most) break;
    lines = longer;
  }
  return lines;
}

/** A sentence ends with a point. */
export function dotted(text: string): string {
  return /[.!?]$/.test(text) ? text : `${text}.`;
}
