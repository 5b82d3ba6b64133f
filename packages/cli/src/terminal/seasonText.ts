import type { SeasonNumber, SeasonResult } from '@pullproof/core';
import { displayUnits, numberText } from '@pullproof/figures';
import { reportLine, toldLines } from './closingText.js';
import { inertText } from './inertText.js';
import { table, wrapped } from './layout.js';
import { pullCautionLines } from './pullCaution.js';
import { type Style, shownBy } from './style.js';

/** A season as text for a terminal; everything in it comes from the result. */
export function seasonText(result: SeasonResult, style: Style, report: string | null): string {
  const plain = (text: string, longest?: number): string => shownBy(inertText(text, longest), style);
  const { power } = displayUnits[result.units];
  const percent = (share: number, signed = true): string => `${numberText(100 * share, 1, { signed })}%`;
  const within = ({ low, high }: SeasonNumber, show: (value: number) => string): string => `${show(low)} to ${show(high)}`;
  const watts = (value: number): string => numberText(power.fromSi(value), 0);
  const lines = [...wrapped(plain(result.title, 200), style.width).map(style.bold), ''];
  const { range, repeats, drift } = result;
  if (range === null) lines.push(...wrapped(plain(`CANNOT TELL: ${result.status}`), style.width), '');
  else
    lines.push(
      ...wrapped(
        plain(`Mean ${power.symbol} at the wheels from ${rpm(range.fromRpm)} to ${rpm(range.toRpm)} rpm, carried to one air density.`),
        style.width,
      ),
      ...table(
        [
          { title: 'setup', flexible: true },
          { title: 'pulls', align: 'right' },
          { title: 'days', align: 'right' },
          { title: power.symbol, align: 'right' },
          { title: 'margin (95%)', align: 'right' },
          { title: `vs ${result.setups[0]!.name}`.slice(0, 24), align: 'right' },
          { title: 'margin (95%)', align: 'right' },
        ],
        result.setups.map(({ name, pulls, outings, wheelPowerW, change }) =>
          [
            name,
            `${pulls}`,
            `${outings}`,
            wheelPowerW === null ? '' : watts(wheelPowerW.value),
            wheelPowerW === null ? '' : within(wheelPowerW, watts),
            change === null ? '' : percent(change.value),
            change === null ? '' : within(change, percent),
          ].map((cell) => plain(cell, 60)),
        ),
        style,
      ),
      '',
    );
  for (const { before, after, sentence } of result.overall.filter(({ before }) => before === result.setups[0]?.name))
    lines.push(...wrapped(plain(`${after} vs ${before}: ${sentence}`), style.width, '', '  '));
  if (result.overall.length > 0) lines.push('');
  if (repeats !== null) {
    const { dayToDay, pullToPull } = repeats;
    lines.push(
      ...wrapped(
        plain(
          `Pulls repeat to ${percent(pullToPull.value, false)}, days to ${percent(dayToDay.value, false)} (${within(dayToDay, (value) => percent(value, false))}; ${dayToDay.source}).`,
        ),
        style.width,
      ),
    );
    if (dayToDay.measured)
      lines.push(
        ...wrapped(
          plain(`For later trials of this car: day-to-day: { spread: ${percent(dayToDay.value, false)}, days: ${dayToDay.days} }`),
          style.width,
        ),
      );
  }
  if (drift.in30Days !== null)
    lines.push(
      ...wrapped(
        plain(`The car itself: ${percent(drift.in30Days.value)} in 30 days (${within(drift.in30Days, percent)}), ${drift.status}.`),
        style.width,
      ),
    );
  if (result.days.length > 1) {
    lines.push('');
    lines.push(
      ...table(
        [
          { title: 'day', flexible: true },
          { title: 'setups', flexible: true },
          { title: 'pulls', align: 'right' },
          { title: 'reads high or low by', align: 'right' },
          { title: 'margin (95%)', align: 'right' },
        ],
        result.days.map(({ name, setups, pulls, effect }) =>
          [name, setups.join(', '), `${pulls}`, percent(effect.value), within(effect, percent)].map((cell) => plain(cell, 60)),
        ),
        style,
      ),
    );
  }
  const best = result.slips.filter((slip) => slip.best);
  if (best.length > 0)
    lines.push(
      '',
      ...wrapped(
        plain(
          `Best slip of each setup, in the air of ${result.slips[0]!.name}: ${best.map(({ setup, inOneAir }) => `${setup} ${numberText(inOneAir!.etS!, 2)} s`).join(', ')}.`,
        ),
        style.width,
        '',
        '  ',
      ),
    );
  const told = toldLines(result.findings, style);
  const shown = told.slice(0, 6);
  lines.push('', ...shown);
  if (told.length > shown.length)
    lines.push(style.faint(plain(`${told.length - shown.length} more lines of warnings are in the report and in --json.`)));
  lines.push(...(shown.length > 0 ? [''] : []), ...pullCautionLines(style), reportLine(report, style));
  return `${lines.join('\n')}\n`;
}

function rpm(value: number): string {
  return numberText(value, 0);
}
