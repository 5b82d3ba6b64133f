import { randomUUID } from 'node:crypto';
import path from 'node:path';
import { type Channel, type Log, version } from '@pullproof/core';
import { type ColumnSource, parquetWriteBuffer } from 'hyparquet-writer';
import { type OutputOptions, parquetWriter } from '../files/checkOutput.js';
import { OutputFile } from '../files/outputFile.js';
import { columnNames, siUnitOf } from './columnName.js';
import { channelsFile, channelsFolder, ownName } from './layout.js';

const schema = 'pullproof/channels@1';

/**
 * Writes the channels of a log as one Parquet file: a column a channel in SI, null where nothing was read; beside a channel that the logger only holds in
 * some rows a column that says which rows are new. The file's metadata says of each column what it is, its unit as logged, and how that is known.
 *
 * @param sha256 of the log; it names the file and ties its rows to their line in the summary
 * @throws E_WRITE
 */
export function writeChannels(
  log: Log,
  sha256: string,
  from: string,
  options: OutputOptions & { readonly folder: string; readonly tag: string },
): void {
  const names = columnNames(log.channels);
  const rows = { name: 'row', type: 'INT32', nullable: false, data: Int32Array.from(log.rowNumbers) } as const;
  const source = { name: 'log_sha256', type: 'STRING', nullable: false, data: Array.from({ length: log.rows }, () => sha256) } as const;
  const columnData: ColumnSource[] = [source, rows];
  for (const [i, channel] of log.channels.entries()) {
    columnData.push(valueColumn(names[i]!, channel));
    if (isHeld(channel))
      columnData.push({ name: `${names[i]!}_new`, type: 'BOOLEAN', nullable: false, data: Array.from(channel.fresh, (one) => one === 1) });
  }
  const about = {
    schema,
    log: ownName(log.path),
    sha256,
    rowsDropped: log.rowsDropped,
    time: log.timeEvidence,
    channels: log.channels.map((channel, i) => aboutChannel(names[i]!, channel)),
    findings: log.findings.map(({ code, severity, message }) => ({ code, severity, message })),
  };
  const bytes = parquetWriteBuffer({
    columnData,
    rowGroupSize: 100_000,
    createdBy: `${parquetWriter} ${version}`,
    kvMetadata: [{ key: 'pullproof', value: JSON.stringify(about) }],
  });
  // Two workers may hold copies of one log.
  const tag = `${randomUUID()}.${options.tag}`;
  const file = new OutputFile(path.join(options.folder, channelsFolder, channelsFile(log.path, sha256)), from, 'parquet', options, tag);
  file.write(new Uint8Array(bytes));
  file.finish();
}

/** Numbers as they are; null where there is none. */
function valueColumn(name: string, { values, missing }: Channel): ColumnSource {
  if (missing === 0) return { name, type: 'DOUBLE', nullable: false, data: values };
  return { name, type: 'DOUBLE', nullable: true, data: Array.from(values, (value) => (Number.isNaN(value) ? null : value)) };
}

/** True where a row with a number may be a repeated reading. */
function isHeld({ fresh, values }: Channel): boolean {
  return fresh.some((one, i) => one === 0 && !Number.isNaN(values[i]!));
}

function aboutChannel(column: string, channel: Channel): object {
  const { name, quantity, unit, standing, evidence, reference, bank, position, freshBy, refreshS, quantum, missing } = channel;
  return {
    column,
    name,
    quantity,
    siUnit: siUnitOf(channel),
    unit,
    standing,
    evidence,
    reference,
    bank,
    position,
    freshBy,
    refreshS,
    quantum,
    missing,
  };
}
