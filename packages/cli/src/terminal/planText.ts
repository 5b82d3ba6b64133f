import type { PlannedComparison, PlanResult } from '@pullproof/core';
import { displayUnits, numberText } from '@pullproof/figures';
import { toldLines } from './closingText.js';
import { inertText } from './inertText.js';
import { table, wrapped } from './layout.js';
import { pullCautionLines } from './pullCaution.js';
import { type Style, shownBy } from './style.js';

/** A plan as text for a terminal; everything in it comes from the plan. */
export function planText(plan: PlanResult, style: Style): string {
  const plain = (text: string, longest?: number) => shownBy(inertText(text, longest), style);
  const { power } = displayUnits[plan.units];
  const share = (value: number) => `${numberText(100 * value, 1)} %`;
  const watts = (value: number | null) => (value === null ? '' : ` (${numberText(power.fromSi(value), 1)} ${power.symbol})`);
  const pair = (comparison: PlannedComparison): string[] => {
    const { couldHaveShownW: could, asked, morePullsPerSetup, status } = comparison;
    const lines = [
      could.share === null
        ? (could.status ?? '')
        : `${comparison.pullsBefore} and ${comparison.pullsAfter} pulls would show an even change of ${share(could.share)}${watts(could.value)} four times out of five${could.standing === 'assumed' ? ', from assumed spreads' : ''}.`,
      asked.share === null
        ? (status ?? '')
        : `To show ${share(asked.share)}${watts(asked.value)}: ${morePullsPerSetup === null ? (status ?? '') : morePullsPerSetup === 0 ? 'no more pulls are needed.' : `${morePullsPerSetup} more of each setup at the least.`}`,
    ];
    const options = comparison.options.map((option) => [
      option.how,
      option.morePullsPerSetup === null ? 'would not do' : String(option.morePullsPerSetup),
      String(option.moreOutingsPerSetup),
      option.thenShownShare === null ? '-' : share(option.thenShownShare),
    ]);
    const columns = [
      { title: 'way to go on', flexible: true },
      { title: 'pulls each', align: 'right' },
      { title: 'outings', align: 'right' },
      { title: 'then shown', align: 'right' },
    ] as const;
    return [
      ...wrapped(`${plain(comparison.before, 60)} to ${plain(comparison.after, 60)}`, style.width).map(style.bold),
      ...lines.filter((line) => line !== '').flatMap((line) => wrapped(plain(line), style.width, '  ')),
      '',
      ...(options.length === 0 ? [] : [...table(columns, options, style), '']),
      ...comparison.advice.flatMap((line, i) => wrapped(plain(line), style.width, `  ${i + 1}. `, '     ')),
      '',
    ];
  };
  const told = toldLines(plan.findings, style);
  const lines = [
    ...wrapped(plain(plan.title, 200), style.width).map(style.bold),
    '',
    ...(plan.comparisons.length === 0
      ? ['The trial has one setup: name the one to come as well, without runs.', '']
      : plan.comparisons.flatMap(pair)),
    ...told,
    ...(told.length === 0 ? [] : ['']),
    ...pullCautionLines(style),
  ];
  return `${lines.join('\n').trimEnd()}\n`;
}
