import { type Finding, type Place, PullproofError } from '../../findings/index.js';
import type { Channel, Log } from '../log.js';
import type { ReadOptions } from '../readOptions.js';
import { cellFindings, resolveColumn } from '../table/resolveColumn.js';
import type { HeadColumn } from '../table/settleTable.js';
import type { Table } from '../table/table.js';
import { shownName } from '../text/shownName.js';
import { rpmPerRow, settleLogAxis } from '../time/logAxis.js';
import { middleStep } from '../time/timeColumn.js';
import { TimedRows } from '../time/timedRows.js';
import { findImplausibleTime } from '../time/timeUnit.js';
import { refuseAmbiguous } from './checks/ambiguous.js';
import { findImplausible } from './checks/plausible.js';
import { findStuck } from './checks/stuck.js';
import type { Column } from './column.js';
import { findRowHold } from './irregularHold.js';
import { settleByNeighbours } from './neighbours.js';
import { findPolling } from './polling.js';
import { refreshSpread } from './refresh.js';
import { type ChannelSetting, recogniseColumn, timeChannel, valueChannel, withSharedClocks } from './valueChannel.js';

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
    rowHold: findRowHold(changes, axis.parts),
    all,
    everyRow: refreshSpread(axis.timeS, all, axis.parts),
    gaugeStoich: options.gaugeStoich ?? 14.7,
    where,
  };
  const columns = table.columns.flatMap((store): Column[] => {
    if (!store.kept || store.column === timeColumn) return [];
    const kinds = store.takeKinds(table.rows);
    const resolved = resolveColumn(store, store.takeValues(table.rows), kinds, (index) => table.rowNumberOf(index), where, findings);
    const values = kept.take(resolved.values);
    const head = heads[store.column]!;
    return [
      {
        head,
        column: store.column,
        resolved: { ...resolved, values },
        ...recogniseColumn(head, { ...resolved, values }, setting.gaugeStoich),
      },
    ];
  });
  const recognitions = settleByNeighbours(columns, setting.gaugeStoich);
  const built = columns.map(({ head, column, resolved }, i) => valueChannel(head, column, resolved, recognitions[i]!, setting, findings));
  const channels = withSharedClocks(built, setting);
  if (timeColumn >= 0 && table.columns[timeColumn]!.kept) {
    const at = channels.findIndex(({ column }) => column > timeColumn);
    channels.splice(at < 0 ? channels.length : at, 0, timeChannel(heads[timeColumn]!, timeColumn, form!, evidence, setting));
  }
  refuseAmbiguous(channels, where);
  findings.push(...findStuck(channels, axis.timeS, where), ...findImplausible(channels, rows, where));
  const oddTime = findImplausibleTime(axis, form, heads[timeColumn]?.name ?? '', rpmStep, where);
  if (oddTime !== null) findings.push(oddTime);
  const oddRate = timeColumn < 0 ? contradictedRate(channels, axis.medianStepS, where) : null;
  if (oddRate !== null) findings.push(oddRate);
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

/** A stated rate that a time column of the same log contradicts. */
function contradictedRate(channels: readonly Channel[], stepS: number, where: Place): Finding | null {
  const time = channels.find(({ quantity, missing, values }) => quantity === 'time' && missing < values.length);
  if (time === undefined) return null;
  const usualS = middleStep(time.values);
  if (!(usualS > 0) || Math.abs(usualS / stepS - 1) < 0.02) return null;
  const hz = (seconds: number): string => String(Number((1 / seconds).toPrecision(3)));
  return {
    code: 'W_RATE',
    severity: 'warning',
    message: `the stated rate of ${hz(stepS)} rows a second was used; by column "${shownName(time.name)}" it would be ${hz(usualS)}.`,
    where: { ...where, channel: time.name },
    fix: 'Leave --rate out to read the time from this column.',
  };
}
