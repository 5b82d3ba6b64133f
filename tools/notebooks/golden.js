import { existsSync, readFileSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import { root } from '../process.js';
import { joined, readNotebook } from './notebook.js';

const goldenFile = 'notebooks/golden.json';

/** A number as people read it. */
const numberPattern = /[−+-]?\d[\d,]*(?:\.\d+)?/g;

/**
 * What a reader sees in the outputs of an executed notebook, line by line; tables that are folded away, scripts and pictures left out.
 * @param {string} file from the root of the checkout
 * @returns {string[]}
 */
export function shownLines(file) {
  const { cells } = readNotebook(file);
  return cells
    .flatMap((cell) => cell.outputs ?? [])
    .flatMap((output) => {
      if (output.output_type === 'stream') return joined(output.text).split('\n');
      return textOf(joined(output.data?.['text/html'])).split('\n');
    })
    .map((line) => line.trim())
    .filter((line) => line !== '');
}

/** @param {string} markup */
function textOf(markup) {
  return markup
    .replace(/<(script|style|details)\b[\s\S]*?<\/\1>/g, '')
    .replace(/\s+/g, ' ')
    .replace(/<\/(p|li|tr|summary|caption|div)>/g, '\n')
    .replace(/<\/t[hd]>/g, ' | ')
    .replace(/<[^>]*>/g, '')
    .replace(/&#39;/g, "'")
    .replace(/&quot;/g, '"')
    .replace(/&lt;/g, '<')
    .replace(/&gt;/g, '>')
    .replace(/&amp;/g, '&');
}

/**
 * What differs between what a notebook shows and what is held: words exactly, numbers by more than one of their last digit.
 * @param {readonly string[]} held
 * @param {readonly string[]} shown
 * @returns {string[]}
 */
export function differences(held, shown) {
  const problems = [];
  for (let at = 0; at < Math.max(held.length, shown.length); at++) {
    const [was, is] = [held[at] ?? '', shown[at] ?? ''];
    if (was === is || isNear(was, is)) continue;
    problems.push(`held:  ${was}\nshown: ${is}`);
  }
  return problems;
}

/**
 * @param {string} was
 * @param {string} is
 */
function isNear(was, is) {
  if (was.replace(numberPattern, '#') !== is.replace(numberPattern, '#')) return false;
  const [before, after] = [was, is].map((line) => line.match(numberPattern) ?? []);
  return (before ?? []).every((text, index) => {
    const decimals = /\.(\d+)$/.exec(text)?.[1]?.length ?? 0;
    const [a, b] = [text, after?.[index] ?? ''].map((number) => Number(number.replaceAll(',', '').replace('−', '-')));
    return Math.abs((a ?? Number.NaN) - (b ?? Number.NaN)) <= 1.01 * 10 ** -decimals;
  });
}

/** @returns {Record<string, string[]>} */
export function readGolden() {
  const file = path.join(root, goldenFile);
  return existsSync(file) ? JSON.parse(readFileSync(file, 'utf8')) : {};
}

/** @param {Record<string, readonly string[]>} golden */
export function writeGolden(golden) {
  writeFileSync(path.join(root, goldenFile), `${JSON.stringify(golden, null, 1)}\n`);
}
