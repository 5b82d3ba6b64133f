import { type ComparisonResult, regionNote, type TrialResult } from '@pullproof/core';
import { changeBandText, differenceFigure, displayUnits, numberText } from '@pullproof/figures';
import { type Html, html, shortName } from '../html.js';
import type { Block, ReportSection } from '../section.js';
import { tableBlock } from '../table.js';

/** Fourth: the difference along engine speed. */
export const differenceSection: ReportSection = {
  id: 'difference',
  title: 'Where in the rev range',
  render: (result) => {
    if (result.comparisons.length === 0) return null;
    const figures = result.comparisons.map((comparison, index) => ({
      figure: differenceFigure(result, { comparison: index, commonScale: result.comparisons.length > 1 }),
      caption: `Wheel power, ${shortName(comparison.after, 40)} minus ${shortName(comparison.before, 40)}, uncorrected`,
    }));
    return figures.length === 1 ? figures : [figures, html`<p class="small muted">Figures against one setup share a scale.</p>`];
  },
};

/** The regions of every comparison as numbers; stands in the second part of the report. */
export const regionsSection: ReportSection = {
  id: 'regions',
  title: 'Regions of the difference',
  render: (result) => {
    const withRegions = result.comparisons.filter((comparison) => comparison.regions.length > 0);
    if (withRegions.length === 0) return null;
    return withRegions.map((comparison): Block => regions(comparison, result));
  },
};

function regions(comparison: ComparisonResult, result: TrialResult): Html {
  const { power } = displayUnits[result.units];
  const label = `${shortName(comparison.after, 60)} against ${shortName(comparison.before, 60)}`;
  const note = regionNote(comparison.regions);
  const below = note === null ? null : html`<p class="small muted">${note}</p>`;
  return html`<h3>${label}</h3>${tableBlock(
    ['Engine speed, rpm', 'Verdict', `Mean difference, ${power.symbol}`, 'Share of power before', 'Clear of zero, rpm'],
    comparison.regions.map((region) => [
      `${numberText(region.fromRpm, 0)} to ${numberText(region.toRpm, 0)}`,
      region.verdict,
      changeBandText(power.fromSi(region.meanW), power.fromSi(region.lowW), power.fromSi(region.highW)),
      `${numberText(region.meanShare * 100, 1, { signed: true })} %`,
      region.verdict === 'no clear change' ? '–' : `${numberText(region.clearFromRpm, 0)} to ${numberText(region.clearToRpm, 0)}`,
    ]),
    { label: `Regions: ${label}`, numbersFrom: 2 },
  )}${below}`;
}
