import type { ComparisonResult, Standing, TrialResult } from '@pullproof/core';
import { displayUnits, numberText } from '@pullproof/figures';
import { type Html, type HtmlPart, html, shortName, trustedHtml } from '../html.js';
import type { Block, ReportSection } from '../section.js';
import { tableBlock } from '../table.js';
import { plainName } from '../text.js';
import { budgetTables } from './budgetTables.js';

/** Parts that give less than this share of the variance in every comparison are put together. */
const smallShare = 0.005;

/** What makes the bands as wide as they are. */
export const bandPartsSection: ReportSection = {
  id: 'band',
  title: 'What the margin is made of',
  render: (result) => {
    const blocks: Block[] = [
      differenceParts(result.comparisons.filter((comparison) => comparison.bandParts.length > 0)),
      curveParts(result),
      ...budgetTables(result),
    ].filter((block) => block !== null);
    return blocks.length === 0 ? null : blocks;
  },
};

interface Part {
  readonly name: string;
  readonly standing: Standing;
  /** Standard deviation as a share of power in each comparison; null where the comparison has no such part. */
  readonly deviations: readonly (number | null)[];
}

function differenceParts(comparisons: readonly ComparisonResult[]): Html | null {
  if (comparisons.length === 0) return null;
  const variances = comparisons.map(({ bandParts }) => bandParts.reduce((sum, part) => sum + part.share ** 2, 0));
  const shareIn = (deviation: number | null, index: number): number =>
    deviation === null || variances[index] === 0 ? 0 : deviation ** 2 / variances[index]!;
  const isLarge = (part: Part): boolean => part.deviations.some((deviation, index) => shareIn(deviation, index) >= smallShare);
  const parts = partsOf(comparisons);
  const [large, small] = [parts.filter(isLarge), parts.filter((part) => !isLarge(part))];
  const cells = (deviations: Part['deviations']): HtmlPart[] =>
    deviations.map((deviation, index) =>
      deviation === null
        ? '–'
        : html`${numberText(deviation * 100, 2)} <span class="standing">${numberText(shareIn(deviation, index) * 100, 0)}%</span> ${bar(shareIn(deviation, index))}`,
    );
  const together = comparisons.map((_, index) => Math.sqrt(small.reduce((sum, part) => sum + (part.deviations[index] ?? 0) ** 2, 0)));
  return html`<h3>Of the difference</h3><p class="muted small">Size in percent of power, and how much of the margin it makes up (as squares).</p>${tableBlock(
    [
      'Part',
      'How known',
      ...comparisons.map(({ before, after }) => html`${shortName(after, 40)} <span class="standing">vs</span> ${shortName(before, 40)}`),
    ],
    [
      ...large.map((part) => [shortName(plainName(part.name)), part.standing, ...cells(part.deviations)]),
      ...(small.length === 0
        ? []
        : [[`under ½% each: ${small.map((part) => shortName(plainName(part.name))).join(', ')}`, '', ...cells(together)]]),
      ['all together', '', ...variances.map((variance) => numberText(Math.sqrt(variance) * 100, 2))],
    ],
    { label: 'What the margin of the differences is made of', className: 'with-sum' },
  )}`;
}

/** Parts of all comparisons by name, largest first. */
function partsOf(comparisons: readonly ComparisonResult[]): readonly Part[] {
  const names = [...new Set(comparisons.flatMap(({ bandParts }) => bandParts.map((part) => part.name)))];
  const parts = names.map((name): Part => {
    const found = comparisons.map(({ bandParts }) => bandParts.find((part) => part.name === name));
    return { name, standing: found.find((part) => part !== undefined)!.standing, deviations: found.map((part) => part?.share ?? null) };
  });
  const largest = (part: Part): number => Math.max(...part.deviations.map((deviation) => deviation ?? 0));
  return parts.sort((left, right) => largest(right) - largest(left));
}

function bar(share: number): Html {
  return trustedHtml(
    `<svg width="48" height="9" viewBox="0 0 48 9" aria-hidden="true"><rect class="bar-mark" width="${(48 * share).toFixed(1)}" height="9"/></svg>`,
  );
}

/** Middle half-width of each part along the curve. */
function curveParts(result: TrialResult): Html | null {
  const { power } = displayUnits[result.units];
  const withParts = result.setups.flatMap((setup) => {
    const parts = setup.curves.wheelPowerW?.parts;
    return parts === undefined ? [] : [{ name: setup.name, parts }];
  });
  if (withParts.length === 0) return null;
  const text = (values: readonly (number | null)[]): string => {
    const middle = median(values);
    return middle === null ? '–' : `±${numberText(power.fromSi(middle), 1)}`;
  };
  return html`<h3>Of each setup’s power</h3>${tableBlock(
    ['Setup', `Reading noise, ${power.symbol}`, `Pulls repeat, ${power.symbol}`, `Inputs, ${power.symbol}`],
    withParts.map(({ name, parts }) => [shortName(name, 60), text(parts.noise), text(parts.pullToPull), text(parts.inputs)]),
    { label: 'What the margin of each setup is made of', numbersFrom: 1 },
  )}<p class="muted small">Half of it lies within, along the curve. Inputs, such as weight, move every setup alike and hardly move a difference.</p>`;
}

function median(values: readonly (number | null)[]): number | null {
  const known = values.filter((value) => value !== null).sort((left, right) => left - right);
  return known.length === 0 ? null : known[Math.floor(known.length / 2)]!;
}
