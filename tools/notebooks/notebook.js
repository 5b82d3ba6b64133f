import { existsSync, readFileSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import { filesBelow } from '../files.js';
import { root } from '../process.js';

/**
 * @typedef {{ output_type: string, name?: string, text?: string | string[], data?: Record<string, string | string[]>, ename?: string, evalue?: string, traceback?: string[] }} Output
 * @typedef {{ cell_type: string, source: string | string[], outputs?: Output[], execution_count?: number | null }} Cell
 * @typedef {{ cells: Cell[] }} Notebook
 */

/** @returns {string[]} names of the notebooks, in order, without their ending */
export function notebookNames() {
  return filesBelow('notebooks', /^notebooks\/[^/]+\.ipynb$/).map((file) => path.basename(file, '.ipynb'));
}

/**
 * @param {string} file from the root of the checkout
 * @returns {Notebook}
 */
export function readNotebook(file) {
  return JSON.parse(readFileSync(path.join(root, file), 'utf8'));
}

/**
 * Numbers the code cells, which the kernel leaves without a number.
 * @param {string} file from the root of the checkout
 */
export function numberCells(file) {
  const notebook = readNotebook(file);
  let count = 0;
  for (const cell of notebook.cells) if (cell.cell_type === 'code') cell.execution_count = ++count;
  writeFileSync(path.join(root, file), `${JSON.stringify(notebook, null, 1)}\n`);
}

/** @param {string | string[] | undefined} text */
export function joined(text) {
  return Array.isArray(text) ? text.join('') : (text ?? '');
}

/**
 * What is wrong with a notebook as it is committed: outputs, numbers typed in its text, no outside check named.
 * @param {string} name
 * @returns {string[]}
 */
export function textProblems(name) {
  const { cells } = readNotebook(`notebooks/${name}.ipynb`);
  const keys = referenceKeys();
  const problems = [];
  let named = 0;
  cells.forEach((cell, at) => {
    const place = `notebooks/${name}.ipynb, cell ${at + 1}`;
    if ((cell.outputs ?? []).length > 0) problems.push(`${place}: outputs are not committed: clear them`);
    if (cell.cell_type !== 'markdown') return;
    const source = joined(cell.source);
    for (const [, key = ''] of source.matchAll(/\[([A-Z][A-Za-z0-9.-]*\d[A-Za-z0-9.-]*|[A-Z]{4,})\](?!\()/g)) {
      if (keys.has(key)) named += 1;
      else problems.push(`${place}: [${key}] does not stand in docs/references.md`);
    }
    for (const line of source.split('\n')) {
      const number = /\d[\d.,]*/.exec(withoutNames(line));
      if (number !== null)
        problems.push(`${place}: the number ${number[0]} is typed in the text; let the code say it: ${line.slice(0, 80)}`);
    }
  });
  if (named === 0) problems.push(`notebooks/${name}.ipynb names no outside check: a key of docs/references.md in square brackets`);
  return problems;
}

/**
 * A line of text without what may hold digits and is no number: code, targets of links, keys of references, the number of a heading.
 * @param {string} line
 */
function withoutNames(line) {
  return line
    .replace(/`[^`]*`/g, '')
    .replace(/\]\([^)]*\)/g, ']')
    .replace(/\[[A-Z][A-Za-z0-9.-]*\]/g, '')
    .replace(/^#+ \d+\. /, '');
}

/** @returns {Set<string>} keys of docs/references.md */
function referenceKeys() {
  const file = path.join(root, 'docs/references.md');
  if (!existsSync(file)) throw new Error('docs/references.md is missing');
  return new Set([...readFileSync(file, 'utf8').matchAll(/^- \*\*\[([^\]]+)\]\*\*/gm)].map((match) => match[1] ?? ''));
}
