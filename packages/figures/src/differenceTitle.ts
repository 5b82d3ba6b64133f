import type { ComparisonResult, OverallResult, Region, TrialResult } from '@pullproof/core';
import { displayUnits } from './displayUnits.js';
import { changeText, numberText } from './numberText.js';

/**
 * What a comparison found, short enough to stand above its figure.
 * @param result the trial's result
 * @param options `comparison`: place of the comparison in the result
 * @returns such as `Larger intercooler: +5 kW from 5,000 to 6,550 rpm, nothing clear below`
 */
export function differenceTitle(result: TrialResult, options: { readonly comparison: number }): string {
  const comparison = result.comparisons[options.comparison];
  if (comparison === undefined) return 'Nothing to compare';
  const overall = result.overall[options.comparison];
  return `${comparison.after} vs ${comparison.before}: ${findingText(comparison, overall, result)}`;
}

function findingText({ regions }: ComparisonResult, overall: OverallResult | undefined, { units }: TrialResult): string {
  const verdict = overall?.verdict ?? 'cannot tell';
  if (verdict === 'cannot tell') return 'cannot tell';
  const clear = regions.filter((region) => region.verdict !== 'no clear change');
  if (verdict === 'no clear change' || clear.length === 0) return 'no clear change';
  const { power } = displayUnits[units];
  const parts = clear.map(
    (region) =>
      `${changeText(power.fromSi(region.meanW))} ${power.symbol} from ${numberText(region.fromRpm, 0)} to ${numberText(region.toRpm, 0)} rpm`,
  );
  const sides = clear.length > 1 ? '' : sideText(regions, clear[0]!);
  return `${parts.join(', ')}${sides}`;
}

/** Where nothing is clear beside the one region that is. */
function sideText(regions: readonly Region[], clear: Region): string {
  const below = regions.some(({ verdict, toRpm }) => verdict === 'no clear change' && toRpm <= clear.fromRpm);
  const above = regions.some(({ verdict, fromRpm }) => verdict === 'no clear change' && fromRpm >= clear.toRpm);
  if (below && above) return ', nothing clear elsewhere';
  return below ? ', nothing clear below' : above ? ', nothing clear above' : '';
}
