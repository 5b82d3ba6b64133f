import type { CheckedLog } from '../../result/index.js';
import type { DraftGroup, DraftValue, TrialDraft } from '../file/draft.js';
import { fillInMark } from '../file/fillInMark.js';
import { columnLines, seenInLog, unknownColumns } from './columnLines.js';
import { fieldLine, flow, groupLines, type TemplateField } from './draftLines.js';

/** How a trial is written. */
export interface TrialTextOptions {
  /** Whether what is asked for and not known is marked `FILL IN`; else it waits as a comment, and the file can be used as it is. Default: false. */
  readonly marks?: boolean;
  /** Logs as `checkLog` saw them: what was found in each goes into comments. Default: none. */
  readonly logs?: readonly CheckedLog[];
}

/**
 * A trial as the text of its file: what is known filled in, what is not known asked for, the rest as comments to uncomment.
 *
 * @param draft the trial as data, as from `draftFromLogs`
 * @param options see {@link TrialTextOptions}
 * @returns YAML text
 *
 * @example
 * ```ts
 * import { draftFromLogs, parseTrial, trialText, withField } from '@pullproof/core';
 * const draft = withField(draftFromLogs([{ name: 'before', logs: [{ path: 'a.csv' }] }]), 'car.weighed.mass', '3478 lb');
 * parseTrial(trialText(draft), 'trial.yaml').car.weighed?.mass.text; // => '3478 lb'
 * ```
 */
export function trialText(draft: TrialDraft, options: TrialTextOptions = {}): string {
  const { marks = false, logs = [] } = options;
  const written: Written = { marks, logs, units: draft.units === 'metric' ? 'metric' : 'us' };
  const { trial, title, units, car, outings, setups, ...rest } = draft;
  return [
    '# One question about one car. A quantity is a number and its unit: 3478 lb, 29.61 inHg, 72 degF, 9 gal, 45 %.',
    marks
      ? `# Replace each ${fillInMark}. What you do not know: delete its line; a typical value is used, and the margin grows.`
      : '# What is not in here is taken at a typical value, which widens the margin.',
    '# Lines that begin with # are not read; remove the # to use one. All fields: docs/trial-file.md.',
    `trial: ${trial}`,
    ...(title === undefined ? [] : [`title: ${flow(title)}`]),
    units === undefined ? '# units: us                 # or metric; left out, those that you write and log in' : `units: ${flow(units)}`,
    'car:',
    ...carLines((car as DraftGroup | undefined) ?? {}, written),
    ...sharedLines(rest, written),
    ...outingLines(outings as readonly DraftGroup[] | undefined, draft, written),
    'setups:',
    ...setups.flatMap((setup) => setupLines(setup, draft, written)),
    ...(setups.length > 1 ? [] : ['  # - name: after the change', '  #   runs: [{ log: after.csv }]']),
    ...columnLines(logs),
    '',
  ].join('\n');
}

type Units = 'us' | 'metric';

/** How every part is written. */
interface Written extends Required<TrialTextOptions> {
  readonly units: Units;
}

type Example = string | { readonly [units in Units]: string };
type Asked = readonly [key: string, example: Example, about?: string];

const weighed: readonly Asked[] = [
  ['mass', { us: '3478 lb', metric: '1580 kg' }, 'on a truck scale; not weighed? use weight: { brochure: 3480 lb } instead'],
  ['driver', 'out', 'in or out: was the driver in the car'],
];
const weighedToo: readonly Asked[] = [['fuel-in-tank', { us: '10.5 gal', metric: '40 L' }, 'when it was weighed']];

const carAsked: readonly Asked[] = [
  ['driver', { us: '180 lb', metric: '82 kg' }, 'with clothes'],
  ['tire', '245/45R17', 'of the driven wheels'],
  ['boost-control', 'fixed-ratio', 'none, fixed-ratio (a belt-driven blower) or controlled (a turbo)'],
];
const carToo: readonly Asked[] = [
  ['cargo', { us: '15 lb', metric: '6 kg' }, 'all else that came along'],
  ['tank', { us: '16 gal', metric: '60 L' }, 'then fuel-in-tank may be a share: 50 %'],
  ['fuel-type', '{ ethanol: 10 % }'],
  ['drag-area', '0.68 m^2', 'drag coefficient times frontal area'],
  ['gear-ratios', '[3.32, 2.08, 1.43, 1.00, 0.76]'],
  ['final-drive', '3.73'],
  ['transmission', 'manual', 'manual, dual-clutch or automatic (then lock-up: yes or no)'],
  ['driven', 'rear', 'rear, front or all'],
  ['redline', '6700 rpm'],
  ['displacement', '3.0 L'],
  ['cylinders', '6'],
  ['blower', '{ displacement: 1.32 L, crank-pulley: 150 mm, max-rotor-speed: 16000 rpm }'],
  ['injectors', '{ count: 6, flow: 550 cc/min, at-pressure: 3 bar, rail: referenced, dead-time: 0.9 ms }', 'or rail: fixed'],
  ['targets', '{ lambda: 0.80, leanest-lambda: 0.86, gauge-stoich: 14.7 }'],
  ['launch', '{ wheelbase: 2.7 m, cg-height: 0.5 m, driven-axle-share: 52 %, rpm: 3200 rpm, shift-rpm: 6500 rpm, shift-time: 0.3 s }'],
];

