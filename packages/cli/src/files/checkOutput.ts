import { closeSync, lstatSync, openSync, readSync, realpathSync, type Stats } from 'node:fs';
import path from 'node:path';
import { PullproofError } from '@pullproof/core';

/** What is written: our JSON, our report, a table as CSV or as Parquet, or a trial file, which its owner may have written in. */
export type OutputKind = 'json' | 'report' | 'csv' | 'parquet' | 'trial';

export interface OutputOptions {
  /** Replace a file even when it is not one that Pullproof wrote. */
  readonly force: boolean;
  /** Let it lie outside the folder that names start from. */
  readonly anywhere: boolean;
}

const beginningOfJson = /^\{\s*"schema":\s*"pullproof\//;
/** First fields of a measured error table, and of a summary of logs. */
const beginningOfCsv = /^(?:table,setup,"?(?:manifold pressure, absolute|air flow|injector duty) from|log,state,problem,rows,)/;
/** Who wrote a Parquet file, as its footer says. */
export const parquetWriter: string = 'pullproof';
/** Last line of a report; tells a later run that the file may be replaced. */
export const endOfReport: string = '<!-- written by pullproof -->\n';

/**
 * Looks whether an output may be written there, before any work is done. It stays below the folder that names start from, unless `anywhere`; an existing
 * file may be replaced only when it is one that Pullproof wrote, or with `force`.
 *
 * @throws E_OUTPUT_PATH for a name that cannot be a file, a place outside, a folder, a device or a symbolic link; E_WRITE for a file that is not ours
 */
export function checkOutput(shownPath: string, from: string, kind: OutputKind, options: OutputOptions): string {
  refuseName(shownPath);
  const file = path.resolve(from, shownPath);
  if (!options.anywhere) refuseOutside(file, shownPath, from);
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
 * Looks whether files may be written into a folder, before any work is done.
 *
 * @throws E_OUTPUT_PATH for a name that cannot be a folder, a place outside, a file, or a symbolic link
 */
export function checkOutputFolder(shownPath: string, from: string, options: Pick<OutputOptions, 'anywhere'>): string {
  refuseName(shownPath.replace(/[/\\]+$/, ''));
  const folder = path.resolve(from, shownPath);
  if (!options.anywhere) refuseOutside(folder, shownPath, from);
  const stats = lstatOrNull(folder, shownPath);
  if (stats?.isSymbolicLink())
    refuse(shownPath, 'This is a symbolic link, and files would go where it leads to.', 'Name the folder itself.');
  if (stats !== null && !stats.isDirectory()) refuse(shownPath, 'This is no folder.', 'Name a folder; it is made where it is missing.');
  return folder;
}

/** Names that a file cannot have, or that mean a device on some systems wherever they stand. */
function refuseName(shownPath: string): void {
  if (shownPath.trim() === '') refuse(shownPath, 'The name is empty.', 'Name a file.');
  if (shownPath === '-')
    refuse(shownPath, 'Only JSON goes to standard output.', 'Name a file, or ask for --json -; a file of that name is written ./- here.');
  if (shownPath.includes('\0')) refuse(shownPath, 'A file name cannot hold a NUL character.', 'Take it out.');
  if (/[/\\]$/.test(shownPath)) refuse(shownPath, 'This names a folder.', 'Add the name of a file.');
  for (const part of shownPath.split(/[/\\]/)) {
    if (/^(?:con|prn|aux|nul|com[0-9¹²³]|lpt[0-9¹²³]|conin\$|conout\$)(?:[ .].*)?$/i.test(part)) {
      refuse(shownPath, `${part} is the name of a device on some systems.`, 'Choose another name.');
    }
  }
}

/** Stops at a place outside a folder, by its name or by a link on the way there. */
function refuseOutside(place: string, shownPath: string, folder: string): void {
  const fix = 'Go to the folder where it is to lie, or allow this with --anywhere.';
  if (isOutside(place, folder)) refuse(shownPath, 'This lies outside the folder you are in.', fix);
  let existing = path.dirname(place);
  while (!isOutside(existing, folder) && lstatOrNull(existing, shownPath) === null) existing = path.dirname(existing);
  if (isOutside(realPath(existing, shownPath), realPath(folder, shownPath)))
    refuse(shownPath, 'A link on the way leads outside the folder you are in.', fix);
}

function isOutside(place: string, folder: string): boolean {
  const way = path.relative(folder, place);
  return way === '..' || way.startsWith(`..${path.sep}`) || path.isAbsolute(way);
}

function realPath(place: string, shownPath: string): string {
  try {
    return realpathSync(place);
  } catch (cause) {
    throw notWritable(cause, shownPath);
  }
}

function isOurs(file: string, shownPath: string, kind: OutputKind, size: number): boolean {
  if (kind === 'trial') return false;
  const atEnd = kind === 'report' || kind === 'parquet';
  const length = Math.min(size, kind === 'parquet' ? 1 << 20 : 256);
  const bytes = Buffer.alloc(length);
  try {
    const descriptor = openSync(file, 'r');
    try {
      readSync(descriptor, bytes, 0, length, atEnd ? size - length : 0);
    } finally {
      closeSync(descriptor);
    }
  } catch (cause) {
    throw notWritable(cause, shownPath);
  }
  if (kind === 'parquet') return bytes.subarray(-4).toString('latin1') === 'PAR1' && footerOf(bytes).includes(`${parquetWriter} `);
  const text = bytes.toString('utf8');
  if (kind === 'report') return text.endsWith(endOfReport);
  return (kind === 'json' ? beginningOfJson : beginningOfCsv).test(text);
}

/** The footer of a Parquet file, whose length stands before the last four bytes. */
function footerOf(end: Buffer): string {
  if (end.length < 12) return '';
  const length = end.readUInt32LE(end.length - 8);
  return end.subarray(Math.max(0, end.length - 8 - length), -8).toString('latin1');
}

function lstatOrNull(file: string, shownPath: string): Stats | null {
  try {
    return lstatSync(file);
  } catch (cause) {
    if ((cause as NodeJS.ErrnoException).code === 'ENOENT') return null;
    throw notWritable(cause, shownPath);
  }
}

/** What a disk refused, as E_WRITE. */
export function notWritable(cause: unknown, shownPath: string): PullproofError {
  if (cause instanceof PullproofError) return cause;
  const code = (cause as NodeJS.ErrnoException).code;
  if (code === undefined) throw cause;
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
