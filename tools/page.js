// Builds Pullproof as one HTML file for a browser, out/pullproof.html: the page's own script, the worker with core and report, style and sample inside.
// Part of nothing else: npm run page (after a build).
import { createHash } from 'node:crypto';
import { mkdirSync, readdirSync, readFileSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import { fileURLToPath, pathToFileURL } from 'node:url';
import { deflateSync } from 'node:zlib';
import { rolldown } from 'rolldown';
import { root } from './process.js';

const dist = path.join(root, 'packages/page/dist');
const sampleFolder = path.join(root, 'sample-logs');

/** @param {string} input */
async function joined(input) {
  const build = await rolldown({ input, platform: 'browser', logLevel: 'warn' });
  const { output } = await build.generate({ format: 'iife', codeSplitting: false, minify: true, comments: { legal: true } });
  await build.close();
  if (output.length !== 1) throw new Error(`${input} does not join into one script`);
  return output[0].code;
}

/** @param {string} text */
const inScript = (text) => text.replace(/<\/script/gi, '<\\/script').replace(/<!--/g, '<\\!--');
/** @param {string} text */
const hash = (text) => `'sha256-${createHash('sha256').update(text, 'utf8').digest('base64')}'`;

function packedSample() {
  const names = readdirSync(sampleFolder).filter((name) => /\.(csv|yaml)$/.test(name));
  const files = names.map((name) => ({ name, text: readFileSync(path.join(sampleFolder, name), 'utf8') }));
  return deflateSync(JSON.stringify(files), { level: 9 }).toString('base64');
}

/** Writes out/pullproof.html. */
export async function buildPage() {
  const [app, worker] = [inScript(await joined(path.join(dist, 'main.js'))), inScript(await joined(path.join(dist, 'worker/main.js')))];
  const { styleSheet } = await import(pathToFileURL(path.join(dist, 'styleSheet.js')).href);
  const { reportPolicy } = await import(pathToFileURL(path.join(root, 'packages/report/dist/index.js')).href);
  const style = styleSheet();
  const report = reportPolicy();
  // A report is shown in a frame of its own, which has this policy beside its own: so its scripts and style are named here too.
  const policy = [
    "default-src 'none'",
    `script-src ${[hash(app), ...report.scriptHashes].join(' ')}`,
    'worker-src blob:',
    `style-src-elem ${[hash(style), ...report.styleHashes].join(' ')}`,
    "style-src-attr 'unsafe-inline'",
    'img-src data: blob:',
    "base-uri 'none'",
    "form-action 'none'",
  ].join('; ');
  const page = `<!doctype html>
<html lang="en">
<head>
<meta http-equiv="Content-Security-Policy" content="${policy}">
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<meta name="color-scheme" content="light dark">
<meta name="referrer" content="no-referrer">
<link rel="icon" href="data:,">
<title>Pullproof: did the part help?</title>
<style>${style}</style>
</head>
<body>
<div id="app"></div>
<noscript><p>This page works out its answer with a script of its own, and scripts are switched off. The command line does the same job.</p></noscript>
<script type="text/plain" id="sample">${packedSample()}</script>
<script type="text/plain" id="worker">${worker}</script>
<script>${app}</script>
</body>
</html>
`;
  const file = path.join(root, 'out/pullproof.html');
  mkdirSync(path.dirname(file), { recursive: true });
  writeFileSync(file, page);
  return { file, bytes: Buffer.byteLength(page), app: app.length, worker: worker.length };
}

if (process.argv[1] === fileURLToPath(import.meta.url)) {
  const { file, bytes, app, worker } = await buildPage();
  process.stdout.write(`${path.relative(root, file)}: ${(bytes / 1e6).toFixed(2)} MB (own script ${app}, worker ${worker})\n`);
}