const air: readonly Asked[] = [
  ['temperature', { us: '72 degF', metric: '22 degC' }],
  [
    'pressure',
    { us: '29.61 inHg', metric: '99.2 kPa' },
    'the barometer where you drove, not corrected to sea level; or altimeter: 29.98 inHg and elevation: 610 ft',
  ],
  ['humidity', '45 %'],
];
const fuel: readonly Asked[] = [['fuel-in-tank', { us: '9 gal', metric: '35 L' }, 'in the pulls; where a run differs, say so there']];

/** Fields of the template, with examples in the units of the file. */
function fields(units: Units, listed: readonly Asked[], asked = true): TemplateField[] {
  return listed.map(([key, example, about]) => ({
    key,
    asked,
    example: typeof example === 'string' ? example : example[units],
    ...(about === undefined ? {} : { about }),
  }));
}

function carLines({ weighed: scale, ...car }: DraftGroup, { marks, units }: Written): string[] {
  const carFields = [...fields(units, carAsked), ...fields(units, carToo, false)];
  const scaleFields = [...fields(units, weighed), ...fields(units, weighedToo, false)];
  const known = carFields.map(({ key }) => key);
  const otherMass = ['weight', 'mass-without-fuel'].some((key) => Object.hasOwn(car, key));
  return [
    ...(otherMass ? [] : groupLines('  ', 'weighed', scaleFields, scale as DraftGroup | undefined, marks)),
    ...Object.entries(car)
      .filter(([key]) => !known.includes(key))
      .map(([key, value]) => `  ${key}: ${flow(value)}`),
    ...carFields
      .filter(({ key }) => key !== 'tire' || !['tyre', 'tyre-radius', 'tire-radius'].some((own) => Object.hasOwn(car, own)))
      .map((field) => fieldLine('  ', field, car[field.key], marks)),
  ];
}

/** What holds for all runs. */
function sharedLines(rest: DraftGroup, { marks, units }: Written): string[] {
  return [
    ...fields(units, fuel).map((field) => fieldLine('', field, rest[field.key], marks)),
    ...Object.entries(rest)
      .filter(([key]) => key !== 'fuel-in-tank')
      .map(([key, value]) => `${key}: ${flow(value)}`),
  ];
}

/** Days with their weather: those of the draft, else two to fill in, unless the weather is stated elsewhere. */
function outingLines(outings: readonly DraftGroup[] | undefined, draft: TrialDraft, { marks, units }: Written): string[] {
  const weatherFields = fields(units, air);
  const stated = [draft, ...draft.setups].some((level) => level.air !== undefined);
  if (outings === undefined && (stated || !marks)) {
    return stated
      ? []
      : ['# air: { temperature: 72 degF, pressure: 29.61 inHg, humidity: 45 % }  # also for a setup, a run or an outing by itself'];
  }
  const days = outings ?? daysToFillIn(draft);
  return [
    'outings:  # one for each trip: same road, same day, same warm-up',
    ...days.flatMap(({ name, air: weather, ...rest }, d) => [
      `  - name: ${flow(name ?? `day ${d + 1}`)}${outings === undefined && d > 0 ? '  # all on one day? delete this outing' : ''}`,
      ...groupLines('    ', 'air', weatherFields, weather as DraftGroup | undefined, marks),
      ...Object.entries(rest).map(([key, value]) => `    ${key}: ${flow(value)}`),
      ...(d === 0 ? ['    # wind: 0 mph             # headwind is positive', '    # grade: 0 %              # uphill is positive'] : []),
    ]),
  ];
}

const daysToFillIn = ({ setups }: TrialDraft): readonly DraftGroup[] =>
  setups.length > 1 ? [{ name: 'day 1' }, { name: 'day 2' }] : [{ name: 'day 1' }];

function setupLines({ name, runs, ...rest }: DraftGroup, draft: TrialDraft, { marks, logs }: Written): string[] {
  const first = draft.setups[0]?.name === name;
  const toFillIn = marks && rest.outing === undefined && draft.outing === undefined;
  return [
    `  - name: ${flow(name as DraftValue)}${marks ? '  # from the file names: call it what was fitted' : ''}`,
    ...(toFillIn
      ? [
          `    outing: ${fillInMark}  # ${daysToFillIn(draft)
            .map((day) => String(day.name))
            .join(' or ')}; may also stand in a run`,
        ]
      : []),
    ...Object.entries(rest).map(([key, value]) => `    ${key}: ${flow(value)}`),
    ...(first
      ? [
          '    # blower-pulley: 74 mm',
          '    # calibration: rev C',
          '    # changes: { parts: [74 mm pulley], fasteners: [{ where: pulley bolt, size: M8x1.25, class: 10.9, torque: 30 N m }] }',
        ]
      : []),
    '    runs:',
    ...((runs ?? []) as readonly DraftGroup[]).flatMap((run, r) => runLines(run, r === 0 && first, logs)),
  ];
}

function runLines({ log, ...rest }: DraftGroup, first: boolean, logs: readonly CheckedLog[]): string[] {
  const seen = logs.find(({ path }) => path === log);
  return [
    `      - log: ${flow(log as DraftValue)}${seen === undefined ? '' : `  # ${seenInLog(seen)}`}`,
    ...Object.entries(rest).map(([key, value]) => `        ${key}: ${flow(value)}`),
    ...(first
      ? [
          '        # direction: north        # of any run: direction, gear, kind, when, fuel-in-tank, air, wind, grade; from: 120 s to: 300 s for a part of a log',
        ]
      : []),
    ...(seen === undefined ? [] : unknownColumns(seen, logs)),
  ];
}
