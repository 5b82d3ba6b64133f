import {
  type AirShare,
  type ChangeSpan,
  couldExplain,
  densityExponents,
  meanOf as meanOver,
  type PowerDifference,
  spanChange,
  strongest,
} from '../../compare/index.js';
import { dragKgPerM, type PreparedPull } from '../../power/index.js';
import type { FittedSetup, TrialPull } from '../../pulls/index.js';
import { chargeTemperatures } from '../../pulls/index.js';
import type { ChangedBesides } from '../../result/index.js';
import { nullable } from '../../result/index.js';
import { STANDARD_GRAVITY } from '../../vehicle/index.js';

/** What power shows: the difference, where it changed (from `changeSpans`), and what the air could have made of it. */
export interface SeenChange {
  readonly difference: PowerDifference;
  readonly spans: readonly ChangeSpan[];
  readonly air: AirShare;
  /** Whether the verdict gives the difference to the air. */
  readonly airTold: boolean;
}

/** Conditions that differed between two setups: air, mass, fuel, tyres, direction, wind, order of pulls, calibration. */
export function conditionChanges(before: FittedSetup, after: FittedSetup, seen: SeenChange): ChangedBesides[] {
  return [
    air(before, after, seen),
    mass(before, after),
    tyres(before, after),
    direction(before, after, seen),
    fuel(before, after, seen),
    calibration(before, after),
    startHeat(before, after, seen),
    order(before, after),
  ].filter((change) => change !== null);
}

function meanOf(setup: FittedSetup, value: (pull: TrialPull) => number): number {
  return setup.used.reduce((sum, pull) => sum + value(pull), 0) / setup.used.length;
}

/** Judges an effect where power changed: the strongest answer of those places, with the effect there. */
function judged(
  { difference, spans }: SeenChange,
  effect: (beforeW: number, span: ChangeSpan) => readonly [oneEndW: number, otherEndW: number],
): Pick<ChangedBesides, 'couldExplain' | 'couldExplainW' | 'spanRpm'> {
  const answers = spans.map((span) => {
    const { beforeW, changeW, halfW } = spanChange(difference, span);
    const [one, other] = effect(beforeW, span);
    const most = Math.abs(other) > Math.abs(one) ? other : one;
    const answer = couldExplain(changeW, halfW, Math.min(one, other), Math.max(one, other));
    return { couldExplain: answer, couldExplainW: nullable(most), spanRpm: span.spanRpm };
  });
  return strongest(answers)!;
}

function air(before: FittedSetup, after: FittedSetup, seen: SeenChange): ChangedBesides | null {
  const a = meanOf(before, (pull) => pull.run.inputs.airDensityKgPerM3.value);
  const b = meanOf(after, (pull) => pull.run.inputs.airDensityKgPerM3.value);
  if (Math.abs(b / a - 1) < 0.001 && !seen.airTold) return null;
  const exponents = densityExponents(after.used[0]!.run.inputs.boostControl);
  return {
    quantity: 'air-density',
    before: a,
    after: b,
    unit: 'kg/m³',
    ...judged(seen, (_, { from, to }) => [meanOver(seen.air.lowW, from, to), meanOver(seen.air.highW, from, to)]),
    reason: `${exponents.reason} (power ∝ density to the ${exponents.low}–${exponents.high}, common practice, no source)`,
  };
}

function mass(before: FittedSetup, after: FittedSetup): ChangedBesides | null {
  const a = meanOf(before, (pull) => pull.run.inputs.massKg.value);
  const b = meanOf(after, (pull) => pull.run.inputs.massKg.value);
  if (Math.abs(b - a) < 1) return null;
  return {
    quantity: 'mass',
    before: a,
    after: b,
    unit: 'kg',
    couldExplain: 'no',
    reason: 'the mass ledger is in the calculation; only an error in it could',
    couldExplainW: null,
  };
}

function tyres(before: FittedSetup, after: FittedSetup): ChangedBesides | null {
  const a = meanOf(before, (pull) => pull.run.inputs.tyreRadiusM.value);
  const b = meanOf(after, (pull) => pull.run.inputs.tyreRadiusM.value);
  if (Math.abs(a - b) < 1e-6) return null;
  return {
    quantity: 'tyre-radius',
    before: a,
    after: b,
    unit: 'm',
    couldExplain: 'cannot tell',
    reason: 'other tyres change speed scale, rolling resistance and wheel inertia; only the radius is in the calculation',
    couldExplainW: null,
  };
}

