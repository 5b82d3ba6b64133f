import type {
  ChangedBesides,
  ComparisonResult,
  CurveResult,
  Finding,
  OverallResult,
  PullResult,
  Region,
  RunResult,
  SetupResult,
  StatedValue,
  TrialResult,
  WarningLine,
} from '@pullproof/core';
import { inventedRoutes, inventedSheet, inventedSupply, inventedTopEnd } from './inventedParts.js';

// Everything in this file is invented: car, numbers, sentences. It exists to see how a result is shown, and says nothing about how one is worked out.

/** One setup of an invented trial. `gainW` is added to the invented base power at each engine speed. */
export interface InventedSetup {
  readonly name: string;
  readonly gainW?: (rpm: number) => number;
  readonly pulls?: number;
  readonly leftOut?: string;
  readonly outing?: string;
  readonly boostPa?: number;
  readonly chargeStartK?: number | null;
  readonly missing?: Partial<Record<keyof SetupResult['curves'], string>>;
  readonly correction?: RunResult['correction'];
  readonly log?: string;
}

const stated = (value: number | null, spread: number | null, unit: string, standing: StatedValue['standing']): StatedValue => ({
  value,
  spread,
  unit,
  standing,
});
const grid = (from: number, to: number, step: number): number[] =>
  Array.from({ length: Math.floor((to - from) / step) + 1 }, (_, index) => from + index * step);
const speeds = grid(2500, 6400, 100);
/** Repeatable wobble between -1 and 1; no randomness. */
const wobble = (seed: number, at: number): number => Math.sin(seed * 12.9898 + at * 0.0021) * Math.cos(seed * 4.1414 + at * 0.00097);
const basePowerW = (rpm: number): number => 245_000 * (1 - ((rpm - 6100) / 6100) ** 2) - 8_000;
export const bump =
  (heightW: number, centreRpm: number, widthRpm: number): ((rpm: number) => number) =>
  (rpm) =>
    heightW * Math.exp(-(((rpm - centreRpm) / widthRpm) ** 2));

function curve(value: readonly (number | null)[], halfWidth: (index: number) => number, bound: CurveResult['bound'] = null): CurveResult {
  const moved = (sign: number): (number | null)[] => value.map((at, index) => (at === null ? null : at + sign * halfWidth(index)));
  const part = (share: number): (number | null)[] => value.map((at, index) => (at === null ? null : share * halfWidth(index)));
  return {
    engineSpeedRpm: speeds,
    value,
    low: moved(-1),
    high: moved(1),
    level: 0.95,
    simultaneous: false,
    bound,
    parts: { noise: part(0.2), pullToPull: part(0.6), inputs: part(0.75) },
  };
}

const noCurve = (status: string): CurveResult => ({
  engineSpeedRpm: [],
  value: [],
  low: [],
  high: [],
  level: 0.95,
  simultaneous: false,
  bound: null,
  status,
});

function inventedPull(setup: InventedSetup, index: number, place: number, used: boolean): PullResult {
  const log = setup.log ?? `${setup.name.replace(/[^a-z0-9]+/gi, '-').toLowerCase()}-${place < 2 ? 'a' : 'b'}.csv`;
  const durationS = 7.4 + 0.2 * wobble(index, place);
  const timeS = Array.from({ length: 110 }, (_, at) => Number((-1 + at * ((durationS + 2.2) / 109)).toFixed(3)));
  const fromRpm = used ? 2430 : 3100;
  const rpmAt = (time: number): number => {
    if (time < 0) return fromRpm + 12 * Math.sin(time * 9);
    const full = fromRpm + (6480 - fromRpm) * (time / durationS) ** 0.92;
    return time > durationS ? 6480 - (time - durationS) * 1500 : used ? full : Math.min(full, 4700);
  };
  const rpm = timeS.map((time) => Number(rpmAt(time).toFixed(0)));
  const scale = 1 + 0.008 * wobble(index + 3, place * 900);
  const start = setup.chargeStartK === undefined ? 311 + index * 1.5 : setup.chargeStartK;
  return {
    log,
    outing: setup.outing ?? 'saturday',
    gear: 3,
    startS: 41.2 + place * 88.4,
    endS: 41.2 + place * 88.4 + durationS,
    fromRpm: used ? 2480 : 3140,
    toRpm: used ? 6420 : 4690,
    massKg: 1662 - place * 0.4,
    airDensityKgPerM3: 1.158,
    speedSource: 'engine speed in gear 3, calibrated to road speed (factor 1.004)',
    scale: used && (setup.pulls ?? 3) > 1 ? scale : null,
    used,
    cutReason: used ? null : (setup.leftOut ?? null),
    startChargeTemperatureK: start === null ? null : start + place * 2.4 + wobble(index, place),
    endChargeTemperatureK: start === null ? null : start + 19 + place * 2.2,
    leanestLambda: 0.83,
    largestKnockRetardDeg: 0,
    wheelPowerW: {
      engineSpeedRpm: speeds,
      value: used
        ? speeds.map((at) => (basePowerW(at) + (setup.gainW?.(at) ?? 0)) * scale * (1 + 0.004 * wobble(place + index * 7, at)))
        : speeds.map(() => null),
    },
    trace: {
      timeS,
      engineSpeedRpm: rpm.map((value, at) => (at === 40 && place === 1 ? null : value)),
      roadSpeedMps: rpm.map((value) => value * 0.00652),
      kept: timeS.map((time) => (used && time >= 0.2 && time <= durationS ? 1 : 0)),
    },
  };
}

