import type { Finding, Place } from '../findings/index.js';
import type { Ceiling } from './findCeilings.js';
import { highestBoostOf, publishedPressureSensors } from './publishedPressureSensors.js';

/** Options of {@link ceilingFinding}. */
export interface CeilingFindingOptions {
  readonly where?: Place;
  /** What it is, for people. Default `manifold pressure`. */
  readonly quantity?: string;
  /** The weather's pressure, to say what the ceiling means as boost; null when the channel is no absolute manifold pressure. */
  readonly stationPressurePa?: number | null;
}

/**
 * A ceiling as a finding: what it is, why it matters, and which range would be needed.
 *
 * @param ceiling of a pressure channel, Pa
 * @returns `W_SENSOR_CEILING`, or `W_SENSOR_CEILING_POSSIBLE`; `W_SENSOR_FLOOR` forms for the lower end
 */
export function ceilingFinding(ceiling: Ceiling, options: CeilingFindingOptions = {}): Finding {
  const { where = {}, quantity = 'manifold pressure', stationPressurePa = null } = options;
  const upper = ceiling.side === 'upper';
  const kpa = (pa: number): string => `${(pa / 1000).toFixed(1)} kPa`;
  const sure = ceiling.certainty === 'found';
  const what = `${capital(quantity)} ${sure ? 'is cut off' : 'may be cut off'} at ${kpa(ceiling.value)}${ceiling.place === null ? '' : ` (${ceiling.place})`}: ${ceiling.readings} readings in ${ceiling.visits} ${ceiling.visits === 1 ? 'pull' : 'pulls'} stand there${ceiling.evidence.noiseAtLevelCounts === 0 ? ' without any noise' : ' with no more than a count of jitter'}.`;
  const means = upper
    ? ' The real pressure was at least that, and how much more nobody can read from this log; these readings count as “at least” and enter no average.'
    : ' The real pressure was at most that; these readings enter no average.';
  const boost = upper && stationPressurePa !== null ? ` ${highestBoostOf(ceiling.value, stationPressurePa).sentence}` : '';
  const neededPa = 1.2 * ceiling.value;
  const sensor = publishedPressureSensors.find((one) => one.highestPa >= neededPa);
  const rangeFix = `Fit and scale a sensor that reads to at least ${kpa(neededPa)} absolute${sensor === undefined ? '' : ` (such as ${sensor.name}, to ${kpa(sensor.highestPa)})`}, or log a channel with a wider range, then log again.`;
  return {
    code: `W_SENSOR_${upper ? 'CEILING' : 'FLOOR'}${sure ? '' : '_POSSIBLE'}`,
    severity: sure ? 'warning' : 'note',
    message: `${what}${means}${boost}`,
    where,
    fix: upper ? rangeFix : 'Log with a sensor or channel whose range reaches lower.',
    count: ceiling.readings,
  };
}

function capital(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1);
}
