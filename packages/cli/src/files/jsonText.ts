import { PullproofError } from '@pullproof/core';

/**
 * A result as JSON text: objects indented, lists of plain values on one line, the same bytes for the same value.
 *
 * @throws E_NOT_FINITE for NaN or Infinity, which JSON cannot hold and a result must not
 */
export function jsonText(value: unknown): string {
  return `${written(value, '', '')}\n`;
}

/** A part of such text, as it stands at an indentation. @throws E_NOT_FINITE */
export function jsonPart(value: unknown, indent: string): string {
  return written(value, indent, '');
}

function written(value: unknown, indent: string, at: string): string {
  if (typeof value === 'number' && !Number.isFinite(value)) {
    throw new PullproofError(
      'E_NOT_FINITE',
      `The result holds ${value} at ${at}.`,
      {},
      'This is a fault of Pullproof: please report it with the trial.',
    );
  }
  if (typeof value !== 'object' || value === null) return JSON.stringify(value);
  const inside = `${indent}  `;
  if (Array.isArray(value)) {
    if (value.length === 0) return '[]';
    const items = value.map((item, i) => written(item === undefined ? null : item, inside, `${at}[${i}]`));
    const plain = value.every((item) => typeof item !== 'object' || item === null);
    return plain ? `[${items.join(', ')}]` : `[\n${inside}${items.join(`,\n${inside}`)}\n${indent}]`;
  }
  const entries = Object.entries(value).filter(([, item]) => item !== undefined);
  if (entries.length === 0) return '{}';
  const lines = entries.map(([key, item]) => `${JSON.stringify(key)}: ${written(item, inside, `${at}.${key}`)}`);
  return `{\n${inside}${lines.join(`,\n${inside}`)}\n${indent}}`;
}
