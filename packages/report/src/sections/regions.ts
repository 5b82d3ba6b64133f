import { type ComparisonResult, regionNote, type TrialResult } from '@pullproof/core';
import { changeBandText, displayUnits, numberText } from '@pullproof/figures';
import { type Html, html, shortName } from '../html.js';
import type { Block, ReportSection } from '../section.js';
import { tableBlock } from '../table.js';

/** The regions of every comparison as numbers. */
export const regionsSection: ReportSection = {
  id: 'regions',
  title: 'The difference, region by region',
  render: (result) => {
    const withRegions = result.comparisons.filter((comparison) => comparison.regions.length > 0);
    if (withRegions.length === 0) return null;
    return withRegions.map((comparison): Block => regions(comparison, result));
  },
};

function regions(comparison: ComparisonResult, result: TrialResult): Html {
  const { power } = displayUnits[result.units];
  const label = `${shortName(comparison.after, 60)} vs ${shortName(comparison.before, 60)}`;
  const note = regionNote(comparison.regions);
  const below = note === null ? null : html`<p class="small muted">${note}</p>`;
  return html`<h3>${label}, region by region</h3>${tableBlock(
    ['Engine speed, rpm', 'Verdict', `Average and margin, ${power.symbol}`, 'Share of power before', 'Clear of zero, rpm'],
    comparison.regions.map((region) => [
      `${numberText(region.fromRpm, 0)} to ${numberText(region.toRpm, 0)}`,
      html`<span data-verdict="${region.verdict}">${region.verdict}</span>`,
      changeBandText(power.fromSi(region.meanW), power.fromSi(region.lowW), power.fromSi(region.highW)),
      `${numberText(region.meanShare * 100, 1, { signed: true })}%`,
      region.verdict === 'no clear change' ? '–' : `${numberText(region.clearFromRpm, 0)} to ${numberText(region.clearToRpm, 0)}`,
    ]),
    { label: `Regions: ${label}`, numbersFrom: 2 },
  )}${below}`;
}
