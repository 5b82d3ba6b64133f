import type { ComparisonResult, SetupResult, TrialResult } from '@pullproof/core';
import { displayUnits, numberText } from '@pullproof/figures';
import { type Html, html, shortName, trustedHtml } from '../html.js';
import type { Block, ReportSection } from '../section.js';
import { tableBlock } from '../table.js';
import { plainName } from '../text.js';

/** What makes the bands as wide as they are. */
export const bandPartsSection: ReportSection = {
  id: 'band',
  title: 'What makes up the bands',
  render: (result) => {
    const blocks: Block[] = result.comparisons
      .filter((comparison) => comparison.bandParts.length > 0)
      .map((comparison) => differenceParts(comparison));
    const curves = curveParts(result);
    if (curves !== null) blocks.push(curves);
    return blocks.length === 0 ? null : blocks;
  },
};

function differenceParts({ before, after, bandParts }: ComparisonResult): Html {
  const variance = bandParts.reduce((sum, part) => sum + part.share ** 2, 0);
  const label = `Difference, ${shortName(after, 60)} against ${shortName(before, 60)}`;
  return html`<h3>${label}</h3>${tableBlock(
    ['Part', 'Standing', 'Standard deviation, % of power', 'Share of the variance', ''],
    [
      ...bandParts.map((part) => {
        const share = variance > 0 ? part.share ** 2 / variance : 0;
        return [
          shortName(plainName(part.name)),
          part.standing,
          numberText(part.share * 100, 2),
          `${numberText(share * 100, 0)} %`,
          bar(share),
        ];
      }),
      ['all together', '', numberText(Math.sqrt(variance) * 100, 2), '', ''],
    ],
    { label: `What makes up the band: ${label}`, numbersFrom: 2, className: 'with-sum' },
  )}`;
}

function bar(share: number): Html {
  return trustedHtml(
    `<svg width="80" height="10" viewBox="0 0 80 10" aria-hidden="true"><rect class="bar" width="${(80 * share).toFixed(1)}" height="10"/></svg>`,
  );
}

/** Middle half-width of each part along the curve. */
function curveParts(result: TrialResult): Html | null {
  const { power } = displayUnits[result.units];
  const withParts = result.setups.flatMap((setup: SetupResult) => {
    const parts = setup.curves.wheelPowerW?.parts;
    return parts === undefined ? [] : [{ name: setup.name, parts }];
  });
  if (withParts.length === 0) return null;
  const text = (values: readonly (number | null)[]): string => {
    const middle = median(values);
    return middle === null ? '–' : `±${numberText(power.fromSi(middle), 1)}`;
  };
  return html`<h3>Power of each setup</h3>${tableBlock(
    ['Setup', `Reading noise, ${power.symbol}`, `Pull to pull, ${power.symbol}`, `Inputs, ${power.symbol}`],
    withParts.map(({ name, parts }) => [shortName(name, 60), text(parts.noise), text(parts.pullToPull), text(parts.inputs)]),
    { label: 'What makes up the band of each setup', numbersFrom: 1 },
  )}<p class="muted">Middle half-width along the curve. Inputs, such as mass, move every setup alike and hardly move a difference.</p>`;
}

function median(values: readonly (number | null)[]): number | null {
  const known = values.filter((value) => value !== null).sort((left, right) => left - right);
  return known.length === 0 ? null : known[Math.floor(known.length / 2)]!;
}