function inventedRun(setup: InventedSetup, log: string): RunResult {
  return {
    log,
    outing: setup.outing ?? 'saturday',
    when: '2026-05-02T18:20',
    direction: 'north',
    air: {
      temperatureK: stated(295.15, 0.6, 'K', 'entered'),
      stationPressurePa: stated(99_200, 60, 'Pa', 'entered'),
      relativeHumidity: stated(0.45, 0.05, '1', 'entered'),
      densityKgPerM3: stated(1.1652, 0.0031, 'kg/m³', 'model'),
    },
    windMps: stated(0, 1.2, 'm/s', 'assumed'),
    grade: stated(0, 0.003, '1', 'assumed'),
    ledger: [
      { item: 'car', massKg: 1547.8, standing: 'entered', note: 'scale 3478 lb less 40 L of fuel' },
      { item: 'driver', massKg: 82, standing: 'entered', note: '' },
      { item: 'cargo', massKg: 6, standing: 'entered', note: '' },
      { item: 'fuel', massKg: 26.1, standing: 'entered', note: '35 L at 0.745 kg/L' },
    ],
    massKg: stated(1661.9, 6.2, 'kg', 'entered'),
    ...(setup.correction === undefined ? {} : { correction: setup.correction }),
  };
}

function inventedSetup(setup: InventedSetup, index: number): SetupResult {
  const count = setup.pulls ?? 3;
  const pulls = Array.from({ length: count }, (_, place) => inventedPull(setup, index, place, true));
  if (setup.leftOut !== undefined) pulls.push(inventedPull(setup, index, count, false));
  const power = speeds.map((rpm) => (count === 0 ? null : basePowerW(rpm) + (setup.gainW?.(rpm) ?? 0)));
  const torque = power.map((watts, at) => (watts === null ? null : watts / ((speeds[at]! * 2 * Math.PI) / 60)));
  const boost = setup.boostPa ?? 62_000 + index * 6_000;
  const pressure = speeds.map((rpm) => 99_200 + boost * (0.72 + 0.28 * ((rpm - 2500) / 3900)) + 900 * wobble(index, rpm));
  const lambda = speeds.map((rpm) => 0.82 - 0.02 * ((rpm - 2500) / 3900) + 0.004 * wobble(index + 1, rpm * 2));
  const temperature = speeds.map((rpm) => 312 + index * 1.5 + 18 * ((rpm - 2500) / 3900));
  const made = (name: keyof SetupResult['curves'], build: () => CurveResult): CurveResult => {
    const status = setup.missing?.[name];
    return status === undefined ? build() : noCurve(status);
  };
  return {
    name: setup.name,
    runs: [...new Set(pulls.map((pull) => pull.log))].map((log) => inventedRun(setup, log)),
    pulls,
    curves: {
      wheelPowerW: made('wheelPowerW', () => curve(power, (at) => (count > 1 ? 5200 : 9800) + 0.8 * (speeds[at]! - 2500))),
      wheelTorqueNm: made('wheelTorqueNm', () => curve(torque, (at) => 16 - 0.001 * (speeds[at]! - 2500))),
      manifoldPressurePa: made('manifoldPressurePa', () => curve(pressure, () => 1800, pressure.at(-1)! > 190_000 ? 'at-least' : null)),
      lambda: made('lambda', () => curve(lambda, () => 0.008)),
      chargeTemperatureK: made('chargeTemperatureK', () => curve(temperature, () => 2)),
      sparkAdvanceDeg: made('sparkAdvanceDeg', () => noCurve('spark advance was not logged')),
    },
    repeatability: count > 1 ? stated(0.0071, 0.0021, '1', 'measured') : stated(0.01, 0.005, '1', 'assumed'),
  };
}

