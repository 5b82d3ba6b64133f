import { type Finding, type Place, PullproofError } from '../../findings/index.js';
import type { Channel, Log } from '../log.js';
import type { ReadOptions } from '../readOptions.js';
import { cellFindings, resolveColumn } from '../table/resolveColumn.js';
import type { HeadColumn } from '../table/settleTable.js';
import type { Table } from '../table/table.js';
import { rpmPerRow, settleLogAxis } from '../time/logAxis.js';
import { TimedRows } from '../time/timedRows.js';
import { findImplausibleTime } from '../time/timeUnit.js';
import { refuseAmbiguous } from './checks/ambiguous.js';
import { findImplausible } from './checks/plausible.js';
import { findStuck } from './checks/stuck.js';
import { findPolling } from './polling.js';
import { refreshSpread } from './refresh.js';
import { type ChannelSetting, timeChannel, valueChannel } from './valueChannel.js';

type Built = Pick<
  Log,
  'rows' | 'rowsDropped' | 'timeS' | 'rowNumbers' | 'parts' | 'channels' | 'findings' | 'timeEvidence' | 'timeTickS' | 'maxGapS'
>;

/** Turns the read columns into one time axis and channels in SI. */
export function buildChannels(table: Table, heads: readonly HeadColumn[], timeColumn: number, options: ReadOptions, where: Place): Built {
  const findings: Finding[] = [...cellFindings(table.columns, where)];
  const kept = new TimedRows(table, timeColumn, where, findings);
  const { rows } = kept;
  if (rows < 2) {
    throw new PullproofError(
      'E_TOO_FEW_SAMPLES',
      `${rows === 1 ? 'a single row' : 'no row'} of data cannot show a change.`,
      where,
      'Record a whole pull.',
    );
  }
  const rowNumbers = kept.take(table.takeRowNumbers());
  const changes = kept.take(table.takeChanges());
  const rpmStep = rpmPerRow(table, heads);
  const { axis, form, evidence } = settleLogAxis(
    kept,
    heads[timeColumn],
    rowNumbers,
    kept.positions(table.restarts),
    rpmStep,
    options,
    where,
  );
  findings.push(...axis.findings);
  const all = new Uint8Array(rows).fill(1);
  const setting: ChannelSetting = {
    axis,
    polling: findPolling(changes, table.width),
    changes,
    all,
    everyRow: refreshSpread(axis.timeS, all, axis.parts),
    gaugeStoich: options.gaugeStoich ?? 14.7,
    where,
  };
  const channels: Channel[] = [];
  for (const store of table.columns) {
    if (!store.kept) continue;
    const head = heads[store.column]!;
    if (store.column === timeColumn) {
      channels.push(timeChannel(head, store.column, form!, evidence, setting));
      continue;
    }
    const kinds = store.takeKinds(table.rows);
    const resolved = resolveColumn(store, store.takeValues(table.rows), kinds, where, findings);
    channels.push(valueChannel(head, store.column, { ...resolved, values: kept.take(resolved.values) }, setting, findings));
  }
  refuseAmbiguous(channels, where);
  findings.push(...findStuck(channels, axis.timeS, where), ...findImplausible(channels, rows, where));
  const oddTime = findImplausibleTime(axis, form, heads[timeColumn]?.name ?? '', rpmStep, where);
  if (oddTime !== null) findings.push(oddTime);
  return {
    rows,
    rowsDropped: table.dataRow - rows,
    timeS: axis.timeS,
    rowNumbers,
    parts: axis.parts,
    channels,
    findings,
    timeEvidence: evidence,
    timeTickS: axis.tickS,
    maxGapS: axis.maxGapS,
  };
}
