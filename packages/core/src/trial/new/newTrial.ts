import type { CheckedLog } from '../../result/index.js';
import { fillInMark } from '../file/fillInMark.js';
import type { RunInputs } from '../inputs/inputs.js';

/** What a new trial file says besides what was found in the logs. */
export interface NewTrialOptions {
  /** What was stated about the form of the logs; each run will state it again. Default: nothing. */
  readonly reading?: RunInputs['reading'];
}

/**
 * Writes a trial file to fill in: the guesses about the logs are in it with their evidence, unknown columns are listed, and each value that only the owner knows is marked `FILL IN`.
 *
 * Logs whose names differ only in a last letter or number (`base-a.csv`, `base-b.csv`) are put under one setup.
 *
 * @param logs as `checkLog` saw them, at least one; paths relative to where the trial file will be
 * @param options what was stated about the form of the logs
 * @returns YAML text; with the marks filled in, or their lines taken out, it is a working trial
 *
 * @example
 * ```ts
 * import { newTrial } from '@pullproof/core';
 * const log = { path: 'base-a.csv', dialect: null, rows: 0, rowsDropped: 0, durationS: null, channels: [], stretches: [], findings: [] };
 * newTrial([log]).includes('- log: "base-a.csv"'); // => true
 * ```
 */
export function newTrial(logs: readonly CheckedLog[], options: NewTrialOptions = {}): string {
  const reading = readingLines(options.reading ?? {});
  const setups = groupedByName(logs);
  const names = [...setups.keys()];
  const title = names.length > 1 ? `${names[0]} against ${names.slice(1).join(' and ')}` : `${names[0] ?? 'Untitled'}`;
  return [
    '# A trial: one question about one car. Every quantity is a number and its unit: 3478 lb, 1580 kg, 29.61 inHg, 9 gal, 45 %.',
    `# Replace each ${fillInMark}. What you do not know: take its line out, and it is assumed with a wide spread and listed.`,
    '# Lines that begin with # are not read; take the # away to use one.',
    'trial: 1',
    `title: ${quoted(title)}`,
    '# units: imperial               # for people: metric or imperial; follows the units written here',
    ...carLines(),
    'setups:',
    ...names.flatMap((name) => setupLines(name, setups.get(name)!, reading)),
    ...(names.length > 1 ? [] : secondSetupLines()),
    '# calculated:                   # quantities of your own, by formula; see docs/trial-file.md',
    '#   throttle-loss: blower_inlet_pressure / barometric_pressure',
    '',
  ].join('\n');
}

function carLines(): string[] {
  return [
    'car:',
    '  weighed:',
    `    mass: ${fillInMark}                # on the scale, such as 3478 lb; measured mass is worth more than anything else here`,
    `    fuel-in-tank: ${fillInMark}        # when it was weighed, such as 40 L or 10.5 gal`,
    `    driver: ${fillInMark}              # was the driver in the car: in or out`,
    `  driver: ${fillInMark}                # with clothes, such as 82 kg`,
    `  cargo: ${fillInMark}                 # all else that came along, such as 6 kg; 0 kg when nothing did`,
    '  # tank: 60 L                    # lets fuel-in-tank be a share: 50 %',
    '  # fuel-type: { ethanol: 10 % }  # or { stoich-afr: 14.1 }',
    '  # drag-area: 0.68 m^2           # drag coefficient times frontal area',
    '  # rolling-coefficient: 0.0125',
    `  tyre: ${fillInMark}                  # driven axle, such as 245/45R17; or tyre-radius: 0.318 m, the rolling radius`,
    `  gear-ratios: ${fillInMark}           # first gear first, such as [3.32, 2.08, 1.43, 1.00, 0.76]`,
    `  final-drive: ${fillInMark}           # such as 3.73`,
    `  transmission: ${fillInMark}          # manual, dual-clutch or automatic`,
    `  boost-control: ${fillInMark}         # none, fixed-ratio (a belt-driven blower) or controlled (a turbo, a boost controller)`,
    '  # lock-up: yes                  # automatic: is the converter locked in the pulls',
    '  # redline: 6700 rpm',
    '  # displacement: 3.0 L',
    '  # cylinders: 6',
    '  # injectors: { count: 6, flow: 550 cc/min, at-pressure: 3 bar, rail: referenced, dead-time: 0.9 ms }  # or rail: fixed',
    '  # targets: { lambda: 0.80, leanest-lambda: 0.86, gauge-stoich: 14.7 }',
  ];
}

function setupLines(name: string, logs: readonly CheckedLog[], reading: readonly string[]): string[] {
  return [
    `  - name: ${quoted(name)}             # guessed from the file names: call it what was fitted`,
    '    # blower-pulley: 74 mm',
    '    # calibration: rev C',
    '    # changes:                   # the change sheet: what was fitted, and how tight; printed in N·m, lb ft and lb in',
    '    #   parts: [74 mm pulley]',
    '    #   fasteners:',
    '    #     - { where: pulley bolt, size: M8x1.25, class: 10.9, torque: 30 N m }  # the maker’s figure rules',
    '    #   belts: [six ribs 1805 mm long]',
    '    #   hoses: [bypass hose renewed]',
    '    #   notes: [belt tension checked cold]',
    '    runs:',
    ...logs.flatMap((log) => runLines(log, reading)),
  ];
}