export interface InventedComparison {
  readonly before: number;
  readonly after: number;
  readonly regions: readonly Region[];
  readonly halfWidthW?: number;
  readonly air?: readonly [number, number] | null;
  readonly changedBesides?: readonly ChangedBesides[];
  readonly status?: string;
  readonly overall: Omit<OverallResult, 'before' | 'after'>;
}

function inventedComparison(setups: readonly InventedSetup[], comparison: InventedComparison): ComparisonResult {
  const [before, after] = [setups[comparison.before]!, setups[comparison.after]!];
  const shown = comparison.status === undefined ? speeds : [];
  const difference = shown.map(
    (rpm) => (after.gainW?.(rpm) ?? 0) - (before.gainW?.(rpm) ?? 0) + 350 * wobble(comparison.after + 2, rpm * 3),
  );
  const halfWidth = (rpm: number): number => (comparison.halfWidthW ?? 5000) + 0.35 * Math.abs(rpm - 4300);
  const air = comparison.air === undefined ? ([-0.0035, 0.0012] as const) : comparison.air;
  const airAt = (end: 0 | 1): (number | null)[] => shown.map((rpm) => (air === null ? null : air[end] * basePowerW(rpm)));
  return {
    before: before.name,
    after: after.name,
    wheelPowerW: {
      engineSpeedRpm: shown,
      difference,
      low: shown.map((rpm, at) => difference[at]! - halfWidth(rpm)),
      high: shown.map((rpm, at) => difference[at]! + halfWidth(rpm)),
      level: 0.95,
      simultaneous: true,
      airCouldExplainW: airAt(1),
      airLowW: airAt(0),
      airHighW: airAt(1),
      ...(comparison.status === undefined ? {} : { status: comparison.status }),
    },
    regions: comparison.regions,
    changedBesides: comparison.changedBesides ?? [],
    bandParts: [
      { name: 'pull to pull', share: 0.0071, standing: 'measured' },
      { name: 'outing to outing', share: 0.0058, standing: 'assumed' },
      { name: 'wind', share: 0.0031, standing: 'assumed' },
      { name: 'mass, difference between runs', share: 0.0012, standing: 'entered' },
      { name: 'reading noise', share: 0.0009, standing: 'measured' },
    ],
  };
}

export const nothingAlarming: WarningLine = {
  level: 'nothing alarming seen',
  sentence:
    'Nothing alarming was seen in what was logged: leanest lambda 0.83 against a limit of 0.86, no knock retard, charge heat up to 134 °F.',
  details: [
    { quantity: 'lambda', level: 'nothing alarming seen', text: 'leanest 0.83 at 2,900 rpm; target 0.80, leanest allowed 0.86' },
    { quantity: 'knock', level: 'nothing alarming seen', text: 'no retard above 0 deg in six pulls' },
    { quantity: 'charge temperature', level: 'nothing alarming seen', text: 'up to 134 °F at the end of a pull' },
  ],
};

export const stopLine: WarningLine = {
  level: 'stop',
  sentence:
    'Stop: lambda rose to 0.94 at 5,900 rpm with 70 mm pulley, leaner than the 0.86 you named. Find the cause before another full-load pull.',
  details: [
    { quantity: 'lambda', level: 'stop', text: 'leanest 0.94 at 5,900 rpm in 70-mm-b.csv; leanest allowed 0.86' },
    { quantity: 'knock', level: 'not measured', text: 'no knock channel in any log' },
    { quantity: 'charge temperature', level: 'nothing alarming seen', text: 'up to 134 °F at the end of a pull' },
  ],
};

