import { bandPartNames, type PowerDifference } from '../../compare/index.js';
import type { PullPoint, Repeatability } from '../../power/index.js';
import type { FittedSetup, TrialPull } from '../../pulls/index.js';
import type { Budget, BudgetCheck, BudgetPart, Standing } from '../../result/index.js';
import { checkByDraws } from './budgetCheck.js';
import { remedyFor } from './remedies.js';

interface KnownInput {
  readonly value: number;
  readonly spread: number;
  readonly unit: string;
  readonly standing: Standing;
}

/** How an input of a pull is known. */
function inputOf(name: string, { run, prepared }: TrialPull): KnownInput | null {
  const { inputs } = run;
  const { conditions } = prepared!;
  switch (name) {
    case 'mass':
      return { value: inputs.massKg.value, spread: conditions.massKg.spread, unit: 'kg', standing: inputs.massKg.standing };
    case 'fuel and cargo': {
      const own = inputs.ledger.filter(({ item }) => item.includes('fuel') || item.includes('cargo'));
      const standing = own.some((item) => item.standing === 'assumed') ? 'assumed' : 'entered';
      return { value: own.reduce((sum, { massKg }) => sum + massKg, 0), spread: inputs.massOwnSpreadKg, unit: 'kg', standing };
    }
    case 'rotating parts':
      return { ...conditions.rotatingFactor, unit: '1', standing: rotatingStanding(inputs.rotating) };
    case 'drag area':
      return { ...inputs.dragAreaM2, unit: 'm²' };
    case 'air density':
      return { ...inputs.airDensityKgPerM3, unit: 'kg/m³' };
    case 'rolling resistance':
      return { ...inputs.rollingCoefficient, unit: '1' };
    case 'wind':
      return { ...inputs.windMps, unit: 'm/s' };
    case 'grade':
      return { ...inputs.grade, unit: '1' };
    case 'speed scale, tyre slip and growth':
      return { value: 1, spread: conditions.speedScaleSpread, unit: '1', standing: 'assumed' };
    default:
      return null;
  }
}

/** Standing of an input over several pulls: as good as the worst; assumed where there is none. */
export function inputStanding(name: string, pulls: readonly TrialPull[]): Standing {
  if (pulls.length === 0) return 'assumed';
  const standings = pulls.map((pull) => inputOf(name, pull)?.standing ?? 'assumed');
  for (const standing of ['assumed', 'entered'] as const) if (standings.includes(standing)) return standing;
  return 'measured';
}

function partOf(name: string, contributionW: number, pulls: readonly TrialPull[], spread: Repeatability): Omit<BudgetPart, 'share'> {
  const repeats: Readonly<Record<string, KnownInput>> = {
    [bandPartNames.pulls]: { value: 0, spread: spread.pullToPull, unit: '1', standing: spread.pullMeasured ? 'measured' : 'assumed' },
    [bandPartNames.outings]: {
      value: 0,
      spread: spread.outingToOuting,
      unit: '1',
      standing: spread.outingMeasured ? 'measured' : 'assumed',
    },
  };
  const repeat = repeats[name];
  const known = pulls.map((pull) => inputOf(name, pull)).filter((input) => input !== null);
  const mean = (of: (input: KnownInput) => number): number => known.reduce((sum, input) => sum + of(input), 0) / known.length;
  const input = known.length === 0 ? null : { value: mean(({ value }) => value), spread: mean((one) => one.spread), unit: known[0]!.unit };
  return {
    name,
    value: input?.value ?? null,
    spread: input?.spread ?? repeat?.spread ?? null,
    unit: input?.unit ?? repeat?.unit ?? 'W',
    standing: repeat?.standing ?? (known.length === 0 ? 'measured' : inputStanding(name, pulls)),
    contributionW,
    remedy: remedyFor(name),
  };
}

function budgetOf(
  engineSpeedRpm: number,
  valueW: number,
  variances: ReadonlyMap<string, number>,
  pulls: readonly TrialPull[],
  spread: Repeatability,
): Budget {
  const total = [...variances.values()].reduce((sum, variance) => sum + variance, 0);
  const parts = [...variances]
    .filter(([, variance]) => variance > 0)
    .sort(([, a], [, b]) => b - a)
    .map(([name, variance]): BudgetPart => ({ ...partOf(name, Math.sqrt(variance), pulls, spread), share: variance / total }));
  return { engineSpeedRpm, valueW, spreadW: Math.sqrt(total), parts };
}

/** Budget of a setup's power at the engine speed of its largest power, with the check by draws; null without a curve. */
export function setupBudget(setup: FittedSetup, spread: Repeatability): (Budget & { readonly check: BudgetCheck }) | null {
  const { curve, used } = setup;
  if (curve === null) return null;
  const at = curve.wheelPowerW.indexOf(Math.max(...curve.wheelPowerW));
  const points = curve.wheelPowerW.length;
  const powerW = curve.wheelPowerW[at]!;
  const outings = new Set(used.map((pull) => pull.prepared!.outingKey)).size;
  const variances = new Map<string, number>([
    [bandPartNames.noise, powerW ** 2 * curve.noiseCovariance[at * points + at]!],
    [bandPartNames.shape, (powerW ** 2 * curve.shapeCovariance[at * points + at]!) / curve.pullCount[at]!],
    [bandPartNames.pulls, (powerW * spread.pullToPull) ** 2 / used.length],
    [bandPartNames.outings, (powerW * spread.outingToOuting) ** 2 / outings],
  ]);
  for (const { name, effectW } of curve.inputs.values()) variances.set(name, (variances.get(name) ?? 0) + effectW[at]! ** 2);
  const rpm = curve.engineSpeedRpm[at]!;
  const present = used.flatMap((pull, p): PullPoint[] => {
    const own = curve.pullPowerW[p]![at]!;
    const { conditions, motion } = pull.prepared!;
    return Number.isNaN(own) ? [] : [{ conditions, powerW: own, speedMps: rpm / motion.rpmPerMps }];
  });
  return { ...budgetOf(rpm, powerW, variances, used, spread), check: checkByDraws(present) };
}

/** Budget of a difference at the middle of the engine speeds that both setups have. */
export function differenceBudget(before: FittedSetup, after: FittedSetup, difference: PowerDifference, spread: Repeatability): Budget {
  const middle = difference.engineSpeedRpm.length >> 1;
  return budgetOf(
    difference.engineSpeedRpm[middle]!,
    difference.differenceW[middle]!,
    new Map(difference.varianceW2.map(({ name, variance }) => [name, variance[middle]!])),
    [...before.used, ...after.used],
    spread,
  );
}

/** Assumed as soon as one part of it is. */
function rotatingStanding(rotating: TrialPull['run']['inputs']['rotating']): 'assumed' | 'entered' {
  if (rotating.kind === 'factor') return 'entered';
  return rotating.engineKgM2.standing === 'entered' && rotating.wheelsKgM2.standing === 'entered' ? 'entered' : 'assumed';
}
