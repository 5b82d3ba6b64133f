import type { BandedNumber, ForecastMethod, ForecastResult, ReconcileResult } from '@pullproof/core';
import { type DisplayUnit, displayUnits, numberText, plainUnit } from '@pullproof/figures';
import type { SummaryNumber, SummaryParts } from './summaryParts.js';
import { boundsText, cautionsOf, valueText } from './words.js';

const methods: Readonly<Record<ForecastMethod, { readonly name: string; readonly standing: string }>> = {
  'constant-power': { name: 'limit of constant power', standing: 'model: a bound' },
  'huntington-1958': { name: 'rule of Huntington, 1958', standing: 'model: published rule' },
  hale: { name: 'rule of Hale', standing: 'model: rule' },
  simulated: { name: 'simulated', standing: 'model on measured power' },
  'simulated-learned': { name: 'simulated, learned from slips', standing: 'model on measured power and slips' },
};
const seconds: DisplayUnit = plainUnit('s', 2);

/** What will it run? */
export function forecastSummary(result: ForecastResult): SummaryParts {
  const { speed, density } = displayUnits[result.units];
  const setups = [...new Set(result.forecasts.map(({ setup }) => setup))];
  return {
    title: result.title,
    answers: setups.flatMap((setup) => {
      const best = result.forecasts.findLast((one) => one.setup === setup);
      if (best === undefined) return [];
      return [
        {
          about: setup,
          sentence: `${withBounds(best.etS, seconds)} over the quarter mile, ${withBounds(best.trapMps, { ...speed, decimals: 1 })}: ${methods[best.method].name}.`,
        },
      ];
    }),
    warning: null,
    numbers: [
      ...(result.day === null
        ? []
        : [
            {
              what: 'air of the day',
              value: valueText(result.day.airDensityKgPerM3, density),
              band: result.day.source,
              standing: 'entered',
            },
          ]),
      ...result.forecasts.flatMap(({ setup, method, etS, trapMps }) => [
        bandedRow(`${setup}, ${methods[method].name}: elapsed time`, etS, seconds, methods[method].standing),
        bandedRow(`${setup}, ${methods[method].name}: trap speed`, trapMps, { ...speed, decimals: 1 }, methods[method].standing),
      ]),
    ],
    cautions: [...result.cautions, ...cautionsOf(result.findings)],
    next: [],
  };
}

/** Do slip, log and pulls agree? */
export function reconcileSummary(result: ReconcileResult): SummaryParts {
  return {
    title: result.title,
    answers: [
      ...result.slips.map(({ name, setup, reasons }) => ({ about: `${name}, ${setup}`, sentence: reasons.join(' ') })),
      ...result.comparisons.map(({ before, after, etS, verdict }) => ({
        about: `${before} to ${after}, by slips carried to one air`,
        sentence: `${etS === null ? '' : `${withBounds(etS, { ...seconds, decimals: 3 }, true)}: `}${verdict}.`,
      })),
    ],
    warning: null,
    numbers: result.slips.flatMap(({ name, offsetS, speedScale, powerScaleFromTrap }) => [
      ...(offsetS === null
        ? []
        : [bandedRow(`${name}: start of the clock after the first movement`, offsetS, { ...seconds, decimals: 3 }, 'measured')]),
      ...(speedScale === null ? [] : [bandedRow(`${name}: true speed over logged speed`, speedScale, plainUnit('', 4), 'measured')]),
      ...(powerScaleFromTrap === null
        ? []
        : [
            bandedRow(
              `${name}: power that the trap speed asks for, over power of the pulls`,
              powerScaleFromTrap,
              plainUnit('', 3),
              'measured, through the model of the pass',
            ),
          ]),
    ]),
    cautions: [...result.cautions, ...cautionsOf(result.findings)],
    next: result.comparisons.flatMap(({ before, after, passesNeeded }) =>
      passesNeeded === null
        ? []
        : [`About ${numberText(passesNeeded, 0)} passes each of ${before} and ${after} would settle a difference of this size.`],
    ),
  };
}

function bandedRow(what: string, banded: BandedNumber, unit: DisplayUnit, standing: string): SummaryNumber {
  const hasBand = banded.low !== banded.high;
  return {
    what,
    value: valueText(banded.value, unit),
    band: hasBand ? boundsText(banded.low, banded.high, unit) : 'a bound, no band',
    standing,
  };
}

function withBounds(banded: BandedNumber, unit: DisplayUnit, signed = false): string {
  return `${valueText(banded.value, unit, signed)} (${boundsText(banded.low, banded.high, unit, signed)})`;
}
