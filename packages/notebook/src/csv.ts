import { randomUUID } from 'node:crypto';
import { closeSync, existsSync, lstatSync, mkdirSync, openSync, readSync, renameSync, rmSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import { csvText, PullproofError } from '@pullproof/core';
import { type Cell, type ColumnTable, columnTable, type TableData } from './cell.js';
import { type Frame, isFrame, tableOfFrame } from './frame.js';

/**
 * A table as comma-separated text.
 *
 * Numbers keep every digit and a full stop; what is missing or not finite is empty; text that a spreadsheet would take for a formula is led by an apostrophe.
 *
 * @param data a frame, rows by name, or columns and rows apart
 * @returns text with CRLF line ends and one header row
 *
 * Source: RFC 4180 for quoting and line ends.
 */
export function toCsv(data: Frame | TableData): string {
  const { columns, rows } = plainTable(data);
  return [columns, ...rows.map((row) => columns.map((_, at) => row[at]))].map(line).join('');
}

/**
 * Writes a table as a CSV file, whole or not at all. Folders on the way are made. A file that is there is replaced only when it holds a table with the same columns.
 *
 * @param data as for {@link toCsv}
 * @param file path, from the folder of the notebook
 * @returns how many rows were written
 * @throws E_OUTPUT_PATH for a name that does not end in .csv, and for what is there and no such table; E_WRITE when the disk refuses
 */
export function saveCsv(data: Frame | TableData, file: string): number {
  const { columns, rows } = plainTable(data);
  const target = path.resolve(file);
  if (!/\.csv$/i.test(file) || file.includes('\0'))
    throw new PullproofError('E_OUTPUT_PATH', 'The name of a table must end in .csv.', { path: file }, 'Name it so.');
  refuseOther(target, line(columns), file);
  const temporary = path.join(path.dirname(target), `.${randomUUID()}.tmp`);
  try {
    mkdirSync(path.dirname(target), { recursive: true });
    writeFileSync(temporary, toCsv(data), { flag: 'wx' });
    renameSync(temporary, target);
  } catch (cause) {
    rmSync(temporary, { force: true });
    const code = (cause as NodeJS.ErrnoException).code ?? 'unknown';
    throw new PullproofError('E_WRITE', `It cannot be written (${code}); nothing was.`, { path: file }, 'Check the folder and the disk.');
  }
  return rows.length;
}

function plainTable(data: Frame | TableData): ColumnTable {
  return isFrame(data) ? tableOfFrame(data) : columnTable(data);
}

/** A log that bears the name by mistake must not be lost. */
function refuseOther(target: string, header: string, shownPath: string): void {
  if (!existsSync(target)) return;
  if (lstatSync(target).isFile()) {
    const begin = Buffer.alloc(Buffer.byteLength(header));
    const descriptor = openSync(target, 'r');
    try {
      readSync(descriptor, begin, 0, begin.length, 0);
    } finally {
      closeSync(descriptor);
    }
    if (begin.toString('utf8') === header) return;
  }
  throw new PullproofError(
    'E_OUTPUT_PATH',
    'There is something by this name that is no table with these columns.',
    { path: shownPath },
    'Choose another name, or take it away.',
  );
}

function line(cells: readonly Cell[]): string {
  return `${cells.map(field).join(',')}\r\n`;
}

function field(cell: Cell): string {
  if (typeof cell === 'number') return Number.isFinite(cell) ? String(cell) : '';
  if (cell === null || cell === undefined) return '';
  return csvText(String(cell));
}
