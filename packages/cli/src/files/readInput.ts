import { createHash } from 'node:crypto';
import { closeSync, constants, fstatSync, openSync, readSync, type Stats, statSync } from 'node:fs';
import path from 'node:path';
import { type Finding, PullproofError, utf8Text } from '@pullproof/core';
import type { Io } from '../io.js';

const chunkBytes = 1 << 20;

/** A file, or standard input, as chunks that can be read once, with what is known about it afterwards. */
export interface Input {
  readonly chunks: Iterable<Uint8Array>;
  /** Length on disk when it was opened; not known of standard input. */
  readonly sizeBytes?: number;
  /** SHA-256 of the bytes that were read, in hexadecimal. */
  readonly sha256: () => string;
  /** W_GREW when the file changed while it was read. */
  readonly findings: () => readonly Finding[];
}

/** What is told while a file is read: how much of it. */
export type OnRead = (shownPath: string, readBytes: number, totalBytes: number | null) => void;

/**
 * Opens an input: a regular file, or standard input as `-`. Pipes, devices and folders are refused by name.
 *
 * @param shownPath as the user wrote it; relative ones start at `from`
 * @param from folder that a relative path starts at
 * @param io standard input
 * @param onRead told after each chunk
 * @throws E_INPUT when it is missing, a folder, or not permitted; E_NOT_REGULAR for a pipe or device
 */
export function readInput(shownPath: string, from: string, io: Pick<Io, 'stdin'>, onRead: OnRead = () => {}): Input {
  const hash = createHash('sha256');
  const findings: Finding[] = [];
  const counted = function* (chunks: Iterable<Uint8Array>, totalBytes: number | null): Generator<Uint8Array> {
    let readBytes = 0;
    for (const chunk of chunks) {
      hash.update(chunk);
      readBytes += chunk.length;
      onRead(shownPath, readBytes, totalBytes);
      yield chunk;
    }
  };
  const sha256 = () => hash.copy().digest('hex');
  if (shownPath === '-') return { chunks: counted(io.stdin(), null), sha256, findings: () => findings };
  const file = path.resolve(from, shownPath);
  const before = regularFile(file, shownPath, () => statSync(file));
  return { chunks: counted(fileChunks(file, shownPath, findings), before.size), sizeBytes: before.size, sha256, findings: () => findings };
}

/** All of an input as UTF-8 text, for files that people write. */
export function readText(input: Input, shownPath: string, limitBytes: number): string {
  const parts: Uint8Array[] = [];
  let length = 0;
  for (const chunk of input.chunks) {
    parts.push(chunk);
    length += chunk.length;
    if (length > limitBytes) {
      throw new PullproofError(
        'E_TOO_LARGE',
        `The file is larger than ${limitBytes} bytes.`,
        { path: shownPath },
        'Name the trial file here; logs are named in it.',
      );
    }
  }
  return utf8Text(parts, shownPath);
}

function* fileChunks(file: string, shownPath: string, findings: Finding[]): Generator<Uint8Array> {
  // Without O_NONBLOCK, opening a pipe put in the file's place would wait for ever.
  const descriptor = attempt(shownPath, () => openSync(file, constants.O_RDONLY | (constants.O_NONBLOCK ?? 0)));
  try {
    const before = regularFile(file, shownPath, () => fstatSync(descriptor));
    let readBytes = 0;
    for (;;) {
      const chunk = new Uint8Array(chunkBytes);
      const count = attempt(shownPath, () => readSync(descriptor, chunk, 0, chunkBytes, null));
      if (count === 0) break;
      readBytes += count;
      yield chunk.subarray(0, count);
    }
    const after = fstatSync(descriptor);
    if (readBytes !== before.size || after.size !== before.size || after.mtimeMs !== before.mtimeMs)
      findings.push(grew(shownPath, before.size, readBytes));
  } finally {
    closeSync(descriptor);
  }
}

function regularFile(file: string, shownPath: string, stat: () => Stats): Stats {
  if (file.includes('\0'))
    throw new PullproofError('E_INPUT', 'A file name cannot hold a NUL character.', { path: shownPath }, 'Correct the name.');
  const stats = attempt(shownPath, stat);
  if (stats.isDirectory())
    throw new PullproofError('E_INPUT', 'This is a folder.', { path: shownPath }, 'Name a file in it, or all of them: "folder/*.csv".');
  if (!stats.isFile()) {
    throw new PullproofError(
      'E_NOT_REGULAR',
      'This is a pipe or a device, not a file.',
      { path: shownPath },
      'Pass its bytes by standard input and write - for its name.',
    );
  }
  return stats;
}

const reasons: Readonly<Record<string, readonly [string, string]>> = {
  ENOENT: ['There is no such file.', 'Check the path.'],
  ENOTDIR: ['There is no such file.', 'Check the path; a part of it is not a folder.'],
  EACCES: ['Reading it is not permitted.', 'Change its permissions.'],
  EPERM: ['Reading it is not permitted.', 'Change its permissions.'],
  ELOOP: ['Its symbolic links lead in a circle.', 'Name the file itself.'],
};

function attempt<T>(shownPath: string, act: () => T): T {
  try {
    return act();
  } catch (cause) {
    const code = (cause as NodeJS.ErrnoException).code ?? 'unknown';
    const [what, fix] = reasons[code] ?? [`It cannot be read (${code}).`, 'Check the file and its disk.'];
    throw new PullproofError('E_INPUT', what, { path: shownPath }, fix);
  }
}

function grew(shownPath: string, sizeBefore: number, readBytes: number): Finding {
  return {
    code: 'W_GREW',
    severity: 'warning',
    message: `The file changed while it was read: ${sizeBefore} bytes at first, ${readBytes} read. The result and the hash are of the bytes read.`,
    where: { path: shownPath },
    fix: 'Run again when the logger has closed the file.',
  };
}
