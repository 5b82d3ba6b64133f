// Joins the built command line with all that it uses into a few files, so that a command loads only what it needs and starts fast.
// Part of `npm run build`, after tsc: node tools/bundle.js. The command runs the parts where they were built again since; see packages/cli/bin/joined.js.
import { createHash } from 'node:crypto';
import { mkdirSync, readdirSync, rmSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import { fileURLToPath } from 'node:url';
import { rolldown } from 'rolldown';
import { partsStamp } from '../packages/cli/bin/joined.js';
import { pageParts } from './pageParts.js';
import { root } from './process.js';

const dist = path.join(root, 'packages/cli/dist');
/** Says of the folder's files which kind of module they are. */
const kindNote = 'package.json';
/** Says which build of the parts was joined, and names the code that is kept for it. */
const stampNote = 'stamp.json';

/** Writes packages/cli/dist/bundled. */
export async function bundle() {
  await pageParts();
  const build = await rolldown({
    input: { main: path.join(dist, 'main.js'), checkWorker: path.join(dist, 'jobs/checkWorker.js') },
    platform: 'node',
    logLevel: 'warn',
  });
  const { output } = await build.generate({
    // As CommonJS the modules of a command load some 20 ms sooner than as ES modules.
    format: 'cjs',
    entryFileNames: '[name].js',
    chunkFileNames: '[name]-[hash].js',
    minify: { compress: false, mangle: false, codegen: { removeWhitespace: true } },
    comments: { legal: true, annotation: false, jsdoc: false },
  });
  await build.close();
  const folder = path.join(dist, 'bundled');
  mkdirSync(folder, { recursive: true });
  writeFileSync(path.join(folder, kindNote), '{ "type": "commonjs" }\n');
  // The entries come last, so that what they load is there.
  const chunks = output.filter((part) => part.type === 'chunk').sort((a, b) => Number(a.isEntry) - Number(b.isEntry));
  for (const { fileName, code } of chunks) writeFileSync(path.join(folder, fileName), code);
  const all = createHash('sha256');
  for (const { fileName, code } of chunks) all.update(`${fileName}\0${code}\0`);
  writeFileSync(path.join(folder, stampNote), JSON.stringify({ parts: partsStamp(), code: all.digest('hex').slice(0, 16) }));
  const written = new Set([kindNote, stampNote, ...chunks.map(({ fileName }) => fileName)]);
  for (const name of readdirSync(folder)) if (!written.has(name)) rmSync(path.join(folder, name), { recursive: true });
  return chunks.map(({ fileName, code, imports }) => ({ fileName, bytes: code.length, imports }));
}

if (process.argv[1] === fileURLToPath(import.meta.url)) await bundle();
