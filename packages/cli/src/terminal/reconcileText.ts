import type { ReconcileResult } from '@pullproof/core';
import { numberText } from '@pullproof/figures';
import { closingLines } from './closingText.js';
import { inertText } from './inertText.js';
import { table, wrapped } from './layout.js';
import { type Style, shownBy } from './style.js';

/** Slips beside their logs as text for a terminal; everything in it comes from the result. */
export function reconcileText(result: ReconcileResult, style: Style, report: string | null): string {
  const plain = (text: string, longest?: number): string => shownBy(inertText(text, longest), style);
  const seconds = (value: number | null, signed = false): string => numberText(value, 3, { signed });
  const lines = [...wrapped(plain(result.title, 200), style.width).map(style.bold), ''];
  if (result.slips.length === 0) lines.push('The trial has no slips: add them under slips, or as slips: slips.csv.', '');
  for (const slip of result.slips) {
    lines.push(
      ...wrapped(plain(`${slip.name} of ${slip.setup}${slip.log === null ? '' : `, ${slip.log}`}`, 160), style.width).map(style.bold),
    );
    if (slip.splits.some(({ logS }) => logS !== null)) {
      const rows = slip.splits.map(({ mark, slipS, logS, low, high, usedInFit }) => [
        mark,
        seconds(slipS),
        seconds(logS),
        low === null || high === null ? '' : `${seconds(low)} to ${seconds(high)}`,
        slipS === null || logS === null ? '' : seconds(logS - slipS, true),
        usedInFit ? 'used' : 'held out',
      ]);
      lines.push(
        ...table(
          [
            { title: 'mark' },
            { title: 'slip, s', align: 'right' },
            { title: 'log, s', align: 'right' },
            { title: '95 % band', align: 'right' },
            { title: 'log - slip', align: 'right' },
            { title: 'in the fit' },
          ],
          rows.map((row) => row.map((cell) => plain(cell))),
          style,
        ),
      );
    }
    const facts: string[] = [];
    if (slip.launchS !== null) facts.push(`the clock started at ${numberText(slip.launchS, 2)} s of the log`);
    if (slip.speedScale !== null)
      facts.push(
        `true speed is ${numberText(slip.speedScale.value, 4)} (${numberText(slip.speedScale.low, 4)} to ${numberText(slip.speedScale.high, 4)}) of the logged one`,
      );
    if (slip.launchSpin !== null) facts.push(`wheelspin of up to ${numberText(100 * slip.launchSpin, 0)} % at the launch`);
    if (slip.liftS !== null) facts.push(`lift at ${numberText(slip.liftS, 2)} s`);
    if (slip.powerScaleFromTrap !== null)
      facts.push(
        `the trap speed asks for ${numberText(slip.powerScaleFromTrap.value, 3)} (${numberText(slip.powerScaleFromTrap.low, 3)} to ${numberText(slip.powerScaleFromTrap.high, 3)}) of the power of the pulls`,
      );
    if (facts.length > 0) lines.push(...wrapped(plain(`${facts.join('; ')}.`), style.width, '  '));
    lines.push(...slip.reasons.flatMap((reason) => wrapped(plain(reason), style.width, '  - ', '    ')), '');
  }
  for (const { before, after, etS, verdict, passesNeeded, runToRunS } of result.comparisons) {
    const amount = etS === null ? '' : `: ${seconds(etS.value, true)} s (${seconds(etS.low, true)} to ${seconds(etS.high, true)})`;
    const more = passesNeeded === null ? '' : ` About ${passesNeeded} passes of each would settle a difference of this size.`;
    lines.push(
      ...wrapped(
        plain(`${before} to ${after} by slips in one air${amount}: ${verdict}. Passes repeat within ${numberText(runToRunS, 3)} s.${more}`),
        style.width,
      ),
      '',
    );
  }
  lines.push(...closingLines(result, report, style));
  return `${lines.join('\n')}\n`;
}
