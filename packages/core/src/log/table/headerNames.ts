import type { Finding, Place } from '../../findings/index.js';
import { shownName } from '../text/shownName.js';
import type { NameReader } from './layout.js';

/** Names for the columns, after what the header lost was found. */
export interface HeaderNames {
  readonly names: readonly string[];
  /** True where one name was taken apart into two: a units row then no longer fits by position. */
  readonly split: boolean;
  readonly findings: readonly Finding[];
}

/**
 * Names of a header that has one fewer than the rows have fields: where exactly one of them is two known names grown together, a separator was lost there.
 * Where the columns are named by position instead, a header of the wrong width is passed over.
 */
export function headerNames(names: readonly string[], rows: readonly (readonly string[])[], reader: NameReader, where: Place): HeaderNames {
  const usual = usualWidth(rows) ?? names.length;
  const present = names.filter((name) => name.trim() !== '').length;
  if (usual !== names.length && usual !== present && reader.byPosition) {
    return { names: Array.from({ length: usual }, () => ''), split: false, findings: [] };
  }
  if (usual !== names.length + 1 || present !== names.length) return { names, split: false, findings: [] };
  const found = names.flatMap((name, at) => partings(name, reader).map((parts) => ({ at, parts })));
  if (found.length !== 1) return { names, split: false, findings: [] };
  const [{ at, parts }] = found as [(typeof found)[number]];
  return {
    names: [...names.slice(0, at), ...parts, ...names.slice(at + 1)],
    split: true,
    findings: [
      {
        code: 'W_HEADER',
        severity: 'warning',
        message: `the header has ${names.length} names for ${usual} columns: "${shownName(names[at]!)}" was read as "${shownName(parts[0])}" and "${shownName(parts[1])}".`,
        where,
        fix: 'Check these two columns, or name them by position: --channel "Col 2=engine-speed rpm" (in a trial: channels).',
        count: 1,
      },
    ],
  };
}

/** Fields of most rows, less one at the end that is always blank. */
function usualWidth(rows: readonly (readonly string[])[]): number | null {
  const widths = new Map<number, number>();
  for (const { length } of rows) widths.set(length, (widths.get(length) ?? 0) + 1);
  const [most] = [...widths].sort((a, b) => b[1] - a[1]);
  if (most === undefined) return null;
  const [usual] = most;
  return rows.some((cells) => cells.length === usual && cells[usual - 1]!.trim() !== '') ? usual : usual - 1;
}

/** Longest name that is looked at. */
const longestName = 200;

/** The ways in which a name falls into two known ones of different meaning, at a place where words may have grown together. */
function partings(name: string, { quantityOf }: NameReader): (readonly [string, string])[] {
  if (name.length > longestName) return [];
  const found: (readonly [string, string])[] = [];
  for (const { index } of name.matchAll(/(?<=[)\]}])(?=\s*\p{L})|(?<=\p{Ll})(?=\p{Lu})|(?<=\S)(?=\s)/gu)) {
    const parts = [name.slice(0, index).trim(), name.slice(index).trim()] as const;
    const [a, b] = [quantityOf(parts[0]), quantityOf(parts[1])];
    const apart = /^\S/.test(name.slice(index)) || parts.every((part) => /\S\s+\S/.test(part));
    if (parts[0] !== '' && a !== null && b !== null && a !== b && apart) found.push(parts);
  }
  // Where a unit in brackets ends, a name ends: that place is surer than one between two words.
  const bracketed = found.filter(([first]) => /[)\]}]$/.test(first));
  return bracketed.length > 0 ? bracketed : found;
}
