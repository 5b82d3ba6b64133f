import { sourceHash } from './contentPolicy.js';
import { pageScripts } from './pageScripts.js';
import { styleSheet } from './styleSheet.js';

/** What a page that shows a report in a frame must allow besides its own: a frame made of text has the policy of the page around it too. */
export function reportPolicy(): { readonly scriptHashes: readonly string[]; readonly styleHashes: readonly string[] } {
  return { scriptHashes: pageScripts().hashes, styleHashes: [sourceHash(styleSheet()), sourceHash('')] };
}
