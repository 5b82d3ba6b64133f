import type { CheckedLog, Finding } from '@pullproof/core';
import { numberText } from '@pullproof/figures';
import { dialectText, headline, nextLines, unitText, withoutPath, workLines } from './checkWords.js';
import { inertText } from './inertText.js';
import { table, wrapped } from './layout.js';
import { findingText } from './problemText.js';
import { type Style, shownBy } from './style.js';

/** Lines that one log may take; the rest comes with --all. */
const mostLines = 30;
const pullsShown = 5;
const findingLines = 8;

/**
 * What one log is good for, then its pulls, then its channels, in at most thirty lines.
 *
 * @param alone false where what several logs lack together was said above
 */
export function checkText(log: CheckedLog, style: Style, alone: boolean = true): string {
  const plain = (text: string, longest?: number) => shownBy(inertText(text, longest), style);
  const name = log.path === '-' ? 'standard input' : log.path;
  const { fitness = [], dialect } = log;
  if (dialect === null) {
    const errors = log.findings.flatMap((finding) => wrapped(findingText(withoutPath(finding), style), style.width, '  ', '    '));
    return `${[style.bold(plain(name)), ...errors, ''].join('\n')}\n`;
  }
  const words = headline(fitness);
  const head = wrapped(plain(words === '' ? name : `${name}: ${words}`), style.width, '', '  ').map((line) => style.bold(line));
  const top = [
    ...head,
    ...workLines(fitness, style),
    ...(alone ? nextLines(fitness, style) : []),
    ...findingsInShort(log.findings, style),
    '',
    ...sections(log, style),
    '',
  ];
  const facts = factLines(log, style);
  const room = mostLines - top.length - facts.length - 1;
  return `${[...top, ...channelLines(log, Math.max(3, room), style), ...facts, ''].join('\n')}\n`;
}

/** Findings by their first sentence, errors and warnings first; what does not fit is counted. */
function findingsInShort(findings: readonly Finding[], style: Style): string[] {
  const rank = { error: 0, warning: 1, note: 2 } as const;
  const sorted = [...findings].sort((a, b) => rank[a.severity] - rank[b.severity]);
  const lines: string[] = [];
  let shown = 0;
  for (const finding of sorted) {
    const { message, fix } = finding;
    const whole = wrapped(findingText(withoutPath(finding), style), style.width, '  ', '    ');
    const short = { ...withoutPath(finding), message: firstSentence(message), fix: whole.length > 3 ? '' : firstSentence(fix) };
    const text = wrapped(findingText(short, style).replace('  [', ' ['), style.width, '  ', '    ');
    if (lines.length + text.length > findingLines) break;
    lines.push(...text);
    shown++;
  }
  const left = sorted.length - shown;
  return left === 0
    ? lines
    : [...lines, `  ${shown === 0 ? '' : '… and '}${left} more ${left === 1 ? 'finding' : 'findings'}: --all`].map((line) =>
        shownBy(line, style),
      );
}

