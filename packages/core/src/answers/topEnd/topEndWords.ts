import { type SignPoints, type TopEndCause, type TopEndSign, topEndCauses, topEndSignNeeds } from '../../boost/index.js';
import type { TopEndCauseResult, TopEndFade } from '../../result/index.js';
import { numberText, rpmText } from '../../units/index.js';
import type { Observed, SignGap } from './topEndSigns.js';

/** A fade is clear beyond this many standard uncertainties. */
export const topEndClearSpreads = 2;

/** Units for people. */
export type ShownUnits = 'metric' | 'imperial';

/** A value with its unit, as people read it. */
function shownValue(value: number | null, unit: string, sign: string, units: ShownUnits): string {
  if (value === null || !Number.isFinite(value)) return 'not known';
  switch (unit) {
    case 'Pa':
      return units === 'imperial' ? `${(value / 6894.757293168361).toFixed(2)} psi` : `${(value / 1000).toFixed(1)} kPa`;
    case 'K':
      return units === 'imperial' ? `${(1.8 * value - 459.67).toFixed(0)} °F` : `${(value - 273.15).toFixed(1)} °C`;
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
function shownTrend(trend: number, trendUnit: string, sign: string, units: ShownUnits = 'metric'): string {
  const signed = (value: number, digits: number): string => numberText(value, digits, { signed: true });
  if (trendUnit === 'K') return units === 'imperial' ? `${signed(1.8 * trend, 1)} °F` : `${signed(trend, 1)} K`;
  if (trendUnit === 'deg') return `${signed(trend, 1)}°`;
  if (sign === 'throttle' || sign === 'bypass') return `${signed(100 * trend, 1)} points`;
  if (sign === 'sensor-ceiling' || sign === 'torque-cuts') return trend.toFixed(2);
  return `${signed(100 * Math.expm1(trend), 1)} %`;
}

/** An observation in a sentence. */
export function observationSentence(observed: Observed, lowRpm: string, topRpm: string, units: ShownUnits): string {
  const { id, unit, before, after, trend, trendSpread, trendUnit } = observed;
  const spread = `${shownTrend(trend, trendUnit, id, units)} (one standard uncertainty ${shownTrend(Math.abs(trendSpread), trendUnit, id, units).replace(/^\+/, '')})`;
  const course = ({ low, top }: { readonly low: number | null; readonly top: number | null }): string =>
    `${shownValue(low, unit, id, units)} to ${shownValue(top, unit, id, units)}`;
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
      return `Towards the top of a sweep 2.7 times as fast (by what the pulls in two gears show) manifold pressure would go by ${spread}.`;
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
export function reasonSentence(cause: TopEndCause, points: SignPoints, observed: Observed, units: ShownUnits): string {
  const { id, trend, trendUnit } = observed;
  const seen = shownTrend(trend, trendUnit, id, units);
  const wanted = shownTrend(points.expected, trendUnit, id, units);
  const give = shownTrend(Math.abs(points.expectedSpread), trendUnit, id, units).replace(/^\+/, '');
  const cased = topEndCauses[cause].name.charAt(0).toLowerCase() + topEndCauses[cause].name.slice(1);
  return `${observed.name} ${seen}; ${cased} would show about ${wanted}, give or take ${give}.`;
}

/** A span of engine speed. */
export function spanText([from, to]: readonly [number, number]): string {
  return `${numberText(from, 0)}–${rpmText(to)}`;
}

function fadeSentence(fade: TopEndFade): string {
  const where = fade.lowRpm === null || fade.topRpm === null ? '' : ` (${spanText(fade.lowRpm)} against ${spanText(fade.topRpm)})`;
  const against =
    fade.peakRpm === null || fade.endRpm === null ? 'not known where' : `${spanText(fade.endRpm)} against ${spanText(fade.peakRpm)}`;
  const share = (value: number | null): string => (value === null ? 'not known' : shownTrend(Math.log1p(value), '1', ''));
  switch (fade.kind) {
    case 'gain':
      return `The difference in power falls from ${share(fade.lowShare)} low down to ${share(fade.topShare)} at the top${where}.`;
    case 'boost':
      return `Power holds at the top as far as the pulls tell, but the boost that is read fades there${where}.`;
    case 'power':
      return `Power at the end of the pulls lies ${(100 * -Math.expm1(-(fade.fade ?? 0))).toFixed(1)} % below its largest before (${against}).`;
    default:
      return '';
  }
}

/** Why there is nothing to ask about. */
export function quietSentence(fade: TopEndFade, compared: boolean): string {
  const hidden = topEndClearSpreads * (fade.fadeSpread ?? 0);
  const spread = `${(100 * hidden).toFixed(1)} %`;
  if (fade.kind === 'nothing' && !compared && (fade.fade ?? 0) < -hidden)
    return `Power is larger at the end of the pulls${fade.endRpm === null ? '' : ` (${spanText(fade.endRpm)})`} than in any stretch before, so nothing fades.`;
  const what = compared ? 'The difference in power' : 'Power';
  return fade.kind === 'unclear'
    ? `${what} may or may not fade towards the top: a change of up to ${spread} would hide in these pulls. That is too few data to look for a cause.`
    : `${what} does not fade towards the top by more than ${(100 * (hidden + Math.max(0, fade.fade ?? 0))).toFixed(1)} %.`;
}

/** The answer in a sentence or two. */
export function answerSentence(fade: TopEndFade, results: readonly TopEndCauseResult[], leading: readonly TopEndCause[]): string {
  const [first] = results;
  const names = leading.map((cause) => topEndCauses[cause].name.toLowerCase());
  const list = listed(names);
  const why = first === undefined || first.speaksFor.length === 0 ? '' : ` ${first.speaksFor[0]!.sentence}`;
  const verdict =
    leading.length === 1
      ? ` Of the causes weighed, ${list} is supported best: ${topEndCauses[leading[0]!].means}.${why}`
      : ` Cannot tell: ${list} are not told apart by what was logged.`;
  return `${fadeSentence(fade)}${verdict}`;
}

/** What a sign needs that the logs do not have, and where they do not have it. */
export function neededText(sign: TopEndSign, gaps: ReadonlyMap<TopEndSign, SignGap>): string {
  const where: Readonly<Record<SignGap, string>> = {
    'not logged': '',
    'in one setup only': ' with both setups',
    'not over both windows': ' throughout the pulls',
  };
  return `${topEndSignNeeds[sign]}${where[gaps.get(sign) ?? 'not logged']}`;
}

/** What would decide about a cause: the channels that are not logged or not enough, else what to try. */
export function decidingStep(cause: TopEndCause, gaps: ReadonlyMap<TopEndSign, SignGap>): string {
  const { toLog, besides, proof } = topEndCauses[cause];
  const needed = toLog.filter((sign) => gaps.has(sign)).map((sign) => neededText(sign, gaps));
  return needed.length === 0 ? proof : `Log ${listed(needed)}.${besides === '' ? '' : ` ${besides}`}`;
}

function listed(names: readonly string[]): string {
  return names.length < 2 ? (names[0] ?? '') : `${names.slice(0, -1).join(', ')} and ${names.at(-1)}`;
}
