import { randomUUID } from 'node:crypto';
import { closeSync, fsyncSync, lstatSync, mkdirSync, openSync, readSync, renameSync, rmSync, type Stats, writeFileSync } from 'node:fs';
import path from 'node:path';
import { PullproofError } from '@pullproof/core';

/** What is written: our JSON, our report, or a measured error table. */
export type OutputKind = 'json' | 'report' | 'csv';

export interface OutputOptions {
  /** Replace a file even when it is not one that Pullproof wrote. */
  readonly force: boolean;
}

const beginningOfJson = /^\{\s*"schema":\s*"pullproof\//;
/** First field of a measured error table. */
const beginningOfCsv = /^table,setup,"?(?:manifold pressure, absolute|air flow|injector duty) from/;
/** Last line of a report; tells a later run that the file may be replaced. */
const endOfReport = '<!-- written by pullproof -->\n';

/**
 * Looks whether an output may be written there, before any work is done. An existing file may be replaced only when it is one that Pullproof wrote, or with `force`.
 *
 * @throws E_OUTPUT_PATH for a name that cannot be a file, a folder, a device or a symbolic link; E_WRITE for a file that is not ours
 */
export function checkOutput(shownPath: string, from: string, kind: OutputKind, options: OutputOptions): string {
  refuseName(shownPath);
  const file = path.resolve(from, shownPath);
  const stats = lstatOrNull(file, shownPath);
  if (stats === null) return file;
  if (stats.isSymbolicLink())
    refuse(shownPath, 'This is a symbolic link, and what it leads to would be overwritten.', 'Name the file itself.');
  if (!stats.isFile())
    refuse(
      shownPath,
      stats.isDirectory() ? 'This is a folder.' : 'This is a device or a pipe.',
      'Name a file; - stands for standard output of JSON.',
    );
  if (!options.force && stats.size > 0 && !isOurs(file, shownPath, kind, stats.size)) {
    throw new PullproofError(
      'E_WRITE',
      'The file exists and was not written by Pullproof.',
      { path: shownPath },
      'Choose another name, or replace it with --force.',
    );
  }
  return file;
}

/**
 * Writes a whole file or nothing: to a temporary file in the same folder, then one rename. Folders on the way are made.
 *
 * @throws E_OUTPUT_PATH and E_WRITE as {@link checkOutput}; E_WRITE when the disk refuses
 */
export function writeOutput(shownPath: string, text: string, from: string, kind: OutputKind, options: OutputOptions): void {
  const file = checkOutput(shownPath, from, kind, options);
  const temporary = path.join(path.dirname(file), `.${path.basename(file)}.${randomUUID()}.tmp`);
  try {
    mkdirSync(path.dirname(file), { recursive: true });
    const descriptor = openSync(temporary, 'wx', 0o666);
    try {
      writeFileSync(descriptor, kind === 'report' ? `${text.replace(/\n*$/, '\n')}${endOfReport}` : text);
      fsyncSync(descriptor);
    } finally {
      closeSync(descriptor);
    }
    renameSync(temporary, file);
  } catch (cause) {
    rmSync(temporary, { force: true });
    throw notWritable(cause, shownPath);
  }
}

/** Names that a file cannot have, or that mean a device on some systems wherever they stand. */
function refuseName(shownPath: string): void {
  if (shownPath.trim() === '') refuse(shownPath, 'The name is empty.', 'Name a file.');
  if (shownPath.includes('\0')) refuse(shownPath, 'A file name cannot hold a NUL character.', 'Take it out.');
  if (/[/\\]$/.test(shownPath)) refuse(shownPath, 'This names a folder.', 'Add the name of a file.');
  for (const part of shownPath.split(/[/\\]/)) {
    if (/^(?:con|prn|aux|nul|com[0-9¹²³]|lpt[0-9¹²³]|conin\$|conout\$)(?:[ .].*)?$/i.test(part)) {
      refuse(shownPath, `${part} is the name of a device on some systems.`, 'Choose another name.');
    }
  }
}

function isOurs(file: string, shownPath: string, kind: OutputKind, size: number): boolean {
  const length = Math.min(size, 256);
  const bytes = Buffer.alloc(length);
  try {
    const descriptor = openSync(file, 'r');
    try {
      readSync(descriptor, bytes, 0, length, kind === 'report' ? size - length : 0);
    } finally {
      closeSync(descriptor);
    }
  } catch (cause) {
    throw notWritable(cause, shownPath);
  }
  const text = bytes.toString('utf8');
  if (kind === 'report') return text.endsWith(endOfReport);
  return (kind === 'json' ? beginningOfJson : beginningOfCsv).test(text);
}

function lstatOrNull(file: string, shownPath: string): Stats | null {
  try {
    return lstatSync(file);
  } catch (cause) {
    if ((cause as NodeJS.ErrnoException).code === 'ENOENT') return null;
    throw notWritable(cause, shownPath);
  }
}

function notWritable(cause: unknown, shownPath: string): PullproofError {
  const code = (cause as NodeJS.ErrnoException).code ?? 'unknown';
  const what = code === 'ENOSPC' ? 'The disk is full; nothing was written.' : `It cannot be written (${code}); nothing was.`;
  return new PullproofError(
    'E_WRITE',
    what,
    { path: shownPath },
    'Check the folder, its permissions and the disk, or choose another place.',
  );
}

function refuse(shownPath: string, what: string, fix: string): never {
  throw new PullproofError('E_OUTPUT_PATH', what, { path: shownPath }, fix);
}
