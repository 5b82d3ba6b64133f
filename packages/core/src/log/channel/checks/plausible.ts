import type { Finding, Place } from '../../../findings/index.js';
import { rpmText } from '../../../units/index.js';
import type { Channel } from '../../log.js';
import { shownName } from '../../text/shownName.js';
import type { Quantity } from '../../words/quantities.js';
import { rangeOf } from '../valueRange.js';

/** No road car's engine turns faster. Common practice, no source. */
export const mostEngineSpeedRpm = 25_000;

/** A channel whose numbers do not go with what it is called, and what it likely is. */
interface Suspicion {
  readonly channel: Channel;
  readonly what: string;
  readonly likely: string;
  readonly state: string;
}

/**
 * Finds channels whose numbers contradict their name or unit, from their own range and from agreement between channels. Nothing is changed: the user says
 * what is right. Limits are what engines and weather can do; common practice, no source, unless stated.
 */
export function findImplausible(channels: readonly Channel[], rows: number, where: Place): Finding[] {
  const suspicions = [
    ...channels.flatMap((channel) => ownRange(channel)),
    ...engineOffPressure(channels, rows),
    ...speedsThatDisagree(channels, rows),
    ...temperaturesThatDisagree(channels),
  ];
  const named = new Set<Channel>();
  return suspicions.flatMap(({ channel, what, likely, state }) => {
    if (named.has(channel)) return [];
    named.add(channel);
    return [
      {
        code: 'W_IMPLAUSIBLE',
        severity: 'warning' as const,
        message: `"${shownName(channel.name)}" ${what}: ${likely}. It was used as labeled.`,
        where: { ...where, channel: channel.name },
        fix: `If so, state it: channels: { "${shownName(channel.name)}": ${state} }.`,
      },
    ];
  });
}

function ownRange(channel: Channel): Suspicion[] {
  const { quantity, values, unit, reference } = channel;
  const range = rangeOf(values);
  if (quantity === null || range.count < 2) return [];
  const { min, max } = range;
  const suspect = (what: string, likely: string, state: string): Suspicion[] => [{ channel, what, likely, state }];
  switch (quantity) {
    case 'lambda':
    case 'commanded-lambda': {
      if (unit === 'AFR' && range.median < 0.2)
        return suspect('is called an air-fuel ratio but reads like lambda', 'lambda named AFR', `${quantity} λ`);
      if (unit !== 'AFR' && range.median > 5)
        return suspect('is called lambda but reads like an air-fuel ratio', 'AFR named lambda', `${quantity} AFR`);
      return [];
    }
    case 'manifold-pressure': {
      if (reference === 'absolute' && min < 3000) {
        return suspect(`is called absolute but falls to ${kPa(min)}`, 'gauge pressure named absolute', `manifold-pressure ${unit} gauge`);
      }
      if (reference === 'gauge' && min > 10000 && range.median > 25000 && max - min > 5000 && min < 110000) {
        return suspect(
          `is called gauge but never falls below ${kPa(min)}`,
          'absolute pressure named gauge',
          `manifold-pressure ${unit} abs`,
        );
      }
      return max > 600000 ? suspect(`rises to ${kPa(max)}`, 'another unit', 'manifold-pressure psi abs') : [];
    }
    case 'barometric-pressure':
      return min < 45000 || max > 110000
        ? suspect(`reads ${kPa(min)} to ${kPa(max)}`, 'not a possible air pressure; probably another unit', 'barometric-pressure hPa')
        : [];
    case 'coolant-temperature':
      return max > 403 && range.median > 393 && unit === '°C'
        ? suspect(`rises to ${(max - 273.15).toFixed(0)} °C`, '°F logged as °C', 'coolant-temperature °F')
        : [];
    case 'ambient-temperature':
      return range.median > 328 && unit === '°C'
        ? suspect(`reads ${(range.median - 273.15).toFixed(0)} °C`, '°F logged as °C', 'ambient-temperature °F')
        : [];
    case 'intake-temperature':
      return min > 333 && range.median > 343 && unit === '°C'
        ? suspect(`never falls below ${(min - 273.15).toFixed(0)} °C`, '°F logged as °C', 'intake-temperature °F')
        : [];
    case 'throttle':
    case 'pedal':
    case 'load':
    case 'injector-duty':
      return unit === '%' && max <= 0.0102 && max > 0.004
        ? suspect('is called a percentage but stays within 1', 'a share from 0 to 1', `${quantity} 1`)
        : [];
    case 'engine-speed':
      return max > mostEngineSpeedRpm ? suspect(`rises to ${rpmText(max)}`, 'another unit or channel', 'ignore') : [];
    case 'road-speed':
    case 'gps-speed':
      return max > 140 ? suspect(`rises to ${(max * 3.6).toFixed(0)} km/h`, 'another unit', `${quantity} km/h`) : [];
    default:
      return [];
  }
}

