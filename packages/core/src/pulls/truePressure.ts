import type { Finding } from '../findings/index.js';
import { type Channel, findChannel, freshSamples, type Log } from '../log/index.js';
import { engineOffPressure, pressureReferenceOf, rescalePressure, supplyVoltageErrorPa } from '../sensors/index.js';
import { engineSpeedOnRows, motionSignals } from '../stretches/index.js';
import type { RunInputs } from '../trial/index.js';

/**
 * The log of a run with its manifold pressure as it really was: rescaled where it was logged through another sensor's law, and taken as gauge where its readings say so.
 *
 * @param log as read
 * @param inputs of the run
 * @returns the same log where nothing is to be done; otherwise one with other pressure channels, and findings that say so
 */
export function withTruePressure(log: Log, inputs: RunInputs): Log {
  const findings: Finding[] = [];
  const channels = log.channels.map((channel) => {
    if (channel.quantity !== 'manifold-pressure') return channel;
    const told = withReference(log, channel, inputs, findings);
    return inputs.mapSensor === null ? told : rescaled(told, log, inputs, findings);
  });
  return findings.length === 0 ? log : { ...log, channels, findings: [...log.findings, ...findings] };
}

/** A channel that was only guessed or recognised as absolute, and reads below zero or about zero with the engine off, is gauge. */
function withReference(log: Log, channel: Channel, inputs: RunInputs, findings: Finding[]): Channel {
  if (channel.standing === 'stated' || channel.reference === null) return channel;
  const told = pressureReferenceOf(channel.values, engineSpeedOnRows(motionSignals(log)), {
    stationPressurePa: inputs.stationPressurePa.value,
  });
  if (told.reference === 'cannot tell' || told.reference === channel.reference) return channel;
  findings.push({
    code: 'W_PRESSURE_REFERENCE',
    severity: 'warning',
    message: `${channel.name} was taken for ${channel.reference} pressure, but ${told.evidence}: it is used as ${told.reference} pressure.`,
    where: { path: log.path, channel: channel.name, setup: inputs.setup },
    fix: `State it in the trial: channels: { "${channel.name}": manifold-pressure ${channel.unit.replace(/ ?(?:abs|gauge)$/, '') || 'kPa'} ${told.reference === 'gauge' ? 'gauge' : 'abs'} }.`,
  });
  return { ...channel, reference: told.reference };
}

function rescaled(channel: Channel, log: Log, inputs: RunInputs, findings: Finding[]): Channel {
  const { logged, fitted } = inputs.mapSensor!;
  const absolutePa = absoluteValues(channel, inputs.stationPressurePa.value);
  const values = rescalePressure(absolutePa, logged, fitted);
  const kpa = (pa: number): string => `${(pa / 1000).toFixed(1)} kPa`;
  const topPa = highest(absolutePa);
  const supplyPa = Number.isFinite(topPa) ? supplyVoltageErrorPa(fitted, highest(values), 0.1) : Number.NaN;
  const supply = Number.isFinite(supplyPa)
    ? ` A supply 0.1 V above its ${fitted.supplyV} V would read ${kpa(supplyPa)} high there, unless the converter shares the supply.`
    : '';
  const example = Number.isFinite(topPa) ? ` Its highest reading, logged as ${kpa(topPa)}, was ${kpa(highest(values))}.` : '';
  findings.push({
    code: 'MAP_SENSOR_APPLIED',
    severity: 'note',
    message: `${channel.name} was logged through another sensor's law and is rescaled to the sensor that was fitted, offsets counted, before anything uses it.${example}${supply} What was cut off stays cut off.`,
    where: { path: log.path, channel: channel.name, setup: inputs.setup },
    fix: 'Nothing to do if both laws of map-sensor are right. With the engine off the rescaled reading must be the pressure of the weather.',
  });
  return { ...channel, values, reference: 'absolute', quantum: (channel.quantum * fitted.slopePaPerV) / logged.slopePaPerV };
}

/** Largest reading; missing ones are passed over. */
function highest(values: Float64Array): number {
  return values.reduce((most, value) => (Number.isNaN(value) ? most : Math.max(most, value)), Number.NEGATIVE_INFINITY);
}

/** Absolute values of a pressure channel, Pa. */
export function absoluteValues(channel: Channel, stationPressurePa: number): Float64Array {
  return channel.reference === 'gauge' ? channel.values.map((value) => value + stationPressurePa) : channel.values;
}

/** Manifold pressure of a run with the engine off, held against the pressure that was entered. */
export interface RunBarometer {
  readonly pressurePa: number | null;
  readonly scatterPa: number | null;
  readonly readings: number;
  readonly findings: readonly Finding[];
}

/**
 * The manifold-pressure sensor as a barometer: what it reads with the engine off, held against the entered pressure of the weather.
 *
 * @param log with true pressure, see {@link withTruePressure}
 * @param inputs of the run; an assumed pressure is held against nothing
 * @returns null without a manifold-pressure channel that is absolute
 */
export function runBarometer(log: Log, inputs: RunInputs): RunBarometer | null {
  const channel = findChannel(log, 'manifold-pressure');
  if (channel === null || channel.reference === 'gauge') return null;
  const fresh = new Float64Array(log.rows).fill(Number.NaN);
  const { rows, values } = freshSamples(log, channel);
  rows.forEach((row, i) => {
    fresh[row] = values[i]!;
  });
  const { stationPressurePa } = inputs;
  return engineOffPressure(log.timeS, fresh, engineSpeedOnRows(motionSignals(log)), {
    enteredPressurePa: stationPressurePa.standing === 'entered' ? stationPressurePa.value : null,
    where: { path: log.path, channel: channel.name, setup: inputs.setup },
  });
}