function runLines(log: CheckedLog, reading: readonly string[]): string[] {
  const { dialect } = log;
  return [
    `      - log: ${quoted(log.path)}`,
    ...(dialect === null
      ? ['        # the log could not be read; see pullproof check']
      : [
          `        # ${log.rows} rows${log.durationS === null ? '' : `, ${log.durationS.toFixed(1)} s`}; columns parted by ${quoted(dialect.delimiter)}, decimals by ${quoted(dialect.decimal)}, ${inert(dialect.encoding)}`,
        ]),
    ...pullComment(log),
    `        outing: ${fillInMark}          # runs of one outing share road, day and warm-up; any name`,
    `        fuel-in-tank: ${fillInMark}    # during the pulls, such as 35 L`,
    '        air:',
    `          temperature: ${fillInMark}   # such as 22 degC`,
    `          pressure: ${fillInMark}      # station pressure, such as 99.2 kPa; from a weather report take altimeter: 29.98 inHg and elevation: 610 ft instead`,
    `          humidity: ${fillInMark}      # such as 45 %; or dew-point: 9 degC`,
    '        # when: 2026-05-02T18:20',
    '        # direction: north         # pulls of opposite directions on one road pair up',
    '        # wind: 0 m/s              # headwind positive',
    '        # grade: 0 %               # uphill positive',
    '        # from: 120 s              # only this span of the log belongs to the run',
    '        # to: 300 s',
    ...reading,
    ...channelLines(log),
  ];
}

function readingLines({ delimiter, decimal, encoding, timeUnit, rateHz, table, maxGapS }: RunInputs['reading']): string[] {
  const stated = [
    delimiter === undefined ? '' : `delimiter: ${quoted(delimiter)}`,
    decimal === undefined ? '' : `decimal: ${decimal === ',' ? 'comma' : 'point'}`,
    encoding === undefined ? '' : `encoding: ${encoding}`,
    timeUnit === undefined ? '' : `time-unit: ${timeUnit}`,
    rateHz === undefined ? '' : `rate: ${rateHz} Hz`,
    table === undefined ? '' : `table: ${table}`,
    maxGapS === undefined ? '' : `max-gap: ${maxGapS} s`,
  ].filter((one) => one !== '');
  return stated.length === 0 ? [] : [`        reading: { ${stated.join(', ')} }`];
}

function pullComment(log: CheckedLog): string[] {
  const pulls = log.stretches.filter(({ kind }) => kind === 'pull');
  if (pulls.length === 0) return ['        # no full-load pull was found in it'];
  const shown = pulls.slice(0, 8).map(({ startS, endS }) => `${startS.toFixed(1)}–${endS.toFixed(1)} s`);
  const more = pulls.length > shown.length ? ` and ${pulls.length - shown.length} more` : '';
  return [`        # ${pulls.length === 1 ? 'one full-load pull' : `${pulls.length} full-load pulls`}: ${shown.join(', ')}${more}`];
}

function channelLines(log: CheckedLog): string[] {
  const known = log.channels.filter(({ quantity }) => quantity !== null);
  const unknown = log.channels.filter(({ quantity }) => quantity === null);
  return [
    ...(known.length === 0 ? [] : ['        # recognised:']),
    ...known.map(
      ({ name, quantity, unit, evidence }) =>
        `        #   ${quoted(name)} is ${quantity}${unit === '' ? '' : `, ${inert(unit)}`} (${inert(evidence)})`,
    ),
    '        # channels:                # only what was not recognised, or recognised wrongly: quantity, unit and, for a pressure, abs or gauge',
    ...unknown.map(({ name, unit }) => `        #   ${quoted(name)}: QUANTITY ${unit === '' ? 'UNIT' : inert(unit)}`),
    ...(unknown.length === 0 ? ['        #   "Col 7": manifold-pressure kPa abs'] : []),
  ];
}

function secondSetupLines(): string[] {
  return ['  # - name: after the change', '  #   runs:', '  #     - log: after.csv'];
}

function groupedByName(logs: readonly CheckedLog[]): Map<string, CheckedLog[]> {
  const groups = new Map<string, CheckedLog[]>();
  for (const log of logs) {
    const name = setupName(log.path);
    groups.set(name, [...(groups.get(name) ?? []), log]);
  }
  return groups;
}

/** File name without folder, ending, and a last letter or number that counts runs. */
function setupName(path: string): string {
  const file = path.split(/[\\/]/).at(-1)!;
  const stem = file.replace(/\.[A-Za-z0-9]{1,4}$/, '');
  const base = stem.replace(/[-_ .]+(?:[a-z]|\d{1,3}|(?:run|pull|log)[-_ ]?\d*)$/i, '');
  return base === '' ? stem : base;
}

/** A text in double quotes that YAML reads back as it is, and that no editor or terminal acts on. */
function quoted(text: string): string {
  return escapedInvisibles(JSON.stringify(text));
}

/** A text for a comment: one line, nothing invisible. */
function inert(text: string): string {
  return escapedInvisibles(text.length > 300 ? `${text.slice(0, 299)}…` : text);
}

function escapedInvisibles(text: string): string {
  return text.replaceAll(/[\p{Cc}\p{Cf}\u2028\u2029]/gu, escaped);
}

function escaped(character: string): string {
  const code = character.codePointAt(0)!;
  return code > 0xffff ? `\\U${code.toString(16).padStart(8, '0')}` : `\\u${code.toString(16).padStart(4, '0')}`;
}
