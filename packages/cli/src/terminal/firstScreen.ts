import { type ComparisonResult, marginText, type OverallResult, type Region, rpmText, type TrialResult } from '@pullproof/core';
import { displayUnitFor, displayUnits, numberText, significantText } from '@pullproof/figures';
import { differencePlot } from './differencePlot.js';
import { inertText } from './inertText.js';
import { table, wrapped } from './layout.js';
import { dotted, fitted, nextSteps, stopLines } from './nextSteps.js';
import { pullCautionLines } from './pullCaution.js';
import { type Style, shownBy } from './style.js';

/** A first answer has at most so many lines for up to three setups. */
const mostLines = 40;
const longestName = 40;
/** Setups from which on there is one line a pair, and no plot. */
const setupsForTable = 4;

/**
 * The answer to a trial on one screen: stop first, then the verdicts, the plot of the difference, what else changed, and what to do next.
 *
 * @param result the result of the trial
 * @param style how the output may look
 * @param report where the report was written, as the user wrote it; null for none
 * @returns at most 40 lines for up to three setups
 */
export function firstScreen(result: TrialResult, style: Style, report: string | null): string {
  const many = result.setups.length >= setupsForTable;
  const stop = stopLines(result, style);
  const shown = shownPair(result);
  const answer = [
    ...titleLines(result, style),
    ...stop,
    ...result.overall.flatMap((overall, i) => pairLines(result, overall, result.comparisons[i], style, many)),
    ...(many ? [''] : []),
    ...(stop.length > 0 ? [] : warningLines(result, style)),
  ];
  const closing = closingLines(result, style, report);
  const steps = nextLines(result, style);
  const sharp = sharpenLines(result, style);
  const used = [...answer, ...closing, ...steps, ...sharp].length;
  const room = many ? Number.POSITIVE_INFINITY : mostLines - used;
  const changed = many ? [] : changedLines(result, shown, style, Math.min(5, room - 1));
  const plot = many ? [] : plotLines(result, shown, style, room - changed.length);
  return `${[...answer, ...plot, ...changed, ...steps, ...sharp, ...closing].join('\n')}\n`;
}

/** The title, unless the heading of the only pair says the same. */
function titleLines({ title, overall }: TrialResult, style: Style): string[] {
  if (overall.length === 1 && title === `${overall[0]!.after} vs ${overall[0]!.before}`) return [];
  return [
    ...wrapped(plain(title, style, 100), style.width)
      .slice(0, 1)
      .map(style.bold),
    '',
  ];
}

/** The pair that is drawn: the last against the first. */
function shownPair({ overall, setups }: TrialResult): number {
  const first = setups[0]?.name;
  return overall.findLastIndex(({ before }) => before === first);
}

function pairLines(
  result: TrialResult,
  overall: OverallResult,
  comparison: ComparisonResult | undefined,
  style: Style,
  short: boolean,
): string[] {
  const names = `${plain(overall.after, style, longestName)} vs ${plain(overall.before, style, longestName)}`;
  const said = verdictSentences(result, overall, comparison).map((one) => plain(one, style));
  const shown = result.overall.length > 1 ? said.slice(0, 1) : said;
  if (short) return wrapped(`${names}: ${said[0] ?? ''}`, style.width, '', '  ').slice(0, 2);
  return [...wrapped(names, style.width).map(style.bold), ...shown.flatMap((one) => fitted(one, style.width, 3, '  ', '  ')), ''];
}

/** The verdict in sentences, the first with the word of the verdict. */
function verdictSentences(result: TrialResult, overall: OverallResult, comparison: ComparisonResult | undefined): string[] {
  const { verdict, because = [], couldShowW = null } = overall;
  const regions = comparison?.regions ?? [];
  const power = displayUnits[result.units].power;
  const [why] = because;
  const settled = why === undefined || why.settle === '' ? [] : [`To find out: ${why.settle}`];
  const small = couldShowW === null ? [] : [`Under ${roundedPower(couldShowW, result)} would not show in these pulls.`];
  if (verdict === 'cannot tell')
    return [`CANNOT TELL${why === undefined ? '' : `, because ${dotted(why.sentence)}`}`, ...settled, ...pullWords(result, overall)];
  const claimed = regions.filter((region) => region.verdict !== 'no clear change');
  if (claimed.length === 0) {
    const hidden = why === undefined ? [] : [`A change may hide: ${dotted(why.sentence)}`, ...settled];
    return [`NO CLEAR CHANGE. ${small.join('')}`.trim(), ...hidden, ...pullWords(result, overall)];
  }
  const inPercentFirst = massAssumed(result);
  const sentences = claimed.map((region) => regionSentence(region, power, inPercentFirst));
  const first = verdict === 'mixed' ? `MIXED. ${sentences.join(' ')}` : sentences.join(' ');
  const quiet = regions.some((region) => region.verdict === 'no clear change') ? ['No clear change at other engine speeds.'] : [];
  return [first, ...quiet, ...pullWords(result, overall)];
}

