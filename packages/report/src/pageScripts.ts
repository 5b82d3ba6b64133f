import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { sourceHash } from './contentPolicy.js';
import { packedScript } from './packedScript.js';

/** What runs in a page. It is the same in every page, so the command line holds it made beforehand (tools/bundle.js). */
export interface PageScripts {
  /** The plotting library as the page holds it: markup. */
  readonly packedLibrary: string;
  /** The page's own script, fit to stand inside a script element. */
  readonly own: string;
  /** For the page's policy: what the library is once it is unpacked, and the page's own script. */
  readonly hashes: readonly string[];
}

let made: PageScripts | null = null;

/** Packs the plotting library, once in a process. */
export function pageScripts(): PageScripts {
  made ??= makePageScripts();
  return made;
}

function makePageScripts(): PageScripts {
  const library = readFileSync(createRequire(import.meta.url).resolve('plotly.js-cartesian-dist-min'), 'utf8').replace(/\r\n?/g, '\n');
  const own = forScriptElement(readFileSync(new URL('../dist/page/drawFigures.js', import.meta.url), 'utf8'));
  return { packedLibrary: packedScript(library, 'packed-library').markup, own, hashes: [sourceHash(library), sourceHash(own)] };
}

function forScriptElement(script: string): string {
  return script
    .replace(/<\/script/gi, '<\\/script')
    .replace(/<!--/g, '<\\!--')
    .replace(/\r\n?/g, '\n');
}
