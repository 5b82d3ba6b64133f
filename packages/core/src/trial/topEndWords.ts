import { type SignPoints, type TopEndCause, topEndCauses } from '../boost/index.js';
import type { Observed } from './topEndSigns.js';

/** A value with its unit, as people read it. */
export function shownValue(value: number | null, unit: string, sign: string): string {
  if (value === null || !Number.isFinite(value)) return 'not known';
  switch (unit) {
    case 'Pa':
      return `${(value / 1000).toFixed(1)} kPa`;
    case 'K':
      return `${(value - 273.15).toFixed(1)} °C`;
    case 'deg':
      return `${value.toFixed(1)}°`;
    case 'kg':
      return `${(1e6 * value).toFixed(0)} mg`;
    default:
      return sign === 'throttle' || sign === 'bypass'
        ? `${(100 * value).toFixed(1)} %`
        : sign === 'air-by-fuel'
          ? `${(1000 * value).toFixed(2)} ms`
          : value.toFixed(3);
  }
}

/** A trend with its sign: per cent where it is a ratio. */
export function shownTrend(trend: number, trendUnit: string, sign: string): string {
  const signed = (value: number, digits: number): string => `${value < 0 ? '−' : '+'}${Math.abs(value).toFixed(digits)}`;
  if (trendUnit === 'K') return `${signed(trend, 1)} K`;
  if (trendUnit === 'deg') return `${signed(trend, 1)}°`;
  if (sign === 'throttle' || sign === 'bypass') return `${signed(100 * trend, 1)} points`;
  if (sign === 'sensor-ceiling' || sign === 'torque-cuts') return trend.toFixed(2);
  return `${signed(100 * Math.expm1(trend), 1)} %`;
}

/** An observation in a sentence. */
export function observationSentence(observed: Observed, lowRpm: string, topRpm: string): string {
  const { id, unit, before, after, trend, trendSpread, trendUnit } = observed;
  const spread = `${shownTrend(trend, trendUnit, id)} (one standard uncertainty ${shownTrend(Math.abs(trendSpread), trendUnit, id).replace(/^\+/, '')})`;
  const course = ({ low, top }: { readonly low: number | null; readonly top: number | null }): string =>
    `${shownValue(low, unit, id)} to ${shownValue(top, unit, id)}`;
  switch (id) {
    case 'torque':
      return before === null
        ? `Torque goes from the low to the top window by ${spread}.`
        : `The difference in torque goes from ${shownTrend(after.low ?? 0, '1', id)} low down to ${shownTrend(after.top ?? 0, '1', id)} at the top: ${spread}.`;
    case 'sensor-ceiling':
      return trend >= 1
        ? 'Manifold pressure stands on a ceiling of its sensor at the top: its reading is a lower bound there, and is not weighed.'
        : trend > 0
          ? 'Manifold pressure may stand on a ceiling of its sensor at the top: its reading is not weighed there.'
          : 'Manifold pressure reaches no ceiling of its sensor at the top.';
    case 'sweep-rate':
      return `In the faster sweeps manifold pressure goes by ${spread} further for each doubling-or-so (e-fold) of the sweep rate.`;
    case 'torque-cuts':
      return `Torque was cut in the upper half of ${(100 * (after.top ?? 0)).toFixed(0)} % of the pulls${before === null ? '' : `, before in ${(100 * (before.top ?? 0)).toFixed(0)} %`}.`;
    case 'pressure-level':
      return `Low down the pressure ratio is ${shownTrend(trend, '1', id)} off what the pulleys should make of the setup before (model).`;
    default: {
      const name = observed.name;
      const weighed = observed.weighed ? '' : ' Readings rest on the sensor’s ceiling, so this is not weighed.';
      return before === null
        ? `${name}: ${course(after)} from ${lowRpm} to ${topRpm}, ${spread}.${weighed}`
        : `${name}: before ${course(before)}, after ${course(after)} from ${lowRpm} to ${topRpm}; after against before ${spread}.${weighed}`;
    }
  }
}

/** What one sign says of one cause. */
export function reasonSentence(cause: TopEndCause, points: SignPoints, observed: Observed): string {
  const { id, trend, trendUnit } = observed;
  const seen = shownTrend(trend, trendUnit, id);
  const wanted = shownTrend(points.expected, trendUnit, id);
  const give = shownTrend(Math.abs(points.expectedSpread), trendUnit, id).replace(/^\+/, '');
  const cased = topEndCauses[cause].name.charAt(0).toLowerCase() + topEndCauses[cause].name.slice(1);
  return `${observed.name} ${seen}; ${cased} would show about ${wanted}, give or take ${give}.`;
}