export const notMeasured: WarningLine = {
  level: 'not measured',
  sentence: 'Not measured: no log has lambda, knock or charge temperature, so nothing can be said about the mixture or knock.',
  details: [
    { quantity: 'lambda', level: 'not measured', text: 'no lambda channel in any log' },
    { quantity: 'knock', level: 'not measured', text: 'no knock channel in any log' },
    { quantity: 'charge temperature', level: 'not measured', text: 'no charge temperature channel in any log' },
  ],
};

export interface InventedTrial {
  readonly title: string;
  readonly units?: TrialResult['units'];
  readonly setups: readonly InventedSetup[];
  readonly comparisons: readonly InventedComparison[];
  readonly warning?: WarningLine;
  readonly findings?: readonly Finding[];
  /** Parts of later pages: made for every setup where given; the text goes through it. */
  readonly laterParts?: { readonly words?: (text: string) => string; readonly known?: boolean };
}

/** A whole result from a short description. Invented. */
export function inventedResult(trial: InventedTrial): TrialResult {
  const { laterParts } = trial;
  const setups = trial.setups.map(inventedSetup).map((setup) =>
    laterParts === undefined
      ? setup
      : {
          ...setup,
          fuelSupply: inventedSupply(laterParts.known ?? true, laterParts.words),
          routes: inventedRoutes(laterParts.words),
          changeSheet: inventedSheet(laterParts.words),
        },
  );
  const nameAt = (place: number): string => trial.setups[place]!.name;
  return {
    ...(laterParts === undefined
      ? {}
      : {
          topEnd: inventedTopEnd(
            trial.setups.map(({ name }) => name),
            trial.comparisons.map(({ before, after }) => [nameAt(before), nameAt(after)] as const),
            laterParts.words,
          ),
        }),
    schema: 'pullproof/result@1',
    title: trial.title,
    units: trial.units ?? 'imperial',
    provenance: {
      version: '0.1.0',
      inputs: setups
        .flatMap((setup) => setup.runs)
        .map((run, index) => ({
          path: run.log,
          sha256: index.toString(16).padStart(2, '0').repeat(32),
          rows: 6120 + index * 31,
          rowsDropped: index === 1 ? 3 : 0,
        })),
      settings: { level: 0.95, seed: 1, 'outing-component': 0.01 },
    },
    overall: trial.comparisons.map((comparison) => ({
      before: trial.setups[comparison.before]!.name,
      after: trial.setups[comparison.after]!.name,
      ...comparison.overall,
    })),
    warning: trial.warning ?? nothingAlarming,
    setups,
    comparisons: trial.comparisons.map((comparison) => inventedComparison(trial.setups, comparison)),
    assumptions: [
      {
        quantity: 'rotating factor, gear 3',
        value: 1.075,
        unit: '1',
        spread: 0.02,
        source: 'published default',
        where: 'every run',
        field: 'car.wheel-inertia',
      },
      {
        quantity: 'wind',
        value: 0,
        unit: 'm/s',
        spread: 1.2,
        source: 'plain default: calm, not known',
        where: 'every run',
        field: 'runs[].wind',
      },
      { quantity: 'grade', value: 0, unit: '1', spread: 0.003, source: 'plain default: level road', where: 'every run', field: null },
      {
        quantity: 'outing to outing, share of power',
        value: 0.01,
        unit: '1',
        spread: null,
        source: 'common practice, no source',
        where: 'trial',
      },
    ],
    findings: trial.findings ?? [
      {
        code: 'ASSUMED_WIND',
        severity: 'note',
        message: 'Wind was not entered: calm is assumed, with a spread of 2.7 mph.',
        where: { field: 'setups[0].runs[0].wind' },
        fix: 'Enter the wind, or pair pulls of both directions on one road.',
      },
      {
        code: 'W_MISSING_TOKENS',
        severity: 'warning',
        message: 'Column Lambda has 14 cells with `---`: they are read as missing.',
        where: { path: '70-mm-pulley-a.csv', channel: 'Lambda' },
        fix: 'Nothing to do unless they fall inside a pull.',
        count: 14,
      },
    ],
  };
}