function regionSentence(
  { verdict, fromRpm, toRpm, meanW, lowW, highW, meanShare }: Region,
  power: (typeof displayUnits)['metric']['power'],
  percentFirst: boolean,
): string {
  const where = `from ${numberText(fromRpm, 0)} to ${rpmText(toRpm)}`;
  const watts = marginText(power.fromSi(meanW), power.fromSi(lowW), power.fromSi(highW));
  const perW = meanW === 0 ? 0 : meanShare / meanW;
  const share = marginText(100 * meanShare, 100 * lowW * perW, 100 * highW * perW);
  const word = verdict.toUpperCase();
  return percentFirst
    ? `${word}: ${share.size}% at the wheels ${where} (could be ${share.range}%), about ${watts.size} ${power.symbol} for a car of typical weight.`
    : `${word}: ${watts.size} ${power.symbol} at the wheels ${where} (could be ${watts.range}), ${numberText(100 * Math.abs(meanShare), 1)}%.`;
}

/** Whether nobody said what the car weighs, so that power rests on a guess and its share hardly does. */
function massAssumed({ assumptions }: TrialResult): boolean {
  return assumptions.some(({ field }) => field === 'car.weighed');
}

function roundedPower(watts: number, { units, setups, assumptions }: TrialResult): string {
  const { power } = displayUnits[units];
  const peak = setups.flatMap(({ curves }) => curves.wheelPowerW?.value ?? []).filter((value): value is number => value !== null);
  const mean = peak.length === 0 ? 0 : peak.reduce((sum, value) => sum + value, 0) / peak.length;
  if (massAssumed({ assumptions } as TrialResult) && mean > 0) return `${numberText((100 * watts) / mean, 1)}%`;
  const value = power.fromSi(watts);
  return `${numberText(value, value < 2 ? 1 : 0)} ${power.symbol}`;
}

function pullWords({ setups }: TrialResult, { before, after }: OverallResult): string[] {
  const of = (name: string) => setups.find((setup) => setup.name === name);
  const used = [before, after].map((name) => of(name)?.pulls.filter((pull) => pull.used).length ?? 0);
  const outings = new Set([before, after].flatMap((name) => of(name)?.runs.map(({ outing }) => outing) ?? []));
  const where = outings.has('unknown') ? 'outing not entered' : outings.size === 1 ? 'one outing' : `${outings.size} outings`;
  return [`Based on ${used[0]} ${used[0] === 1 ? 'pull' : 'pulls'} before and ${used[1]} after, ${where}.`];
}

function warningLines({ warning }: TrialResult, style: Style): string[] {
  const said = plain(`Engine: ${warning.sentence.charAt(0).toLowerCase()}${warning.sentence.slice(1)}`, style);
  return [...fitted(said, style.width, 3, '', '  '), ''];
}

/** The difference drawn in as many lines as there is room for; none where a plot would say nothing. */
function plotLines(result: TrialResult, pair: number, style: Style, room: number): string[] {
  const comparison = result.comparisons[pair];
  if (comparison === undefined || room < 7) return [];
  const { power } = displayUnits[result.units];
  const inUnit = (values: readonly (number | null)[]) => values.map((value) => (value === null ? null : power.fromSi(value)));
  const { engineSpeedRpm, difference, low, high } = comparison.wheelPowerW;
  const unit = `${power.symbol} gained at the wheels${result.overall.length > 1 ? `, ${plain(comparison.after, style, 30)} vs ${plain(comparison.before, style, 30)}` : ''}; shaded: margin`;
  const drawn = differencePlot(
    { engineSpeedRpm, difference: inUnit(difference), low: inUnit(low), high: inUnit(high), unit },
    { width: style.width, unicode: style.unicode, rows: Math.min(11, Math.max(3, room - 4)) },
  );
  return drawn.length === 0 || drawn.length + 1 > room ? [] : [...drawn, ''];
}

