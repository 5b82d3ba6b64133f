import { pageParts } from '#page-parts';

/** What a page that shows a report in a frame must allow besides its own: a frame made of text has the policy of the page around it too. */
export function reportPolicy(): { readonly scriptHashes: readonly string[]; readonly styleHashes: readonly string[] } {
  return { scriptHashes: [pageParts.scriptHash], styleHashes: [pageParts.styleHash, pageParts.bareStyleHash] };
}

/** The policy under which the report runs: its own script and style, to the byte, and nothing from anywhere. */
export function contentPolicy(): string {
  const { scriptHashes, styleHashes } = reportPolicy();
  return [
    "default-src 'none'",
    `script-src ${scriptHashes.join(' ')}`,
    `style-src ${styleHashes.join(' ')}`,
    "base-uri 'none'",
    "form-action 'none'",
  ].join('; ');
}
