import type { ForecastMethod, ForecastResult, ReconcileResult, TrialResult } from '@pullproof/core';
import { displayUnits, plainUnit } from './displayUnits.js';
import type { Figure } from './figure.js';
import { type Interval, intervalsFigure } from './intervalsFigure.js';

const methodWords: Readonly<Record<ForecastMethod, string>> = {
  'constant-power': 'limit of constant power',
  'huntington-1958': 'rule of Huntington, 1958',
  hale: 'rule of Hale',
  simulated: 'simulated',
  'simulated-learned': 'simulated, learned from slips',
};

/**
 * Elapsed time of every setup by every method, with bands.
 * @param result from `forecastTrial`
 * @param options `methods` to show, all unless given
 * @returns a figure as plain data
 */
export function forecastMethodsFigure(result: ForecastResult, options: { readonly methods?: readonly ForecastMethod[] } = {}): Figure {
  const { methods = Object.keys(methodWords) as ForecastMethod[] } = options;
  const kindOf = (method: ForecastMethod): number => (method === 'simulated-learned' ? 0 : method === 'simulated' ? 1 : 2);
  return intervalsFigure(
    result.forecasts
      .filter(({ method }) => methods.includes(method))
      .map(({ setup, method, etS: { value, low, high } }) => {
        // A limit has no band.
        const bound = low === high;
        return {
          label: `${setup}: ${methodWords[method]}`,
          value,
          low: bound ? null : low,
          high: bound ? null : high,
          kind: kindOf(method),
        };
      }),
    {
      title: 'Elapsed time over the quarter mile',
      unit: plainUnit('s', 2),
      kinds: ['simulated, learned from slips', 'simulated, before any slip', 'limit and rules of power and weight'],
    },
  );
}

/**
 * What each change is worth over the quarter mile, with bands.
 * @param result from `forecastTrial`
 * @param options `of`: in elapsed time or in trap speed
 * @returns a figure as plain data
 */
export function worthFigure(result: ForecastResult, options: { readonly of: 'elapsed-time' | 'trap-speed' }): Figure {
  const inTime = options.of === 'elapsed-time';
  const setups = new Set(result.forecasts.map(({ setup }) => setup));
  const isChangeOfSetup = (change: string): boolean => [...setups].some((before) => setups.has(change.slice(`${before} to `.length)));
  return intervalsFigure(
    result.worth.map(({ change, etS, trapMps }) => ({ label: change, ...(inTime ? etS : trapMps), kind: isChangeOfSetup(change) ? 0 : 1 })),
    {
      title: inTime ? 'Change of elapsed time (less is better)' : 'Change of trap speed (more is better)',
      unit: inTime ? plainUnit('s', 2) : { ...displayUnits[result.units].speed, decimals: 1 },
      reference: 0,
      signed: true,
      kinds: ['change of setup, as measured', 'anything else'],
    },
  );
}

/**
 * Log minus slip at every mark of the strip, with the log's band. Marks that were held out of the fit test it.
 * @param result from `reconcileTrial`
 * @returns a figure as plain data
 */
export function slipMarksFigure(result: ReconcileResult): Figure {
  return intervalsFigure(
    result.slips.flatMap(({ name, splits }) =>
      splits.flatMap(({ mark, slipS, logS, low, high, usedInFit }): Interval[] =>
        slipS === null || logS === null
          ? []
          : [
              {
                label: `${mark.replace('ft', ' ft')}, ${name}`,
                value: logS - slipS,
                low: low === null ? null : low - slipS,
                high: high === null ? null : high - slipS,
                kind: usedInFit ? 0 : 1,
              },
            ],
      ),
    ),
    { title: 'Log minus slip', unit: plainUnit('s', 3), reference: 0, signed: true, kinds: ['used for lining up', 'kept as a check'] },
  );
}

/**
 * Power by two routes: the pulls, at the top of each setup's curve, and the power that each slip's trap speed asks for.
 * @param trial from `runTrial`
 * @param evening from `reconcileTrial`, of the same trial
 * @returns a figure as plain data, in the trial's unit of power
 */
export function trapPowerFigure(trial: TrialResult, evening: ReconcileResult): Figure {
  const intervals = trial.setups.flatMap(({ name, curves }): Interval[] => {
    const slips = evening.slips.filter(({ setup, powerScaleFromTrap }) => setup === name && powerScaleFromTrap !== null);
    const curve = curves.wheelPowerW;
    const known = (curve?.value ?? []).flatMap((value, at) => (value === null ? [] : [{ value, at }]));
    const top = known.at(-1);
    if (curve === undefined || top === undefined || slips.length === 0) return [];
    const own = { label: `${name}: pulls`, value: top.value, low: curve.low[top.at] ?? null, high: curve.high[top.at] ?? null, kind: 1 };
    return [
      own,
      ...slips.map(({ name: slip, powerScaleFromTrap: scale }) => ({
        label: `${name}: trap of ${slip.replace(/,.*/, '')}`,
        value: scale!.value * top.value,
        low: scale!.low * top.value,
        high: scale!.high * top.value,
        kind: 0,
      })),
    ];
  });
  return intervalsFigure(intervals, {
    title: 'Wheel power at the top of the curve',
    unit: displayUnits[trial.units].power,
    kinds: ['from the trap speed', 'from the pulls'],
  });
}

/** Share of what was not known before that still is not; below it, slips count as having told something. */
const told = 0.7;

/**
 * What slips taught about each input, in steps of one standard uncertainty of what was believed before: without slips every bar would reach from −2 to +2.
 * @param result from `forecastTrial`, of a trial with slips
 * @returns a figure as plain data
 */
export function learnedFigure(result: ForecastResult): Figure {
  return intervalsFigure(
    result.learned.map(({ input, deviation, remaining }) => ({
      label: input,
      value: deviation,
      low: deviation - 1.96 * remaining,
      high: deviation + 1.96 * remaining,
      kind: remaining < told ? 0 : 1,
    })),
    {
      title: 'Steps of what was believed before',
      unit: plainUnit('', 2),
      reference: 0,
      signed: true,
      kinds: ['the slips know better now', 'hardly touched by the slips'],
    },
  );
}
