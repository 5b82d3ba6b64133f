import {
  type Document,
  isAlias,
  isMap,
  isScalar,
  isSeq,
  LineCounter,
  type Node,
  type Pair,
  parseDocument,
  type Scalar,
  visit,
  type YAMLMap,
} from 'yaml';
import { PullproofError } from '../../findings/index.js';
import { onceForEach } from '../../log/index.js';
import { shown } from './fields.js';

/** Keys and list positions from the top of the file down to a field. */
export type FieldPath = readonly (string | number)[];

/** A trial file's YAML, with the way back from a field to its line. */
export interface TrialDocument {
  readonly path: string;
  readonly value: unknown;
  /** Line of a field, or of the nearest thing above it that is in the file. */
  readonly lineOf: (at: FieldPath, atKey: boolean) => number | null;
  /** Fields whose text holds a mark, in the order of the file. */
  readonly textsHolding: (mark: string) => FieldPath[];
}

/** Values under these keys are names: they are kept as typed even when they look like numbers (`1.10`). */
const nameKeys: ReadonlySet<string> = new Set([
  'title',
  'name',
  'log',
  'outing',
  'direction',
  'calibration',
  'setup',
  'when',
  'size',
  'class',
  'where',
]);

/** Reads YAML text, keeping positions. */
export function trialDocument(text: string, path: string): TrialDocument {
  if (text.trim() === '')
    throw new PullproofError('E_TRIAL_EMPTY', 'The trial file is empty.', { path }, 'Make one with: pullproof new LOG… > trial.yaml.');
  const lines = new LineCounter();
  // The library compares each key with all before it; refuseKeys does it in one go.
  const document = parseDocument(text, { lineCounter: lines, prettyErrors: false, version: '1.2', uniqueKeys: false });
  const broken = document.errors[0] ?? document.warnings[0];
  if (broken !== undefined) {
    const what = `The file is not readable as YAML: ${broken.message.replace(/\.?$/, '.')}`;
    const { line } = lines.linePos(broken.pos[0]);
    const escaped = /"[^"]*\\/.test(text.split('\n')[line - 1] ?? '');
    throw new PullproofError(
      'E_TRIAL_SYNTAX',
      what,
      { path, line },
      escaped ? backslashFix : 'Check the indentation and the colons of that line.',
    );
  }
  refuseKeys(document, lines, path);
  keepNames(document, lines, path);
  return {
    path,
    value: plainValue(document, path),
    lineOf: (at, atKey) => lineOf(document, lines, at, atKey),
    textsHolding: (mark) => textsHolding(document, mark),
  };
}

/** A trial that is data and no text: its fields stand in no line. */
export function dataDocument(value: object, path: string): TrialDocument {
  const holding = (inside: unknown, at: FieldPath, mark: string): FieldPath[] => {
    if (typeof inside === 'string') return inside.includes(mark) ? [at] : [];
    if (typeof inside !== 'object' || inside === null) return [];
    return Object.entries(inside).flatMap(([key, one]) => holding(one, [...at, Array.isArray(inside) ? Number(key) : key], mark));
  };
  return { path, value, lineOf: () => null, textsHolding: (mark) => holding(value, [], mark) };
}

/** A field's path as people read it: `setups[0].runs[1].air.pressure`. */
export function fieldName(at: FieldPath): string {
  return at.map((key, i) => (typeof key === 'number' ? `[${key}]` : `${i === 0 ? '' : '.'}${key}`)).join('');
}

function plainValue(document: Document.Parsed, path: string): unknown {
  try {
    const value: unknown = document.toJS({ maxAliasCount: 100 });
    if (typeof value === 'object' && value !== null && !Array.isArray(value)) return value;
  } catch (cause) {
    throw new PullproofError(
      'E_TRIAL_SYNTAX',
      `The file cannot be read: ${(cause as Error).message}.`,
      { path },
      'Write values out instead of referring to others.',
    );
  }
  throw new PullproofError('E_TRIAL_SYNTAX', 'The file is not a group of keys.', { path }, 'Begin it with trial: 1, car: and setups:.');
}