function firstSentence(text: string): string {
  return /^.*?[.:](?=\s+[A-Z“"]|$)/.exec(text)?.[0].replace(/:$/, '.') ?? text;
}

/** Pulls and passes one by one, everything else summed up. */
function sections({ stretches }: CheckedLog, style: Style): string[] {
  if (stretches.length === 0) return ['  No pull, idle, cruise, coast or pass found.'];
  const single = stretches.filter(({ kind }) => kind === 'pull' || kind === 'pass');
  const rows = single
    .slice(0, pullsShown)
    .map(({ kind, startS, endS, fromRpm, toRpm }) => [
      kind,
      startS.toFixed(1),
      endS.toFixed(1),
      fromRpm === null || toRpm === null ? '-' : `${numberText(fromRpm, 0)} to ${numberText(toRpm, 0)}`,
    ]);
  const shown =
    rows.length === 0
      ? []
      : table(
          [{ title: 'section' }, { title: 'from s', align: 'right' }, { title: 'to s', align: 'right' }, { title: 'rpm', align: 'right' }],
          rows,
          style,
        );
  const left = single.length - rows.length;
  if (left > 0) shown[shown.length - 1] += `  (and ${left} more)`;
  const sums = (['idle', 'cruise', 'coast'] as const).flatMap((kind) => {
    const some = stretches.filter((stretch) => stretch.kind === kind);
    const seconds = some.reduce((sum, { startS, endS }) => sum + endS - startS, 0);
    return some.length === 0 ? [] : [`${kind} ${numberText(seconds, 0)} s in ${some.length} ${some.length === 1 ? 'section' : 'sections'}`];
  });
  return [...shown, ...(sums.length === 0 ? [] : [`  ${sums.join(', ')}`])];
}

/** The channels that need a look, then the others in the file's order, as many as there is room for. */
function channelLines({ channels, rows }: CheckedLog, room: number, style: Style): string[] {
  const plain = (text: string, longest?: number) => shownBy(inertText(text, longest), style);
  const values = channels.filter(({ quantity }) => quantity !== 'time');
  const known = values.filter(({ quantity }) => quantity !== null);
  const odd = (channel: (typeof values)[number]): boolean => channel.standing === 'guessed' || channel.missing > 0.01 * rows;
  const weight = (channel: (typeof values)[number]): number => (odd(channel) ? 0 : 1 + importance(channel.quantity!));
  const fits = room - 1 >= known.length + (known.length < values.length ? 1 : 0);
  const most = fits ? known.length : Math.max(1, room - 2);
  const chosen = new Set([...known].sort((a, b) => weight(a) - weight(b)).slice(0, most));
  const shown = known.filter((channel) => chosen.has(channel));
  const lines =
    shown.length === 0
      ? []
      : table(
          [
            { title: 'column', flexible: true },
            { title: 'read as' },
            { title: 'updates', align: 'right' },
            { title: 'missing', align: 'right' },
            { title: '' },
          ],
          shown.map(({ name, quantity, unit, reference, standing, refreshS, missing }) => [
            plain(name, 60),
            plain(unit === '' ? quantity! : `${quantity}, ${unitText(unit, reference)}`, 60),
            refreshS === null ? '-' : updatesText(refreshS.median),
            numberText(missing, 0),
            standing === 'guessed' || standing === 'stated' ? `(${standing})` : '',
          ]),
          style,
        );
  const more = known.length - shown.length;
  const unknown = values.length - known.length;
  const guessed = known.filter((channel) => channel.standing === 'guessed' && !chosen.has(channel)).length;
  const rest = [
    ...(more > 0 ? [`${more} more${guessed === 0 ? ', all recognized' : `, ${guessed} of them guessed`}`] : []),
    ...(unknown > 0 ? [`${unknown} not used`] : []),
  ];
  return rest.length === 0 ? lines : [...lines, plain(`  … and ${rest.join('; ')}: --all`)];
}

/** Channels that most answers rest on, most first. */
const important: readonly string[] = [
  'engine-speed',
  'road-speed',
  'gps-speed',
  'pedal',
  'throttle',
  'manifold-pressure',
  'lambda',
  'intake-temperature',
];

function importance(quantity: string): number {
  const at = important.indexOf(quantity);
  return at < 0 ? important.length : at;
}

/** How often a channel is new: `20/s`, or `every 1.3 s`. */
function updatesText(medianS: number): string {
  if (!(medianS > 0)) return '-';
  return medianS > 0.7 ? `every ${Number(medianS.toPrecision(2))} s` : `${Number((1 / medianS).toPrecision(2))}/s`;
}

function factLines({ rows, rowsDropped, durationS, dialect }: CheckedLog, style: Style): string[] {
  const dropped = rowsDropped === 0 ? '' : ` (${numberText(rowsDropped, 0)} skipped)`;
  const lasting = durationS === null ? '' : `, ${numberText(durationS, 1)} s`;
  return wrapped(shownBy(`${numberText(rows, 0)} rows${dropped}${lasting}; ${dialectText(dialect!)}`, style), style.width, '  ');
}
