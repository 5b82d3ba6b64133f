import type { Finding, Place } from '../../findings/index.js';
import type { Dimension } from '../../units/index.js';
import type { Channel, Spread } from '../log.js';
import type { ResolvedColumn } from '../table/resolveColumn.js';
import type { HeadColumn } from '../table/settleTable.js';
import { shownName } from '../text/shownName.js';
import type { TimeAxis } from '../time/timeAxis.js';
import type { TimeForm } from '../time/timeColumn.js';
import { type NamedColumn, parseName } from '../words/nameAndUnit.js';
import { type Quantity, quantityUnits } from '../words/quantities.js';
import { quantityDimensions } from '../words/quantityDimensions.js';
import { takeOutImpossible } from './checks/impossible.js';
import { takeOutSentinels } from './checks/sentinels.js';
import { type Recognition, recognise } from './columnChannel.js';
import { byClock, everyNumber, freshnessOf } from './freshness.js';
import type { IrregularHold } from './irregularHold.js';
import { keepsPeriod } from './ownClock.js';
import type { Polling } from './polling.js';
import { quantumOf } from './quantum.js';
import { refreshSpread } from './refresh.js';

/** What all channels of a log share. */
export interface ChannelSetting {
  readonly axis: TimeAxis;
  readonly polling: Polling | null;
  /** Per row the column that alone changed, -1 none, -2 several. */
  readonly changes: Int16Array;
  /** How the log as a whole is held, where its rows come faster than its readings. */
  readonly rowHold: IrregularHold | null;
  /** Ones, for channels that are new in every row. */
  readonly all: Uint8Array;
  readonly everyRow: Spread | null;
  readonly gaugeStoich: number;
  readonly where: Place;
}

/** A channel with the clock that its own changes show. */
export interface ClockedChannel {
  readonly channel: Channel;
  /** Null where they show none. */
  readonly periodS: number | null;
  /** Whether anything told which rows are new; else every number counts as new. */
  readonly told: boolean;
}

/** A column as a channel in SI. Its numbers are converted where they stand. */
export function valueChannel(
  head: HeadColumn,
  column: number,
  resolved: ResolvedColumn,
  recognition: Recognition,
  setting: ChannelSetting,
  findings: Finding[],
): ClockedChannel {
  const { axis, all, where } = setting;
  const { values } = resolved;
  const place = { ...where, channel: head.name };
  if (recognition.wanted !== null && recognition.quantity === null)
    findings.push(unitUnknown(head, recognition.evidence, recognition.wanted, where));
  const { toSi, wanted: _, ...known } = recognition;
  const temperature = recognition.quantity !== null && quantityDimensions[recognition.quantity][0] === 'temperature';
  const impossible = recognition.quantity === null ? null : takeOutImpossible(values, temperature, toSi, axis.timeS, place);
  if (impossible !== null) findings.push(impossible);
  let quantum = quantumOf(values);
  const sentinel = recognition.quantity === null ? null : takeOutSentinels(values, temperature, quantum, place);
  if (sentinel !== null) {
    findings.push(sentinel);
    quantum = quantumOf(values);
  }
  const { fresh, how, periodS = null } = freshnessOf(values, column, quantum, { ...setting, timeS: axis.timeS, parts: axis.parts });
  if (toSi !== null && (toSi(1) !== 1 || toSi(-250.3) !== -250.3)) convert(values, toSi);
  const channel: Channel = {
    name: head.name,
    originalName: head.originalName,
    column,
    ...known,
    values,
    fresh,
    freshBy: how,
    refreshS: fresh === all ? setting.everyRow : refreshSpread(axis.timeS, fresh, axis.parts),
    quantum: toSi === null || quantum === 0 ? quantum : Math.abs(toSi(quantum) - toSi(0)),
    missing: missingIn(values),
  };
  return { channel, periodS, told: fresh !== all && how !== everyNumber };
}

/**
 * Channels too coarse to show by themselves that they are held, as a speed in whole km/h is, beside others whose changes show a clock: one that
 * never changes faster than such a clock is asked as often.
 */
