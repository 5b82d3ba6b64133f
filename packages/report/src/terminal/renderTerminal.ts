import type { ChangedBesides, TrialResult } from '@pullproof/core';
import { displayUnits, numberText } from '@pullproof/figures';
import { cautions } from '../cautions.js';
import { shortName, visibleText } from '../html.js';
import { valuesText } from '../sections/changed.js';
import { plainName } from '../text.js';
import { plotText } from './plotText.js';

/** How the terminal is. */
export interface TerminalOptions {
  /** Characters in a line; 80 where not told. */
  readonly width?: number;
  /** Bold and red may be used; plain text where not told. */
  readonly colour?: boolean;
}

const labelWidth = 10;

/**
 * The first screen of the report as text: the answer, the warning line, what else changed, the difference as a small plot, what to do next.
 * @param result the trial's result
 * @param options width and colour of the terminal
 * @returns lines ending in a line break; nothing in it can steer the terminal
 */
export function renderTerminal(result: TrialResult, options: TerminalOptions = {}): string {
  const width = Math.max(48, Math.min(options.width ?? 80, 110));
  const paint = (code: string, text: string): string => (options.colour === true ? `\u001b[${code}m${text}\u001b[0m` : text);
  const labelled = (label: string, text: string): string[] => {
    const lines = wrap(text, width - labelWidth);
    return lines.map((line, index) => (index === 0 ? label : '').padEnd(labelWidth) + line);
  };
  const bold = (lines: readonly string[]): string[] => lines.map((line) => paint('1', line));
  const lines: string[] = [...bold(wrap(shortName(result.title, 160), width)), ''];
  for (const overall of result.overall) {
    lines.push(...wrap(`${shortName(overall.after, 60)} against ${shortName(overall.before, 60)}`, width));
    lines.push(...bold(wrap(overall.sentence, width - 2).map((line) => `  ${line}`)), '');
  }
  if (result.overall.length === 0) lines.push('Nothing was compared: the trial has fewer than two setups.', '');
  const { warning } = result;
  const stop = (line: string): string => paint('1;31', line);
  lines.push(...labelled(warning.level === 'stop' ? 'STOP' : 'Warning', warning.sentence).map((line) => (warning.level === 'stop' ? stop(line) : line)));
  for (const detail of warning.details) lines.push(...labelled('', `${shortName(detail.quantity, 40)}: ${shortName(detail.text, 300)}`));
  lines.push('');
  result.comparisons.forEach((comparison, index) => {
    const could = comparison.changedBesides.filter((change) => change.couldExplain !== 'no');
    const pair = result.comparisons.length > 1 ? `${shortName(comparison.after, 40)} against ${shortName(comparison.before, 40)}: ` : '';
    const text = could.length === 0 ? ['nothing known that could explain it'] : could.map((change) => changeLine(change, result));
    text.forEach((line, place) => {
      lines.push(...labelled(index + place === 0 ? 'Changed' : '', `${place === 0 ? pair : ''}${line}`));
    });
  });
  const { power } = displayUnits[result.units];
  for (const comparison of result.comparisons) {
    const plot = plotText(comparison, { unit: power, width: Math.min(width, 80) });
    const title = `Difference in wheel power, ${power.symbol}: ${shortName(comparison.after, 40)} minus ${shortName(comparison.before, 40)}`;
    if (plot.length === 0) lines.push('', ...wrap(`${title}: ${comparison.wheelPowerW.status ?? 'nothing to show'}`, width));
    else
      lines.push(
        '',
        ...wrap(title, width),
        ...plot,
        ...wrap('* difference, : its band, / what air alone could make', width - labelWidth).map((line) => ' '.repeat(9) + line),
      );
  }
  const next = [...new Set(result.overall.flatMap((overall) => overall.next))];
  if (next.length > 0) lines.push('');
  next.forEach((advice, index) => {
    lines.push(...labelled(index === 0 ? 'Next' : '', `${index + 1}. ${advice}`));
  });
  lines.push('', ...labelled('Findings', countText(result)), '', ...wrap(cautions[0]!, width));
  return `${lines.join('\n')}\n`;
}

function changeLine(change: ChangedBesides, result: TrialResult): string {
  const words = {
    yes: 'could explain it',
    partly: 'could explain part of it',
    'cannot tell': 'cannot tell whether it explains it',
    no: 'cannot explain it',
  };
  const { power } = displayUnits[result.units];
  const amount =
    change.couldExplainW === null
      ? ''
      : `, about ${numberText(power.fromSi(change.couldExplainW), power.decimals, { signed: true })} ${power.symbol}`;
  return `${shortName(plainName(change.quantity), 80)} ${valuesText(change, result)}: ${words[change.couldExplain]}${amount}`;
}

function countText({ findings }: TrialResult): string {
  if (findings.length === 0) return 'none';
  const counted = (['error', 'warning', 'note'] as const).flatMap((severity) => {
    const codes = findings.filter((finding) => finding.severity === severity).map((finding) => shortName(finding.code, 40));
    return codes.length === 0
      ? []
      : [
          `${codes.length} ${severity}${codes.length === 1 ? '' : 's'} (${[...new Set(codes)].slice(0, 4).join(', ')}${new Set(codes).size > 4 ? ', …' : ''})`,
        ];
  });
  return counted.join('; ');
}

/** Lines no longer than `width`; a word that is longer is cut into pieces. Control and direction characters are shown, not sent. */
function wrap(text: string, width: number): string[] {
  const lines: string[] = [];
  let line = '';
  for (const word of visibleText(text)
    .split(' ')
    .flatMap((whole) => pieces(whole, width))) {
    const joined = line === '' ? word : `${line} ${word}`;
    if (Array.from(joined).length > width && line !== '') {
      lines.push(line);
      line = word;
    } else line = joined;
  }
  return [...lines, line];
}

function pieces(word: string, width: number): string[] {
  const letters = Array.from(word);
  return letters.length <= width
    ? [word]
    : Array.from({ length: Math.ceil(letters.length / width) }, (_, index) => letters.slice(index * width, (index + 1) * width).join(''));
}
