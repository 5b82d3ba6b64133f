import { deflateSync } from 'node:zlib';
import { type Html, trustedHtml } from './html.js';

/**
 * A long script packed for the page: the page's own script unpacks it and runs it as an element of its own, whose text the policy knows by its hash.
 * Packed text of one script is the same on every run of one Node; another Node may pack with another library, and then only these bytes differ.
 * @param script the script's text; a licence in front of it stays readable
 * @param id by which the page's script finds it
 */
export function packedScript(script: string, id: string): Html {
  const licence =
    /^\/\*[\s\S]*?\*\//
      .exec(script)?.[0]
      .replace(/^\/\*+|\*+\/$|^\s*\*/gm, '')
      .trim() ?? '';
  if (/--|[<>]/.test(licence)) throw new TypeError('The licence in front of the script cannot stand in a comment.');
  const packed = deflateSync(script, { level: 9 }).toString('base64');
  return trustedHtml(`<!-- Packed below: ${licence} -->\n<script type="text/plain" id="${id}">${packed}</script>`);
}