/** Words for "could this be why?" */
const couldBeWhy: Readonly<Record<string, string>> = { 'no clear change': '–' };

function changedLines(result: TrialResult, pair: number, style: Style, most: number): string[] {
  const changed = result.comparisons[pair]?.changedBesides ?? [];
  if (most < 3 || changed.length === 0) return [];
  const weight = (answer: string): number => ['yes', 'partly', 'cannot tell', 'no'].indexOf(answer) + 1 || 9;
  const rows = [...changed]
    .sort((a, b) => weight(a.couldExplain) - weight(b.couldExplain))
    .slice(0, most - 2)
    .map(({ quantity, before, after, unit, couldExplain }) => {
      const { fromSi, symbol, decimals } = displayUnitFor(unit, result.units);
      const value = (si: number | null) =>
        si === null ? '–' : decimals >= 3 ? significantText(fromSi(si), 3) : numberText(fromSi(si), Math.max(0, Math.min(2, decimals)));
      // A density is shown as a change: as a number it tells nobody anything.
      if (unit === 'kg/m³' || unit === 'kg/m^3') {
        const change = before === null || after === null ? '–' : `${numberText(100 * (after / before - 1), 1, { signed: true })}%`;
        return [quantity.replaceAll('-', ' '), '', change, '', couldBeWhy[couldExplain] ?? couldExplain].map((cell) =>
          plain(cell, style, 40),
        );
      }
      const cells = [quantity.replaceAll('-', ' '), value(before), value(after), symbol, couldBeWhy[couldExplain] ?? couldExplain];
      return cells.map((cell, c) => plain(cell, style, c === 0 ? 40 : 14));
    });
  const columns = [
    { title: 'what else changed', flexible: true },
    { title: 'before', align: 'right' },
    { title: 'after', align: 'right' },
    { title: '' },
    { title: 'could this be why?' },
  ] as const;
  return [...table(columns, rows, style), ''];
}

function nextLines(result: TrialResult, style: Style): string[] {
  const told = result.overall.length === 1 ? (result.overall[0]!.because ?? []).slice(0, 1).map(({ settle }) => settle) : [];
  const steps = nextSteps(result)
    .filter((step) => !told.includes(step))
    .slice(0, 3);
  if (steps.length === 0) return [];
  return [style.bold('Do next'), ...steps.flatMap((step, i) => fitted(plain(step, style), style.width, 2, `  ${i + 1}. `, '     ')), ''];
}

/** The three inputs that bring most, one line a group. */
function sharpenLines({ sharpen = [], warning }: TrialResult, style: Style): string[] {
  if (warning.level === 'stop') return [];
  const groups = sharpen.filter(({ group }, i) => sharpen.findIndex((other) => other.group === group) === i).slice(0, 3);
  if (groups.length === 0) return [];
  return [
    style.bold('To narrow the margin'),
    ...groups.flatMap(({ sentence }) => wrapped(plain(sentence, style), style.width, '  - ', '    ').slice(0, 2)),
    '',
  ];
}

function closingLines({ assumptions, findings, warning }: TrialResult, style: Style, report: string | null): string[] {
  const notes = findings.filter(({ severity }) => severity !== 'note').length;
  const counts = [
    ...(assumptions.length === 0 ? [] : [`${assumptions.length} values were assumed`]),
    ...(notes === 0 ? [] : [`${notes} ${notes === 1 ? 'warning' : 'warnings'}`]),
  ].join(', ');
  const where = report === null ? 'Everything: --all. Graphs: --report report.html' : `Everything: --all, and ${plain(report, style)}`;
  return [
    ...wrapped(`${counts === '' ? '' : `${counts}. `}${where}`, style.width, '', '  ').slice(0, 2),
    ...(warning.level === 'stop' ? [] : pullCautionLines(style)),
  ];
}

function plain(text: string, style: Style, longest?: number): string {
  return shownBy(inertText(text, longest), style);
}
