import { type CheckedLog, rpmText } from '@pullproof/core';
import { displayUnits, logUnits, numberText } from '@pullproof/figures';
import { dialectText, headline, nextLines, unitText, withoutPath, workLines } from './checkWords.js';
import { inertText } from './inertText.js';
import { table, wrapped } from './layout.js';
import { findingText } from './problemText.js';
import { type Style, shownBy } from './style.js';

/** Everything that was found in one log, as text for a terminal. */
export function checkDetails(log: CheckedLog, style: Style): string {
  const plain = (text: string, longest?: number) => shownBy(inertText(text, longest), style);
  const findings = log.findings.flatMap((finding) => wrapped(findingText(withoutPath(finding), style), style.width, '  ', '    '));
  const name = log.path === '-' ? 'standard input' : log.path;
  if (log.dialect === null) return `${[style.bold(plain(name)), ...findings, ''].join('\n')}\n`;
  const {
    fitness = [],
    dialect: { evidence },
  } = { ...log, dialect: log.dialect };
  const dropped = log.rowsDropped === 0 ? '' : `, ${numberText(log.rowsDropped, 0)} dropped`;
  const lines = [
    ...wrapped(plain(`${name}: ${headline(fitness)}`), style.width, '', '  ').map((line) => style.bold(line)),
    ...workLines(fitness, style),
    ...nextLines(fitness, style),
    '',
    `  ${numberText(log.rows, 0)} rows${dropped}${log.durationS === null ? '' : `, ${log.durationS.toFixed(1)} s`}`,
    ...wrapped(plain(`${dialectText(log.dialect)} (${evidence})`), style.width, '  '),
    '',
    ...table(
      [
        { title: 'column', flexible: true },
        { title: 'read as' },
        { title: 'unit' },
        { title: 'updates', align: 'right' },
        { title: 'missing', align: 'right' },
      ],
      log.channels.map(({ name, quantity, unit, reference, standing, refreshS, missing }) => [
        plain(name, 60),
        quantity === null ? 'unknown' : standing === 'recognised' ? quantity : `${quantity}, ${standing}`,
        plain(unitText(unit, reference), 16),
        refreshS === null ? '-' : plain(refreshRange(refreshS)),
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
      ? ['  No pull, idle, cruise, coast or pass found.']
      : table(
          [
            { title: 'section' },
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
    ...[...new Set(log.stretches.map(({ kind, evidence }) => `${kind}: ${evidence}`))].flatMap((line) =>
      wrapped(plain(line), style.width, '  ', '    '),
    ),
    ...factLines(log, style),
    '',
    ...findings,
    ...(findings.length === 0 ? [] : ['']),
  ];
  return `${lines.join('\n')}\n`;
}

/** Idle in numbers, and how much of its range the engine visited. */
function factLines(log: CheckedLog, style: Style): string[] {
  const { steady, coverage } = log;
  const pressure = displayUnits[logUnits(log)].pressure;
  const plain = (text: string) => shownBy(inertText(text, 400), style);
  const idle = steady?.idle ?? null;
  const idleText =
    idle === null
      ? []
      : [
          `warm idle at ${rpmText(idle.engineSpeedRpm.mean)} (spread ${numberText(idle.engineSpeedRpm.spread, 0)})${idle.manifoldPressurePa === null ? '' : `, manifold pressure ${numberText(pressure.fromSi(idle.manifoldPressurePa.mean), 1)} ${pressure.symbol} abs`}${idle.lambda === null ? '' : `, lambda ${idle.lambda.mean.toFixed(3)}`}${idle.trim === null ? '' : `, trims ${(100 * idle.trim.mean).toFixed(1)}%`}`,
        ];
  const coverageText =
    coverage === null || coverage === undefined
      ? []
      : [
          `load map: ${coverage.cells.length} cells of engine speed and ${coverage.load.replace('-', ' ')} visited, ${(100 * coverage.share).toFixed(0)}% of those between the ends`,
        ];
  return [...idleText, ...coverageText].flatMap((line) => wrapped(plain(line), style.width, '  ', '    '));
}

function refreshRange({ median, low, high }: { readonly median: number; readonly low: number; readonly high: number }): string {
  const seconds = (value: number) => Number(value.toPrecision(2)).toString();
  return seconds(low) === seconds(high) ? `every ${seconds(median)} s` : `every ${seconds(median)} s (${seconds(low)} to ${seconds(high)})`;
}
