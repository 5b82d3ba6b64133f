import { type ChangedBesides, type ComparisonResult, type OverallResult, regionNote, type TrialResult } from '@pullproof/core';
import { changeText, displayUnitFor, displayUnits, numberText, significantText, type UnitSystem } from '@pullproof/figures';
import { calculatedLines } from './calculatedText.js';
import { reportLine, toldLines } from './closingText.js';
import { differencePlot } from './differencePlot.js';
import { inertText } from './inertText.js';
import { table, wrapped } from './layout.js';
import { pullCautionLines } from './pullCaution.js';
import { type Style, shownBy } from './style.js';
import { supplyLines } from './supplyText.js';
import { topEndLines } from './topEndText.js';

const longestName = 60;

/**
 * All of the answer to a trial as text for a terminal, for `--all`; everything in it comes from the result.
 *
 * @param result the result of the trial
 * @param style how the output may look
 * @param report where the report was written, as the user wrote it; null for none
 */
export function summary(result: TrialResult, style: Style, report: string | null): string {
  const lines = [
    ...wrapped(plain(result.title, style, 200), style.width).map(style.bold),
    '',
    ...(result.warning.level === 'stop' ? warningLines(result, style) : []),
    ...result.overall.flatMap((overall, i) => [
      ...answerLines(overall, style),
      ...comparisonLines(result.comparisons[i], result.units, style),
      ...topEndLines(result.topEnd?.comparisons[i], style),
    ]),
    ...(result.overall.length === 0 ? topEndLines(result.topEnd?.setups[0], style) : []),
    ...(result.warning.level === 'stop' ? [] : warningLines(result, style)),
    ...pullLines(result, style),
    ...calculatedLines(result, style),
    ...supplyLines(result, style),
    ...nextLines(result, style),
    ...findingLines(result, style),
    ...(asksForPulls(result) ? [...pullCautionLines(style), ''] : []),
    reportLine(report, style),
  ];
  return `${lines.join('\n')}\n`;
}

/** Whether any advice was given: nearly all of it is carried out by further pulls. */
function asksForPulls({ overall, topEnd }: TrialResult): boolean {
  const causes = topEnd === null || topEnd === undefined ? [] : [...topEnd.comparisons, ...topEnd.setups];
  return overall.some(({ next }) => next.length > 0) || causes.some(({ next }) => next.length > 0);
}

function answerLines({ before, after, sentence, reasons }: OverallResult, style: Style): string[] {
  const head = `${plain(before, style, longestName)} to ${plain(after, style, longestName)}`;
  const considered = reasons.map((reason) => plain(reason.toLowerCase().replaceAll('_', ' '), style)).join(', ');
  const because = reasons.length === 0 ? [] : wrapped(`Considered: ${considered}.`, style.width, '  ');
  return [
    ...wrapped(head, style.width).map(style.bold),
    ...wrapped(plain(sentence, style), style.width, '  '),
    ...because.map(style.faint),
    '',
  ];
}

function comparisonLines(comparison: ComparisonResult | undefined, units: UnitSystem, style: Style): string[] {
  if (comparison === undefined) return [];
  const power = displayUnits[units].power;
  const shown = (watts: number) => plain(changeText(power.fromSi(watts)), style);
  const regions = comparison.regions.map((region) => [
    `${numberText(region.fromRpm, 0)} to ${numberText(region.toRpm, 0)}`,
    region.verdict,
    shown(region.meanW),
    `${shown(region.lowW)} to ${shown(region.highW)}`,
    plain(`${numberText(100 * region.meanShare, 1, { signed: true })} %`, style),
  ]);
  const level = `${Math.round(100 * comparison.wheelPowerW.level)} % band`;
  const note = regionNote(comparison.regions);
  return [
    ...(regions.length === 0
      ? []
      : table(
          [
            { title: 'rpm', align: 'right' },
            { title: 'wheel power' },
            { title: power.symbol, align: 'right' },
            { title: level, align: 'right' },
            { title: 'share', align: 'right' },
          ],
          regions,
          style,
        )),
    ...(note === null ? [] : wrapped(plain(note, style), style.width, '  ').map(style.faint)),
    ...plotLines(comparison, units, style),
    ...changedLines(comparison.changedBesides, units, style),
  ];
}

function plotLines({ wheelPowerW }: ComparisonResult, units: UnitSystem, style: Style): string[] {
  const { power } = displayUnits[units];
  const inUnit = (values: readonly (number | null)[]) => values.map((value) => (value === null ? null : power.fromSi(value)));
  const { engineSpeedRpm, difference, low, high } = wheelPowerW;
  const plot = differencePlot(
    {
      engineSpeedRpm,
      difference: inUnit(difference),
      low: inUnit(low),
      high: inUnit(high),
      unit: `${power.symbol}, difference of wheel power with its band`,
    },
    { width: style.width, unicode: style.unicode },
  );
  return plot.length === 0 ? [] : ['', ...plot, ''];
}

