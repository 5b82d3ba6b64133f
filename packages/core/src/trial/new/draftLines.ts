import type { DraftGroup, DraftValue } from '../file/draft.js';
import { fillInMark } from '../file/fillInMark.js';

/** One field of a template: its key, what an owner would write, and a word about it. */
export interface TemplateField {
  readonly key: string;
  readonly example: string;
  readonly about?: string;
  /** True where it is asked for, false where it only waits as a comment. */
  readonly asked: boolean;
}

/**
 * A field as a line: with its value where there is one; else marked, or as a comment with an example.
 *
 * @param marks whether what is asked for and not known is marked
 */
export function fieldLine(
  indent: string,
  { key, example, about, asked }: TemplateField,
  value: DraftValue | undefined,
  marks: boolean,
): string {
  const words = about === undefined ? '' : `  # ${about}`;
  if (value !== undefined) return `${indent}${key}: ${flow(value)}`;
  if (asked && marks) return `${indent}${key}: ${fillInMark}  # such as ${example}${about === undefined ? '' : `; ${about}`}`;
  return `${indent}# ${key}: ${example}${words}`;
}

/** A group as lines, its head a comment where nothing below it is read. */
export function groupLines(
  indent: string,
  key: string,
  fields: readonly TemplateField[],
  group: DraftGroup | undefined,
  marks: boolean,
): string[] {
  const lines = fields.map((field) => fieldLine(`${indent}  `, field, group?.[field.key], marks));
  const rest = Object.entries(group ?? {}).filter(([own]) => !fields.some((field) => field.key === own));
  const all = [...lines, ...rest.map(([own, value]) => `${indent}  ${keyText(own)}: ${flow(value)}`)];
  const read = all.some((line) => !line.trimStart().startsWith('#'));
  if (read) return [`${indent}${key}:`, ...all];
  return [`${indent}# ${key}: { ${fields.map((field) => `${field.key}: ${field.example}`).join(', ')} }`];
}

/** A value as YAML on one line. */
export function flow(value: DraftValue): string {
  if (Array.isArray(value)) return `[${value.map(flow).join(', ')}]`;
  if (typeof value === 'object' && value !== null) {
    const fields = Object.entries(value).map(([key, inside]) => `${keyText(key)}: ${flow(inside)}`);
    return `{ ${fields.join(', ')} }`;
  }
  return typeof value === 'string' && !standsPlain(value) ? quoted(value) : String(value);
}

/** Whether YAML reads this text as itself: plain words and quantities, but nothing that could be a number, a yes or a nothing. */
function standsPlain(text: string): boolean {
  if (text !== text.trim() || !/^[\w+][\w+%./°^ -]*$/.test(text)) return false;
  return !/^(?:[-+]?[\d._]+(?:e[-+]?\d+)?|0x[\da-f]+|0o\d+|true|false|yes|no|on|off|null|y|n)$/i.test(text);
}

function keyText(key: string): string {
  return /^[\w-]+$/.test(key) ? key : quoted(key);
}

/** A text in double quotes that YAML reads back as it is, and that no editor or terminal acts on. */
export function quoted(text: string): string {
  return escapedInvisibles(JSON.stringify(text));
}

/** A text for a comment: one line, nothing invisible. */
export function inComment(text: string): string {
  return escapedInvisibles(text.length > 300 ? `${text.slice(0, 299)}…` : text);
}

function escapedInvisibles(text: string): string {
  return text.replaceAll(/[\p{Cc}\p{Cf}\u2028\u2029]/gu, escaped);
}

function escaped(character: string): string {
  const code = character.codePointAt(0)!;
  return code > 0xffff ? `\\U${code.toString(16).padStart(8, '0')}` : `\\u${code.toString(16).padStart(4, '0')}`;
}
