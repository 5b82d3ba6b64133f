import type { FieldPath } from './draft.js';

/** A field's place from its name as findings and errors write it: `setups[0].runs[1].air.pressure`. */
export function fieldPath(name: string): FieldPath {
  return name
    .split(/[.[\]]/)
    .filter((part) => part !== '')
    .map((part) => (/^\d+$/.test(part) ? Number(part) : part));
}

/** The name of a field, as findings and errors write it. */
export function fieldName(path: FieldPath): string {
  return path.map((key, i) => (typeof key === 'number' ? `[${key}]` : `${i === 0 ? '' : '.'}${key}`)).join('');
}