/** Where the values and answers are of a part of the engine speeds. */
function judgedLines(changed: readonly ChangedBesides[], style: Style): string[] {
  const places = new Set(
    changed.flatMap(({ spanRpm }) => (spanRpm ? [`${numberText(spanRpm[0], 0)} to ${numberText(spanRpm[1], 0)}`] : [])),
  );
  if (places.size === 0) return [];
  return wrapped(plain(`Judged where power changed: ${[...places].join(' and ')} rpm.`, style), style.width, '  ', '  ');
}

function changedLines(changed: readonly ChangedBesides[], units: UnitSystem, style: Style): string[] {
  if (changed.length === 0) return ['  Nothing else is known to have changed.', ''];
  const rows = changed.map(({ quantity, before, after, unit, couldExplain }) => {
    const { fromSi, symbol, decimals } = displayUnitFor(unit, units);
    const inUnit = (value: number | null) =>
      plain(
        value === null
          ? '–'
          : decimals === 3
            ? significantText(fromSi(value), 3)
            : numberText(fromSi(value), Math.min(3, Math.max(1, decimals))),
        style,
      );
    return [
      plain(quantity.replaceAll('-', ' '), style, longestName),
      inUnit(before),
      inUnit(after),
      plain(symbol, style, 12),
      plain(couldExplain, style, 15),
    ];
  });
  const columns = [
    { title: 'what else changed', flexible: true },
    { title: 'before', align: 'right' },
    { title: 'after', align: 'right' },
    { title: '' },
    { title: 'could explain it' },
  ] as const;
  return [...table(columns, rows, style), ...judgedLines(changed, style), ''];
}

function warningLines({ warning }: TrialResult, style: Style): string[] {
  const paint = warning.level === 'stop' ? style.red : (text: string) => text;
  const details = warning.details.filter(({ level }) => level === 'stop');
  return [
    ...wrapped(plain(warning.sentence, style), style.width).map(paint),
    ...details.flatMap(({ text }) => wrapped(plain(text, style), style.width, '  - ', '    ')),
    '',
  ];
}

function pullLines({ setups, units }: TrialResult, style: Style): string[] {
  const { mass } = displayUnits[units];
  const rows = setups.map((setup) => {
    const used = setup.pulls.filter((pull) => pull.used);
    const outings = new Set(setup.runs.map((run) => run.outing));
    const masses = setup.runs.map((run) => run.massKg.value).filter((value): value is number => value !== null);
    const range =
      masses.length === 0
        ? ['–']
        : [...new Set([Math.min(...masses), Math.max(...masses)].map((value) => numberText(mass.fromSi(value), 0)))];
    const repeat = setup.repeatability.value === null ? '–' : `${numberText(100 * setup.repeatability.value, 1)} %`;
    return [
      plain(setup.name, style, longestName),
      `${used.length} of ${setup.pulls.length}`,
      outings.has('unknown') ? 'unknown' : String(outings.size),
      plain(`${range.join(' to ')} ${mass.symbol}`, style),
      plain(`${repeat}${setup.repeatability.standing === 'assumed' ? ', assumed' : ''}`, style),
    ];
  });
  const columns = [
    { title: 'setup', flexible: true },
    { title: 'pulls used', align: 'right' },
    { title: 'outings', align: 'right' },
    { title: 'mass as driven', align: 'right' },
    { title: 'pull to pull', align: 'right' },
  ] as const;
  return [...table(columns, rows, style), ''];
}

function nextLines({ overall }: TrialResult, style: Style): string[] {
  const next = [...new Set(overall.flatMap((one) => one.next))];
  if (next.length === 0) return [];
  return [
    style.bold('What to do next'),
    ...next.flatMap((step, i) => wrapped(plain(step, style), style.width, `  ${i + 1}. `, '     ')),
    '',
  ];
}

function findingLines({ findings, assumptions }: TrialResult, style: Style): string[] {
  const told = toldLines(findings, style);
  const notes = findings.filter(({ severity }) => severity === 'note').length;
  const assumed = [...new Set(assumptions.map(({ quantity }) => quantity.replace(/ \(.*\)$/, '')))];
  return [
    ...told,
    ...(assumed.length === 0 ? [] : wrapped(`Assumed, as it was not given: ${plain(assumed.join('; '), style)}.`, style.width, '', '  ')),
    ...(notes === 0 ? [] : [`${notes === 1 ? 'One note is' : `${notes} notes are`} in the report and in --json.`]),
    ...(told.length + assumed.length + notes === 0 ? [] : ['']),
  ];
}

function plain(text: string, style: Style, longest?: number): string {
  return shownBy(inertText(text, longest), style);
}
