import { estimateOf, fitMixedModel, type MixedFit, type MixedModel, studentTTwoSided } from '../../maths/index.js';
import { assumedRepeatability } from '../../power/index.js';
import { type Evidence, type Question, question } from '../../pulls/index.js';
import type { SeasonNumber, SeasonResult } from '../../result/index.js';
import { type SeasonModel, seasonModel } from './seasonModel.js';

export type SeasonPower = Pick<SeasonResult, 'status' | 'range' | 'air' | 'setups' | 'days' | 'repeats' | 'drift'>;

const level = 0.95;
/** Fewer days than this say nothing of a drift. */
const leastDays = 4;
const msIn30Days = 30 * 86_400_000;

/**
 * Power of each setup and day on one scale, how far days differ, and what the car drifts by.
 *
 * The logarithm of each pull's power, carried to one air density, is setup (fixed) + day (random) + pull (random); variances by restricted maximum
 * likelihood, begun from what is assumed of repeats as if seen a few times; what the inputs are unsure of is known covariance.
 */
export const seasonPower: Question<SeasonPower> = question((evidence) => {
  const built = seasonModel(evidence);
  if (built === null)
    return { answer: nothing(evidence, 'The setups share no range of engine speed, so there is no scale for all of them.') };
  const { pullToPull, pullWorth, outingToOuting, outingWorth } = assumedRepeatability;
  const model: MixedModel = {
    ...built.model,
    prior: { between: { variance: outingToOuting ** 2, worth: outingWorth }, within: { variance: pullToPull ** 2, worth: pullWorth } },
  };
  const fit = fitMixedModel(model);
  if (fit === null) return { answer: nothing(evidence, 'There are too few pulls to tell setups and days apart.') };
  const days = daysOf(built, fit);
  return {
    answer: {
      status: null,
      range: { fromRpm: built.fromRpm, toRpm: built.toRpm },
      air: { densityKgPerM3: built.densityKgPerM3, exponent: built.exponent.value, exponentSpread: built.exponent.spread },
      setups: setupsOf(evidence, built, model, fit),
      days,
      repeats: repeatsOf(fit, days.length),
      drift: driftOf(built, model, days),
    },
  };
});

function nothing({ setups }: Evidence, status: string): SeasonPower {
  return {
    status,
    range: null,
    air: null,
    setups: setups.map(({ name, used }) => ({ name, pulls: used.length, outings: outingsOf(used), wheelPowerW: null, change: null })),
    days: [],
    repeats: null,
    drift: { in30Days: null, airExponentLeft: null, status },
  };
}

function outingsOf(used: Evidence['setups'][number]['used']): number {
  return new Set(used.map(({ prepared }) => prepared!.outingKey)).size;
}

function setupsOf({ setups }: Evidence, built: SeasonModel, model: MixedModel, fit: MixedFit): SeasonPower['setups'] {
  return setups.map(({ name, used }, index) => {
    const column = built.setups.indexOf(index);
    const base = { name, pulls: used.length, outings: outingsOf(used) };
    if (column < 0) return { ...base, wheelPowerW: null, change: null };
    const own = built.setups.map((_, k) => (k === column ? 1 : 0));
    const against = own.map((one, k) => one - (k === 0 ? 1 : 0));
    return {
      ...base,
      wheelPowerW: inWatts(estimateOf(model, fit, own)),
      change: column === 0 ? null : asShare(estimateOf(model, fit, against)),
    };
  });
}

type Estimated = ReturnType<typeof estimateOf>;

function inWatts({ value, spread, degrees }: Estimated): SeasonNumber {
  const half = studentTTwoSided(level, degrees) * spread;
  return { value: Math.exp(value), low: Math.exp(value - half), high: Math.exp(value + half) };
}

function asShare(estimated: Estimated): SeasonNumber {
  const { value, low, high } = inWatts(estimated);
  return { value: value - 1, low: low - 1, high: high - 1 };
}

function daysOf({ pulls }: SeasonModel, { groups }: MixedFit): SeasonPower['days'] {
  return [...groups]
    .map(([key, { value, spread }]) => {
      const own = pulls.filter(({ outing }) => outing === key);
      const runs = own.map(({ pull }) => pull.run.inputs);
      const half = 1.96 * spread;
      return {
        name: runs[0]!.outing ?? 'outing not entered',
        when: runs.map(({ when }) => when).find((when) => when !== null) ?? null,
        setups: [...new Set(runs.map(({ setup }) => setup))],
        pulls: own.length,
        effect: { value: Math.expm1(value), low: Math.expm1(value - half), high: Math.expm1(value + half) },
        airDensityKgPerM3: own.reduce((sum, { pull }) => sum + pull.prepared!.conditions.airDensityKgPerM3, 0) / own.length,
      };
    })
    .sort((a, b) => (a.when ?? '').localeCompare(b.when ?? ''));
}

/** Standard deviations with a margin by the logarithm of the variance. */
function repeatsOf(
  { betweenVariance, withinVariance, betweenVarianceVariance, withinVarianceVariance }: MixedFit,
  days: number,
): SeasonPower['repeats'] {
  const deviation = (variance: number, ofVariance: number): SeasonNumber => {
    const half = (1.96 * Math.sqrt(ofVariance)) / Math.max(variance, 1e-300) / 2;
    const value = Math.sqrt(variance);
    return {
      value,
      low: Number.isFinite(half) ? value * Math.exp(-half) : 0,
      high: Number.isFinite(half) ? value * Math.exp(half) : value,
    };
  };
  const measured = days > 1;
  return {
    pullToPull: deviation(withinVariance, withinVarianceVariance),
    dayToDay: {
      ...deviation(betweenVariance, betweenVarianceVariance),
      days,
      measured,
      source: measured ? `measured on ${days} days, begun from what is assumed` : 'assumed: there is one day',
    },
  };
}

/** The same model with time and air density as further columns, where there are days enough to tell. */
function driftOf(built: SeasonModel, model: MixedModel, days: SeasonPower['days']): SeasonPower['drift'] {
  const timeOf = (when: string | null): number => (when === null ? Number.NaN : Date.parse(when));
  const times = built.pulls.map(({ pull }) => timeOf(pull.run.inputs.when));
  const dated = days.filter(({ when }) => when !== null).length;
  if (days.length < leastDays || dated < days.length || times.some(Number.isNaN)) {
    const why =
      days.length < leastDays ? `a drift needs ${leastDays} days; there are ${days.length}` : 'a drift needs the date of every run (when)';
    return { in30Days: null, airExponentLeft: null, status: why };
  }
  const middle = times.reduce((sum, time) => sum + time, 0) / times.length;
  const density = built.pulls.map(({ pull }) => Math.log(pull.prepared!.conditions.airDensityKgPerM3 / built.densityKgPerM3));
  const slopeOf = (column: readonly number[]): SeasonNumber | null => {
    const wider = { ...model, x: model.x.map((row, i) => [...row, column[i]!]) };
    const fit = fitMixedModel(wider);
    if (fit === null) return null;
    const { value, spread, degrees } = estimateOf(wider, fit, [...built.setups.map(() => 0), 1]);
    const half = studentTTwoSided(level, degrees) * spread;
    return { value, low: value - half, high: value + half };
  };
  return {
    in30Days: slopeOf(times.map((time) => (time - middle) / msIn30Days)),
    airExponentLeft: slopeOf(density),
    status: `from ${days.length} days`,
  };
}