/** With the engine off the manifold holds the air's pressure. */
function engineOffPressure(channels: readonly Channel[], rows: number): Suspicion[] {
  const speed = first(channels, 'engine-speed');
  const barometer = first(channels, 'barometric-pressure');
  return channels.flatMap((channel): Suspicion[] => {
    if (channel.quantity !== 'manifold-pressure' || speed === null) return [];
    const off: number[] = [];
    for (let i = 0; i < rows; i++) if (speed.values[i] === 0 && !Number.isNaN(channel.values[i]!)) off.push(channel.values[i]!);
    if (off.length < 5) return [];
    off.sort((a, b) => a - b);
    const still = off[off.length >> 1]!;
    const air = barometer === null ? null : rangeOf(barometer.values).median;
    if (channel.reference === 'absolute' && still < 45000) {
      return [
        {
          channel,
          what: `reads ${kPa(still)} with the engine off`,
          likely: 'gauge pressure named absolute',
          state: `manifold-pressure ${channel.unit} gauge`,
        },
      ];
    }
    if (channel.reference === 'gauge' && still > 45000) {
      return [
        {
          channel,
          what: `reads ${kPa(still)} with the engine off`,
          likely: 'absolute pressure named gauge',
          state: `manifold-pressure ${channel.unit} abs`,
        },
      ];
    }
    if (channel.reference === 'absolute' && air !== null && Math.abs(still - air) > 6000) {
      return [
        {
          channel,
          what: `reads ${kPa(still)} with the engine off, the barometer ${kPa(air)}`,
          likely: 'a scale for another sensor',
          state: `manifold-pressure ${channel.unit} abs`,
        },
      ];
    }
    return [];
  });
}

/** Two speeds of one car that differ by 1.609 are miles and kilometres. */
function speedsThatDisagree(channels: readonly Channel[], rows: number): Suspicion[] {
  const road = first(channels, 'road-speed');
  const other = first(channels, 'gps-speed') ?? first(channels, 'wheel-speed');
  if (road === null || other === null) return [];
  const ratios: number[] = [];
  for (let i = 0; i < rows; i++) {
    const a = road.values[i]!;
    const b = other.values[i]!;
    if (a > 3 && b > 3) ratios.push(b / a);
  }
  if (ratios.length < 5) return [];
  ratios.sort((a, b) => a - b);
  const ratio = ratios[ratios.length >> 1]!;
  const mile = 1.609344;
  const reads = `against "${shownName(other.name)}" reads ${(1 / ratio).toFixed(3)} times as much`;
  if (Math.abs(ratio / mile - 1) < 0.05)
    return [{ channel: road, what: reads, likely: `mph logged as ${road.unit}`, state: 'road-speed mph' }];
  if (Math.abs(ratio * mile - 1) < 0.05)
    return [
      { channel: road, what: reads, likely: `km/h logged as ${road.unit}, or mph as ${other.unit} in the other`, state: 'road-speed km/h' },
    ];
  return [];
}

/** Intake air cannot be far colder than the air outside; one that is hotter by what °F makes of °C is °F. */
function temperaturesThatDisagree(channels: readonly Channel[]): Suspicion[] {
  const ambient = first(channels, 'ambient-temperature');
  const intake = first(channels, 'intake-temperature');
  if (ambient === null || intake === null || intake.unit !== '°C') return [];
  const outside = rangeOf(ambient.values).median;
  const { min } = rangeOf(intake.values);
  const asFahrenheit = ((min - 273.15 - 32) * 5) / 9 + 273.15;
  if (!(min - outside > 30 && Math.abs(asFahrenheit - outside) < 15)) return [];
  // A logger that writes coolant in °C writes no other temperature in °F: then one of the two thermometers is wrong.
  const coolant = first(channels, 'coolant-temperature');
  const celsius = coolant !== null && coolant.unit === '°C' && rangeOf(coolant.values).median < 393;
  const what = `is never within 30 °C of "${shownName(ambient.name)}"`;
  if (celsius) return [{ channel: intake, what, likely: 'one of the two thermometers is wrong', state: 'ignore' }];
  return [{ channel: intake, what, likely: '°F logged as °C, or the other thermometer is wrong', state: 'intake-temperature °F' }];
}

function first(channels: readonly Channel[], quantity: Quantity): Channel | null {
  return channels.find((channel) => channel.quantity === quantity) ?? null;
}

function kPa(pascal: number): string {
  return `${(pascal / 1000).toFixed(1)} kPa`;
}
