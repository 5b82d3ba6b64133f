import { existsSync } from 'node:fs';
import path from 'node:path';
import { PullproofError } from '@pullproof/core';
import { readInput, readText } from '../files/readInput.js';
import type { Io } from '../io.js';

/**
 * The logs that were named, patterns such as `logs/**\/*.csv` replaced by the files they fit, in the order of their names. A file that was met before is not
 * met again by a pattern; hidden files and what symbolic links lead to are not looked through.
 *
 * @throws E_INPUT for a pattern that no file fits
 */
export async function findLogs(named: readonly string[], from: string): Promise<string[]> {
  const found: string[] = [];
  const met = new Set<string>();
  for (const name of named) {
    const files = isPattern(name, from) ? (await fitting(name, from)).filter((file) => !met.has(path.resolve(from, file))) : [name];
    for (const file of files) {
      met.add(path.resolve(from, file));
      found.push(file);
    }
  }
  return found;
}

function isPattern(name: string, from: string): boolean {
  return /[*?[{]/.test(name) && !name.includes('\0') && !existsSync(path.resolve(from, name));
}

async function fitting(pattern: string, from: string): Promise<string[]> {
  const { glob } = await import('tinyglobby');
  const files = await glob(path.sep === '\\' ? pattern.replaceAll('\\', '/') : pattern, {
    cwd: from,
    absolute: path.isAbsolute(pattern),
    expandDirectories: false,
    followSymbolicLinks: false,
  });
  if (files.length === 0)
    throw new PullproofError('E_INPUT', 'No file fits this pattern.', { path: pattern }, 'Check the path; ** stands for any folders.');
  return files.sort();
}

const listLimitBytes = 1 << 30;

/**
 * The logs that a list names, one a line; empty lines are left out.
 *
 * @throws E_INPUT, E_NOT_REGULAR as `readInput`
 */
export function namedIn(list: string, io: Pick<Io, 'cwd' | 'stdin'>): string[] {
  return readText(readInput(list, io.cwd, io), list, listLimitBytes)
    .split(/\r?\n|\0/)
    .filter((line) => line.trim() !== '');
}