/** A group or a list cannot be a key, and no key stands twice. */
function refuseKeys(document: Document.Parsed, lines: LineCounter, path: string): void {
  const refuse = (key: Node | null | undefined, what: string, fix: string): never => {
    throw new PullproofError('E_TRIAL_SYNTAX', what, { path, line: lines.linePos(key?.range?.[0] ?? 0).line }, fix);
  };
  const wordOf = (node: unknown): string => {
    const key = isAlias(node) ? node.resolve(document) : (node as Node | null | undefined);
    // A scalar may be more than a word too: !!binary makes a list of bytes of it.
    const isWord = key === null || key === undefined || (isScalar(key) && (typeof key.value !== 'object' || key.value === null));
    return isWord
      ? String(key?.value ?? '')
      : refuse(key, 'A group or a list stands where a key should.', 'Write a word, a colon and a blank.');
  };
  visit(document, {
    Map(_, { items }) {
      const seen = new Set<string>();
      for (const { key } of items) {
        const word = wordOf(key);
        if (seen.has(word)) refuse(key as Node, `The key ${shown(word)} stands twice.`, 'Take one of them out.');
        seen.add(word);
      }
    },
  });
}

const backslashFix =
  "In double quotes a backslash changes the character after it. Write the path in single quotes, 'C:\\logs\\a.csv', or with slashes: C:/logs/a.csv.";

/** A path in double quotes whose backslashes were taken for the beginning of a tab or a line end. */
function refuseEscapes(word: string, value: Scalar, lines: LineCounter, path: string): void {
  if (value.type !== 'QUOTE_DOUBLE' || (word !== 'log' && word !== 'slips')) return;
  if (typeof value.value !== 'string' || !/\p{Cc}/u.test(value.value)) return;
  throw new PullproofError(
    'E_TRIAL_SYNTAX',
    `This path holds a character that no file name has: ${shown(value.value)}.`,
    { path, line: lines.linePos(value.range?.[0] ?? 0).line },
    backslashFix,
  );
}

function keepNames(document: Document.Parsed, lines: LineCounter, path: string): void {
  visit(document, {
    Pair(_, pair) {
      const key = isScalar(pair.key) ? String(pair.key.value) : '';
      const { value } = pair;
      if (isScalar(value)) refuseEscapes(key, value, lines, path);
      if (nameKeys.has(key) && isScalar(value) && typeof value.value !== 'string' && value.value !== null) value.value = value.source;
    },
  });
}

function lineOf(document: Document.Parsed, lines: LineCounter, at: FieldPath, atKey: boolean): number {
  let node: unknown = document.contents;
  let start = 0;
  for (const [depth, step] of at.entries()) {
    const pair = isMap(node) ? pairsOf(node).get(String(step)) : undefined;
    const inside = isSeq(node) ? (node.items[Number(step)] as Node | undefined) : pair?.value;
    const key = pair?.key?.range?.[0];
    const own = inside?.range?.[0];
    const here = (atKey && depth === at.length - 1) || own === undefined ? (key ?? own) : own;
    if (here === undefined) break;
    start = here;
    node = inside;
  }
  return lines.linePos(start).line;
}

/** Pairs of a group by their keys; a file may have thousands of fields to be placed. */
const pairsOf = onceForEach(
  (map: YAMLMap) =>
    new Map(map.items.flatMap((pair) => (isScalar(pair.key) ? [[String(pair.key.value), pair as Pair<Node, Node | null>]] : []))),
);

function textsHolding(document: Document.Parsed, mark: string): FieldPath[] {
  const found: FieldPath[] = [];
  const walk = (node: unknown, at: FieldPath): void => {
    if (isScalar(node)) {
      if (typeof node.value === 'string' && node.value.includes(mark)) found.push(at);
    } else if (isMap(node)) {
      for (const { key, value } of node.items) walk(value, [...at, isScalar(key) ? String(key.value) : '?']);
    } else if (isSeq(node)) {
      node.items.forEach((item, index) => {
        walk(item, [...at, index]);
      });
    }
  };
  walk(document.contents, []);
  return found;
}