/** Opposite directions see the road's slope and the wind the other way round, twice what is entered or assumed. */
function direction(before: FittedSetup, after: FittedSetup, seen: SeenChange): ChangedBesides | null {
  const names = (setup: FittedSetup): string =>
    [...new Set(setup.used.map((pull) => pull.run.inputs.direction).filter((name) => name !== null))].sort().join(' and ');
  const a = names(before);
  const b = names(after);
  if (a === b || a === '' || b === '') return null;
  const pull = after.used[0]!;
  const prepared: PreparedPull = pull.prepared!;
  const { conditions, motion } = prepared;
  const mostW = ({ from, to }: ChangeSpan): number => {
    const speedMps = seen.difference.engineSpeedRpm[(from + to) >> 1]! / motion.rpmPerMps;
    const gradeW = 2 * conditions.massKg.value * STANDARD_GRAVITY * speedMps * conditions.grade.spread;
    const windW = 2 * 2 * dragKgPerM(conditions) * speedMps ** 2 * conditions.windMps.spread;
    return Math.hypot(gradeW, windW);
  };
  return {
    quantity: 'direction',
    before: null,
    after: null,
    unit: '',
    ...judged(seen, (_, span) => [mostW(span), -mostW(span)]),
    reason: `${a} before, ${b} after: slope and wind work the other way round, up to what is entered or assumed of them`,
  };
}

function fuel(before: FittedSetup, after: FittedSetup, seen: SeenChange): ChangedBesides | null {
  const a = meanOf(before, (pull) => pull.run.inputs.stoichAfr.value);
  const b = meanOf(after, (pull) => pull.run.inputs.stoichAfr.value);
  if (Math.abs(a - b) < 0.05) return null;
  return {
    quantity: 'fuel',
    before: a,
    after: b,
    unit: 'stoichiometric air-fuel ratio',
    ...judged(seen, (beforeW) => [0.05 * beforeW, -0.05 * beforeW]),
    reason: 'another fuel changes knock limit, charge cooling and energy by up to some 5 % (common practice, no source)',
  };
}

function calibration(before: FittedSetup, after: FittedSetup): ChangedBesides | null {
  const name = (setup: FittedSetup): string | null => setup.used[0]!.run.inputs.calibration;
  const a = name(before);
  const b = name(after);
  if (a === b || a === null || b === null) return null;
  return {
    quantity: 'calibration',
    before: null,
    after: null,
    unit: '',
    couldExplain: 'cannot tell',
    reason: `${a} before, ${b} after: a part and a calibration changed together cannot be told apart`,
    couldExplainW: null,
  };
}

/** Charge at the start of a pull tells how hot the car was; about 0.15 % of power a kelvin, common practice, no source. */
function startHeat(before: FittedSetup, after: FittedSetup, seen: SeenChange): ChangedBesides | null {
  const start = (setup: FittedSetup): number | null => startTemperatureK(setup);
  const a = start(before);
  const b = start(after);
  if (a === null || b === null || Math.abs(b - a) < 3) return null;
  return {
    quantity: 'charge-temperature-at-start',
    before: a,
    after: b,
    unit: 'K',
    ...judged(seen, (beforeW) => [-0.003 * (b - a) * beforeW, 0]),
    reason: 'a pull that starts hot makes less, up to some 0.3 % a kelvin (common practice, no source)',
  };
}

function startTemperatureK(setup: FittedSetup): number | null {
  const starts = setup.used.map((pull) => chargeTemperatures(pull).start).filter((value) => value !== null);
  return starts.length === 0 ? null : starts.reduce((sum, value) => sum + value, 0) / starts.length;
}

/** All pulls of one setup before all of the other: whatever drifts with time goes into the difference. */
function order(before: FittedSetup, after: FittedSetup): ChangedBesides | null {
  const times = (setup: FittedSetup): number[] =>
    setup.runs.map(({ inputs }) => (inputs.when === null ? Number.NaN : Date.parse(inputs.when))).filter((value) => !Number.isNaN(value));
  const a = times(before);
  const b = times(after);
  if (a.length === 0 || b.length === 0) return null;
  const alternates = Math.min(...b) < Math.max(...a) && Math.min(...a) < Math.max(...b);
  if (alternates) return null;
  return {
    quantity: 'order',
    before: null,
    after: null,
    unit: '',
    couldExplain: 'cannot tell',
    reason: 'every run of one setup came before every run of the other: warm-up, fuel and weather that drift go into the difference',
    couldExplainW: null,
  };
}
