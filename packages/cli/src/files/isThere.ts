import { existsSync } from 'node:fs';
import path from 'node:path';

/** True where a path leads to something; standard input always does. */
export function isThere(shownPath: string, from: string): boolean {
  return shownPath === '-' || existsSync(path.resolve(from, shownPath));
}
