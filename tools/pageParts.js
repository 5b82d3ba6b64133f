// Joins the script that runs in every page of the report, and takes down its hash and that of the style: packages/report/dist/pageParts.js.
// Part of `npm run build`, after tsc and before tools/bundle.js, which calls it: node tools/pageParts.js.
import { createHash } from 'node:crypto';
import { writeFileSync } from 'node:fs';
import path from 'node:path';
import { fileURLToPath, pathToFileURL } from 'node:url';
import { rolldown } from 'rolldown';
import { root } from './process.js';

const dist = path.join(root, 'packages/report/dist');

/** @param {string} text */
const sourceHash = (text) => `'sha256-${createHash('sha256').update(text, 'utf8').digest('base64')}'`;

/** Nothing in the script may end the element that it stands in. @param {string} script */
const inElement = (script) => script.replace(/<\/script/gi, '<\\/script').replace(/<!--/g, '<\\!--');

/** Writes packages/report/dist/pageParts.js. */
export async function pageParts() {
  const build = await rolldown({ input: path.join(dist, 'inPage/main.js'), platform: 'browser', logLevel: 'warn' });
  const { output } = await build.generate({ format: 'esm', codeSplitting: false, minify: true, comments: { legal: true } });
  await build.close();
  if (output.length !== 1) throw new Error('the script of the report does not join into one');
  const script = inElement(output[0].code);
  const { styleSheet, bareStyle } = await import(pathToFileURL(path.join(dist, 'styleSheet.js')).href);
  const [style, bare] = [styleSheet(), bareStyle()];
  const parts = {
    script,
    scriptHash: sourceHash(script),
    style,
    styleHash: sourceHash(style),
    bareStyle: bare,
    bareStyleHash: sourceHash(bare),
  };
  writeFileSync(path.join(dist, 'pageParts.js'), `export const pageParts = ${JSON.stringify(parts)};\n`);
  return parts;
}

if (process.argv[1] === fileURLToPath(import.meta.url)) {
  const { script, style } = await pageParts();
  process.stdout.write(`script ${script.length}, style ${style.length} letters\n`);
}
