import { clear, get, set } from 'idb-keyval';
import type { Draft } from '../worker/messages.js';

/** What is kept in this browser from one visit to the next: the trial, and the logs as long as they are not too large. */
export interface Kept {
  readonly draft: Draft;
  readonly files: readonly { readonly name: string; readonly file: Blob }[];
}

const key = 'draft';
const mostBytes = 100 << 20;

/** A browser may refuse to keep anything (private windows, pages from a disk): then nothing is kept, and the page works all the same. */
async function orNothing<T>(work: () => Promise<T>): Promise<T | undefined> {
  try {
    return await work();
  } catch {
    return undefined;
  }
}

export async function keep({ draft, files }: Kept): Promise<boolean> {
  const bytes = files.reduce((sum, { file }) => sum + file.size, 0);
  const kept = await orNothing(async () => {
    await set(key, { draft, files: bytes <= mostBytes ? files : [] });
    return true;
  });
  return kept === true;
}

export const kept = (): Promise<Kept | undefined> => orNothing(async () => await get<Kept>(key));

export const wipe = (): Promise<undefined> => orNothing(async () => void (await clear())) as Promise<undefined>;
