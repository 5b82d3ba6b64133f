import type { TrialResult } from '@pullproof/core';
import { html } from '../html.js';
import type { Block, ReportSection, Topic } from '../section.js';
import { splitSentence } from '../text.js';

/** Makes a topic of a result; null where the result has nothing for it. */
export type TopicMaker = (result: TrialResult) => Topic | null;

/** Blocks of sections one after another; each after the first under its own heading. */
export function blocksOf(
  result: TrialResult,
  sections: readonly ReportSection[],
  options: { readonly headings?: boolean } = {},
): readonly Block[] {
  return sections.flatMap((section) => {
    const blocks = section.render(result);
    if (blocks === null) return [];
    return options.headings === true ? [html`<h3>${section.title}</h3>`, ...blocks] : blocks;
  });
}

/** The first sentence of a text, cut at a length that a closed topic bears. */
export function opening(text: string, longest = 130): string {
  const [first] = splitSentence(text);
  return first.length > longest ? `${first.slice(0, first.lastIndexOf(' ', longest - 1))}…` : first;
}

export function plural(count: number, one: string, many = `${one}s`): string {
  return `${count} ${count === 1 ? one : many}`;
}
