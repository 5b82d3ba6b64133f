import { realpathSync, statSync } from 'node:fs';
import path from 'node:path';
import { PullproofError } from '@pullproof/core';

/**
 * Stops where an output is a file that the same run reads, by its place or by another name of it (a link, an upper-case name, a second hard link). Replacing
 * it is never what was meant, so `force` does not allow it.
 *
 * @param outputs and
 * @param inputs as written; `-` and what is not there are left aside
 * @param from folder that outputs start from
 * @param inputFrom folder that inputs start from
 * @throws E_OUTPUT_PATH
 */
export function spareInputs(
  outputs: readonly (string | undefined)[],
  inputs: readonly string[],
  from: string,
  inputFrom: string = from,
): void {
  const written = outputs
    .filter((shownPath) => shownPath !== undefined && shownPath !== '-')
    .map((shownPath) => ({ shownPath: shownPath!, file: fileOf(shownPath!, from) }))
    .filter(({ file }) => file !== null);
  if (written.length === 0) return;
  for (const input of inputs) {
    const read = input === '-' ? null : fileOf(input, inputFrom);
    if (read === null) continue;
    const same = written.find(
      ({ file }) => file!.place === read.place || (file!.inode !== 0n && file!.inode === read.inode && file!.device === read.device),
    );
    if (same === undefined) continue;
    throw new PullproofError(
      'E_OUTPUT_PATH',
      `This file is read by the same run (${input}), and would be lost; nothing was written.`,
      { path: same.shownPath },
      'Choose another name for the output; --force does not replace an input.',
    );
  }
}

/** A file by its real place and what the disk knows it by; null where there is none, which nothing can be lost of. */
function fileOf(shownPath: string, from: string): { readonly place: string; readonly inode: bigint; readonly device: bigint } | null {
  if (shownPath.includes('\0')) return null;
  const file = path.resolve(from, shownPath);
  try {
    const { ino, dev } = statSync(file, { bigint: true });
    return { place: realpathSync(file), inode: ino, device: dev };
  } catch (cause) {
    // What cannot be reached is told by name where it is read or written.
    if (typeof (cause as NodeJS.ErrnoException).code === 'string') return null;
    throw cause;
  }
}
