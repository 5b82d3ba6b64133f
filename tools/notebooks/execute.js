import { mkdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import { root, runProgram } from '../process.js';
import { kernelPath } from './kernel.js';
import { joined, numberCells, readNotebook } from './notebook.js';
import { pageStyle } from './pageStyle.js';

/** Where executed copies and pages go; ignored by git. */
export const outputFolder = 'out/notebooks';

/**
 * Executes a notebook from its own folder, as Jupyter does, into a copy, and exports the copy as a page.
 * @param {string} name
 * @returns {Promise<string[]>} what went wrong
 */
export async function executeNotebook(name) {
  const copy = `${outputFolder}/${name}.ipynb`;
  const page = `${outputFolder}/${name}.html`;
  mkdirSync(path.join(root, outputFolder), { recursive: true });
  for (const file of [copy, page]) rmSync(path.join(root, file), { force: true });
  const executed = await nbconvert([
    '--to',
    'notebook',
    '--execute',
    // A cell that fails ends the run without a word; this way its own words are in the copy.
    '--allow-errors',
    '--ExecutePreprocessor.timeout=300',
    '--output-dir',
    path.join(root, outputFolder),
    path.join(root, 'notebooks', `${name}.ipynb`),
  ]);
  if (executed.exitCode !== 0) return [`${name}: jupyter nbconvert ends with exit code ${executed.exitCode}\n${executed.output}`];
  numberCells(copy);
  const problems = cellProblems(name, copy);
  const exported = await nbconvert([
    '--to',
    'html',
    // Empty, or the page asks for files of this machine.
    '--HTMLExporter.mathjax_url=',
    '--HTMLExporter.require_js_url=',
    '--HTMLExporter.jquery_url=',
    path.join(root, copy),
  ]);
  if (exported.exitCode !== 0) return [...problems, `${name}: no page was made\n${exported.output}`];
  finishPage(page, name);
  return problems;
}

/** @param {readonly string[]} args */
function nbconvert(args) {
  return runProgram('jupyter', ['nbconvert', '--log-level=ERROR', ...args], { timeoutS: 600, env: { JUPYTER_PATH: kernelPath } });
}

/**
 * Errors, and whatever a cell wrote to standard error: the kernel tells type errors there and calls the cell a success.
 * @param {string} name
 * @param {string} copy
 * @returns {string[]}
 */
function cellProblems(name, copy) {
  return readNotebook(copy).cells.flatMap((cell, at) =>
    (cell.outputs ?? []).flatMap((output) => {
      const place = `${name}, cell ${at + 1}`;
      if (output.output_type === 'error') return [`${place}: ${output.ename}: ${output.evalue}\n${joined(output.traceback)}`];
      return output.output_type === 'stream' && output.name === 'stderr' ? [`${place}: ${joined(output.text)}`] : [];
    }),
  );
}

/**
 * Makes the exported page fit for phones and for dark.
 * @param {string} page
 * @param {string} name
 */
function finishPage(page, name) {
  const file = path.join(root, page);
  const markup = readFileSync(file, 'utf8');
  if (!markup.includes('</head>')) throw new Error(`${page} has no head`);
  const viewport = /<meta name="viewport"/.test(markup) ? '' : '<meta name="viewport" content="width=device-width, initial-scale=1">\n';
  // The last head end of the template, not one inside a script: scripts of the plotting library stand behind it.
  const head = markup.indexOf('</head>');
  const begin = markup
    .slice(0, head)
    .replace(/<title>[^<]*<\/title>/, `<title>${name}</title>`)
    .replace(/<html(?! lang)/, '<html lang="en"');
  writeFileSync(file, `${begin}${viewport}<style>${pageStyle}</style>\n${markup.slice(head)}`);
}
