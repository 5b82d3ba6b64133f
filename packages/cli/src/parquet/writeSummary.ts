import { version } from '@pullproof/core';
import { type BasicType, type ColumnSource, parquetWriteBuffer } from 'hyparquet-writer';
import { type OutputOptions, parquetWriter } from '../files/checkOutput.js';
import { writeOutput } from '../files/writeOutput.js';
import type { LogSummary } from '../jobs/logSummary.js';

const columns: readonly (readonly [name: string, type: BasicType, key: keyof LogSummary])[] = [
  ['log_sha256', 'STRING', 'sha256'],
  ['log', 'STRING', 'log'],
  ['state', 'STRING', 'state'],
  ['problem', 'STRING', 'problem'],
  ['rows', 'INT32', 'rows'],
  ['rows_dropped', 'INT32', 'rowsDropped'],
  ['duration_s', 'DOUBLE', 'durationS'],
  ['channels', 'INT32', 'channels'],
  ['recognised', 'INT32', 'recognised'],
  ['pulls', 'INT32', 'pulls'],
  ['passes', 'INT32', 'passes'],
  ['idle_stretches', 'INT32', 'idles'],
  ['cruise_stretches', 'INT32', 'cruises'],
  ['coast_stretches', 'INT32', 'coasts'],
  ['pull_work', 'STRING', 'pullWork'],
  ['cruise_work', 'STRING', 'cruiseWork'],
  ['idle_work', 'STRING', 'idleWork'],
  ['warnings', 'INT32', 'warnings'],
  ['findings', 'STRING', 'findings'],
];

/** Writes one row a log as Parquet. @throws E_WRITE */
export function writeSummary(logs: readonly LogSummary[], shownPath: string, from: string, options: OutputOptions): void {
  const columnData: ColumnSource[] = columns.map(([name, type, key]) => ({
    name,
    type,
    nullable: true,
    data: logs.map((one) => one[key]),
  }));
  const bytes = parquetWriteBuffer({
    columnData,
    createdBy: `${parquetWriter} ${version}`,
    kvMetadata: [{ key: 'pullproof', value: JSON.stringify({ schema: 'pullproof/logs@1' }) }],
  });
  writeOutput(shownPath, new Uint8Array(bytes), from, 'parquet', options);
}
