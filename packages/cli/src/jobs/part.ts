import { createHash } from 'node:crypto';
import { PullproofError } from '@pullproof/core';

/** One of several parts that a list of logs is cut into. */
export interface Part {
  readonly number: number;
  readonly of: number;
}

/** A list that is not cut. */
const wholeList: Part = { number: 1, of: 1 };

const mostParts = 100_000;

/** Reads `3/64`. @throws E_STATED */
export function partOf(written: string | undefined): Part {
  if (written === undefined) return wholeList;
  const [, number, of] = /^\s*(\d{1,6})\s*\/\s*(\d{1,6})\s*$/.exec(written)?.map(Number) ?? [];
  if (number !== undefined && of !== undefined && number >= 1 && number <= of && of <= mostParts) return { number, of };
  throw new PullproofError('E_STATED', `--part takes a part and how many there are, like 3/64, not "${written}".`, {}, 'Count from 1.');
}

/** The logs of a part: by the hash of the path as named, so that a log stays in its part whatever else is on the list. */
export function logsOfPart(paths: readonly string[], { number, of }: Part): readonly string[] {
  if (of === 1) return paths;
  return paths.filter((path) => {
    const hash = createHash('sha256').update(path.replaceAll('\\', '/')).digest();
    return Number(hash.readBigUInt64BE() % BigInt(of)) === number - 1;
  });
}

/** Name of what belongs to a part, the same length for all so that names sort. */
export function partName({ number, of }: Part): string {
  return `${String(number).padStart(String(of).length, '0')}-of-${of}`;
}
