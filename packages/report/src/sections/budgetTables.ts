import type { Budget, BudgetCheck, TrialResult } from '@pullproof/core';
import { displayUnitFor, displayUnits, numberText, significantText } from '@pullproof/figures';
import { type Html, html, shortName } from '../html.js';
import { tableBlock } from '../table.js';
import { plainName } from '../text.js';

/** Parts that give less than this share of the variance are left out. */
const smallShare = 0.01;

/** The largest parts of each budget, with the input behind each and what would shrink it. */
export function budgetTables(result: TrialResult): readonly Html[] {
  const differences = result.comparisons.flatMap(({ before, after, budget }) =>
    budget === undefined || budget === null ? [] : [budgetTable(`${after} vs ${before}`, budget, result)],
  );
  const setups = result.setups.flatMap(({ name, budget }) =>
    budget === undefined || budget === null
      ? []
      : [html`${budgetTable(name, budget, result)}<p class="muted small">${checkText(budget.check, result)}</p>`],
  );
  return [
    ...(differences.length === 0 ? [] : [html`<h3>What would narrow the margin of the difference</h3>`, ...differences]),
    ...(setups.length === 0 ? [] : [html`<h3>What would narrow the margin of the power itself</h3>`, ...setups]),
  ];
}

function budgetTable(name: string, budget: Budget, result: TrialResult): Html {
  const { power } = displayUnits[result.units];
  const large = budget.parts.filter(({ share }) => share >= smallShare);
  return html`<p><strong>${shortName(name, 90)}</strong>, at ${numberText(budget.engineSpeedRpm, 0)} rpm: ${numberText(power.fromSi(budget.valueW), 1)} ${power.symbol}, give or take ${numberText(power.fromSi(budget.spreadW), 1)} ${power.symbol}.</p>${tableBlock(
    ['Part', 'Value', 'How known', `Moves it by, ${power.symbol}`, 'Of the margin (as squares)', 'What would shrink it'],
    large.map((part) => [
      shortName(plainName(part.name)),
      inputText(part, result),
      part.standing,
      `±${numberText(power.fromSi(part.contributionW), 1)}`,
      `${numberText(100 * part.share, 0)}%`,
      part.remedy,
    ]),
    { label: `What the margin of ${shortName(name, 60)}` },
  )}`;
}

function inputText({ value, spread, unit }: Budget['parts'][number], { units }: TrialResult): string {
  if (spread === null) return '–';
  const shown = displayUnitFor(unit, units);
  const width = significantText(Math.abs(shown.fromSi((value ?? 0) + spread) - shown.fromSi(value ?? 0)), 2);
  const symbol = shown.symbol === '1' || shown.symbol === '' ? '' : ` ${shown.symbol}`;
  return `${value === null ? '' : `${significantText(shown.fromSi(value), 4)} `}± ${width}${symbol}`;
}

function checkText({ firstOrderW, drawnW, agrees, reason }: BudgetCheck, { units }: TrialResult): string {
  const { power } = displayUnits[units];
  const both = `Inputs alone: ${numberText(power.fromSi(firstOrderW), 2)} ${power.symbol} to first order, ${numberText(power.fromSi(drawnW), 2)} ${power.symbol} by trying 10,000 draws of all of them`;
  return agrees ? `${both}: they agree.` : `${both}. ${reason ?? ''}`;
}
