import { type CheckedLog, rpmText } from '@pullproof/core';
import { displayUnits, logUnits, numberText } from '@pullproof/figures';
import { inertText } from './inertText.js';
import { table, wrapped } from './layout.js';
import { findingText } from './problemText.js';
import { pullCautionLines } from './pullCaution.js';
import { type Style, shownBy } from './style.js';

/** What is in one log, as text for a terminal. */
export function checkText(log: CheckedLog, style: Style): string {
  const plain = (text: string, longest?: number) => shownBy(inertText(text, longest), style);
  const findings = log.findings.flatMap((finding) => wrapped(findingText(finding, style), style.width, '  ', '    '));
  const head = style.bold(plain(log.path === '-' ? 'standard input' : log.path));
  if (log.dialect === null) return `${[head, ...findings, ''].join('\n')}\n`;
  const { delimiter, decimal, encoding, evidence } = log.dialect;
  const dropped = log.rowsDropped === 0 ? '' : `, ${numberText(log.rowsDropped, 0)} dropped`;
  const lines = [
    head,
    `  ${numberText(log.rows, 0)} rows${dropped}${log.durationS === null ? '' : `, ${log.durationS.toFixed(1)} s`}`,
    ...wrapped(
      plain(`columns parted by ${delimiterName(delimiter)}, decimal ${decimal === ',' ? 'comma' : 'point'}, ${encoding} (${evidence})`),
      style.width,
      '  ',
    ),
    '',
    ...table(
      [
        { title: 'column', flexible: true },
        { title: 'is' },
        { title: 'unit' },
        { title: 'new reading every', align: 'right' },
        { title: 'missing', align: 'right' },
      ],
      log.channels.map(({ name, quantity, unit, standing, refreshS, missing }) => [
        plain(name, 60),
        quantity === null ? 'unknown' : standing === 'recognised' ? quantity : `${quantity}, ${standing}`,
        plain(unit, 12),
        refreshS === null ? '-' : plain(refreshText(refreshS)),
        numberText(missing, 0),
      ]),
      style,
    ),
    ...log.channels
      .filter(({ standing }) => standing === 'guessed')
      .flatMap(({ name, quantity, unit, evidence }) =>
        wrapped(plain(`guessed: "${name}" is ${quantity ?? 'unknown'}, ${unit}: ${evidence}`), style.width, '  ', '    '),
      ),
    '',
    ...(log.stretches.length === 0
      ? ['  No pull, idle, cruise, coast or pass was found.']
      : table(
          [
            { title: 'stretch' },
            { title: 'from s', align: 'right' },
            { title: 'to s', align: 'right' },
            { title: 'rpm', align: 'right' },
            { title: 'rows', align: 'right' },
          ],
          log.stretches.map((stretch) => [
            stretch.kind,
            stretch.startS.toFixed(1),
            stretch.endS.toFixed(1),
            stretch.fromRpm === null || stretch.toRpm === null
              ? '-'
              : `${numberText(stretch.fromRpm, 0)} to ${numberText(stretch.toRpm, 0)}`,
            `${stretch.firstRow} to ${stretch.lastRow}`,
          ]),
          style,
        )),
    ...[...new Set(log.stretches.map(({ kind, evidence }) => `${kind} told by ${evidence}`))].flatMap((line) =>
      wrapped(plain(line), style.width, '  ', '    '),
    ),
    ...fitnessLines(log, style),
    '',
    ...findings,
    ...(findings.length === 0 ? [] : ['']),
  ];
  return `${lines.join('\n')}\n`;
}

/** What the log is fit for, and what to log next. */
function fitnessLines(log: CheckedLog, style: Style): string[] {
  const { fitness = [], steady, coverage } = log;
  const pressure = displayUnits[logUnits(log)].pressure;
  const plain = (text: string) => shownBy(inertText(text, 400), style);
  const idle = steady?.idle ?? null;
  const idleText =
    idle === null
      ? []
      : [
          `warm idle at ${rpmText(idle.engineSpeedRpm.mean)} (spread ${numberText(idle.engineSpeedRpm.spread, 0)})${idle.manifoldPressurePa === null ? '' : `, ${numberText(pressure.fromSi(idle.manifoldPressurePa.mean), 1)} ${pressure.symbol}`}${idle.lambda === null ? '' : `, lambda ${idle.lambda.mean.toFixed(3)}`}${idle.trim === null ? '' : `, trims ${(100 * idle.trim.mean).toFixed(1)} %`}`,
        ];
  const coverageText =
    coverage === null || coverage === undefined
      ? []
      : [
          `load map: ${coverage.cells.length} cells of engine speed and ${coverage.load.replace('-', ' ')} visited, ${(100 * coverage.share).toFixed(0)} % of those between the ends`,
        ];
  const lines = fitness.flatMap(({ work, verdict, found, missing, next }) => [
    ...wrapped(
      plain(`for ${work} work: ${verdict}. ${found}${missing.length === 0 ? '' : ` Missing: ${missing.join(', ')}.`}`),
      style.width,
      '  ',
      '    ',
    ),
    ...next.flatMap((text) => wrapped(plain(`log next: ${text}`), style.width, '    ', '      ')),
    ...(work === 'pull' && next.length > 0 ? pullCautionLines(style, '    ') : []),
  ]);
  const facts = [...idleText, ...coverageText].flatMap((line) => wrapped(plain(line), style.width, '  ', '    '));
  return lines.length === 0 && facts.length === 0 ? [] : ['', ...facts, ...lines];
}

function refreshText({ median, low, high }: { readonly median: number; readonly low: number; readonly high: number }): string {
  const seconds = (value: number) => Number(value.toPrecision(2)).toString();
  return low === high ? `${seconds(median)} s` : `${seconds(median)} s (${seconds(low)}–${seconds(high)})`;
}

function delimiterName(delimiter: string): string {
  const names: Readonly<Record<string, string>> = { ',': 'comma', ';': 'semicolon', '\t': 'tab', '|': 'pipe' };
  return names[delimiter] ?? delimiter;
}