export function withSharedClocks(channels: readonly ClockedChannel[], { axis }: ChannelSetting): Channel[] {
  const periods = channels
    .flatMap(({ channel, told }) => (told && channel.refreshS !== null ? [channel.refreshS.median] : []))
    .sort((a, b) => b - a);
  // Engine speed on a clock of its own is a logger that asks in turn; a slow temperature is none.
  const inTurn = channels.some(({ channel, periodS, told }) => periodS !== null || (told && channel.quantity === 'engine-speed'));
  if (!inTurn) return channels.map(({ channel }) => channel);
  return channels.map(({ channel, told }) => {
    if (told || channel.quantity === 'time') return channel;
    const { values, quantum } = channel;
    const kept = periods.find((one) => keepsPeriod(values, axis.timeS, axis.parts, one));
    if (kept === undefined) return channel;
    const { fresh, how } = byClock(values, quantum, { timeS: axis.timeS, parts: axis.parts }, kept);
    return { ...channel, fresh, freshBy: `${how}, as another channel`, refreshS: refreshSpread(axis.timeS, fresh, axis.parts) };
  });
}

function convert(values: Float64Array, toSi: (value: number) => number): void {
  for (let i = 0; i < values.length; i++) values[i] = toSi(values[i]!);
}

function missingIn(values: Float64Array): number {
  if (!values.includes(Number.NaN)) return 0;
  let missing = 0;
  for (let i = 0; i < values.length; i++) if (Number.isNaN(values[i]!)) missing++;
  return missing;
}

/** The time column as a channel: seconds from the first row. */
export function timeChannel(
  head: HeadColumn,
  column: number,
  form: TimeForm,
  evidence: string,
  { axis, all, everyRow }: ChannelSetting,
): Channel {
  return {
    name: head.name,
    originalName: head.originalName,
    column,
    quantity: 'time',
    bank: null,
    position: null,
    reference: null,
    unit: form.unit,
    standing: head.stated !== null ? 'stated' : form.evidence.startsWith('no unit') ? 'guessed' : 'recognised',
    evidence,
    values: axis.timeS,
    fresh: all,
    freshBy: 'every row',
    refreshS: everyRow,
    quantum: axis.tickS,
    missing: 0,
  };
}

const holds: Readonly<Record<Exclude<ResolvedColumn['kind'], 'number' | 'with unit'>, string>> = {
  clock: 'holds clock times',
  state: 'a state, 1 for on and 0 for off',
  text: 'holds words',
  empty: 'holds nothing',
};

/** What a column is by its name, its cells and its numbers alone. */
export function recogniseColumn(
  head: HeadColumn,
  { kind, cellUnit, values }: ResolvedColumn,
  gaugeStoich: number,
): { readonly named: NamedColumn; readonly recognition: Recognition } {
  const named = cellUnit === '' ? head.named : parseName(head.named.words, cellUnit);
  if (kind === 'number' || kind === 'with unit' || head.stated !== null)
    return { named, recognition: recognise(named, head.stated, values, gaugeStoich) };
  const recognition: Recognition = {
    quantity: null,
    bank: null,
    position: null,
    reference: null,
    unit: '',
    standing: 'unknown',
    evidence: holds[kind],
    toSi: null,
    wanted: null,
  };
  return { named, recognition };
}

/** Units for an example of what may be stated. */
const exampleUnits: Readonly<Partial<Record<Dimension, string>>> = {
  speed: 'km/h',
  temperature: '°C',
  pressure: 'kPa abs',
  ratio: '%',
  'mass-flow': 'g/s',
  'volume-flow': 'L/h',
  time: 'ms',
};

function unitUnknown(head: HeadColumn, evidence: string, wanted: Quantity, where: Place): Finding {
  const [dimension] = quantityDimensions[wanted];
  const unit = (dimension === undefined ? undefined : exampleUnits[dimension]) ?? quantityUnits[wanted];
  const name = shownName(head.name);
  return {
    code: 'W_UNIT_UNKNOWN',
    severity: 'warning',
    message: `not used: ${evidence}.`,
    where: { ...where, channel: head.name },
    fix: `State its unit, for example --channel "${name}=${wanted} ${unit}" (in a trial: channels: { "${name}": ${wanted} ${unit} }).`,
  };
}
