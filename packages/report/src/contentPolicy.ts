import { createHash } from 'node:crypto';

/** Hash of the empty style element that the plotting library makes and fills by rules. */
const emptyStyle = sourceHash('');

/** A content policy's source expression for an inline script or style. */
export function sourceHash(text: string): string {
  return `'sha256-${createHash('sha256').update(text, 'utf8').digest('base64')}'`;
}

/**
 * The policy under which the report runs: these scripts and this style, pictures made in the page, and nothing from anywhere.
 * @param inline hashes of the page's own scripts, and the text of its style, to the byte
 * @returns value of the policy
 */
export function contentPolicy(inline: { readonly scriptHashes: readonly string[]; readonly style: string }): string {
  return [
    "default-src 'none'",
    `script-src ${inline.scriptHashes.join(' ')}`,
    `style-src-elem ${sourceHash(inline.style)} ${emptyStyle}`,
    "style-src-attr 'unsafe-inline'",
    'img-src data: blob:',
    "base-uri 'none'",
    "form-action 'none'",
  ].join('; ');
}
