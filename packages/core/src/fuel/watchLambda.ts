import type { Finding } from '../findings/index.js';
import { missingText, pullPlace, readingName, rpmToTen, whoseLimit } from './pullPlace.js';
import { readingsAt } from './readingsAt.js';
import { sustainedHighest } from './sustained.js';
import type { AssumedLimit, WarningDetail, WarningLimits, Watched, WatchedPull } from './warningTypes.js';

/** Common practice, no source: a boosted petrol engine is run well rich of this at full load. */
const assumedLeanestBoosted = 0.9;
/** Common practice, no source. */
const assumedLeanestUnboosted = 1;
/** Common practice, no source: a twentieth leaner than wanted is no scatter of a wideband sensor. */
const leanerThanTargetShare = 0.05;
/** Manifold pressure this far above the weather's counts as boost. */
const boostedAbovePa = 5000;
/** The gas of before the throttle opened is still on its way to the sensor. */
const settleS = 0.5;

interface Lean {
  readonly pull: WatchedPull;
  readonly bank: number;
  readonly banks: number;
  readonly lambda: number;
  readonly limit: number;
  readonly rpm: number;
  readonly index: number;
  readonly boosted: boolean | null;
}

/** Mixture in the pulls: leaner than the limit, or than what was wanted, and whether that was under boost. */
export function watchLambda(pulls: readonly WatchedPull[], limits: WarningLimits): Watched {
  const findings: Finding[] = [];
  const details: WarningDetail[] = [];
  const assumptions: AssumedLimit[] = [];
  let leanest: Lean | null = null;
  let leanestOverTarget = { share: Number.NEGATIVE_INFINITY, text: '' };
  let usedAssumed: number | null = null;
  let judged = 0;
  for (const pull of pulls) {
    let judgedHere = false;
    const banks = pull.lambda ?? [];
    const pressurePa = pull.manifoldPressurePa ? readingsAt(pull.timeS, pull.manifoldPressurePa, pull.timeS) : null;
    const commanded = pull.commandedLambda ? readingsAt(pull.timeS, pull.commandedLambda, pull.timeS) : null;
    for (const [bank, values] of banks.entries()) {
      const settled = values.map((value, i) => (pull.timeS[i]! - pull.timeS[0]! >= settleS ? value : Number.NaN));
      const held = sustainedHighest(pull.timeS, settled);
      if (held === null) continue;
      judgedHere = true;
      const boosted = boostedAt(pull, pressurePa, held.index);
      const limit = limits.leanestLambda ?? (boosted === true ? assumedLeanestBoosted : assumedLeanestUnboosted);
      if (limits.leanestLambda === undefined || limits.leanestLambda === null) usedAssumed = Math.min(usedAssumed ?? limit, limit);
      const lean: Lean = {
        pull,
        bank,
        banks: banks.length,
        lambda: held.value,
        limit,
        rpm: pull.engineSpeedRpm[held.index]!,
        index: held.index,
        boosted,
      };
      if (leanest === null || lean.lambda - lean.limit > leanest.lambda - leanest.limit) leanest = lean;
      if (lean.lambda > limit) findings.push(leanFinding(lean));

      const overTarget = settled.map((value, i) => {
        const target = commanded !== null && Number.isFinite(commanded[i]!) ? commanded[i]! : (limits.targetLambda ?? Number.NaN);
        return value / target - 1;
      });
      const over = sustainedHighest(pull.timeS, overTarget);
      if (over === null) continue;
      const target = settled[over.index]! / (1 + overTarget[over.index]!);
      const text = `${(100 * over.value).toFixed(1)} % leaner than the ${target.toFixed(2)} wanted (${readingName(pull, over.index)}, ${rpmToTen(pull.engineSpeedRpm[over.index]!)})`;
      if (over.value > leanestOverTarget.share) leanestOverTarget = { share: over.value, text };
      if (over.value > leanerThanTargetShare) {
        const boostedHere = boostedAt(pull, pressurePa, over.index);
        findings.push({
          code: 'W_LEANER_THAN_TARGET',
          severity: 'warning',
          message: `The mixture was ${text}${bankText(bank, banks.length)}${boostedHere === true ? ', under boost' : ''}. Less fuel than planned reaches the engine.`,
          where: pullPlace(pull, over.index),
          fix: 'Have the fuelling corrected before the next full-load pull; the measured error table shows where.',
        });
      }
    }
    if (judgedHere) judged += 1;
  }
  if (usedAssumed !== null && judged > 0) {
    assumptions.push({
      quantity: 'leanest lambda allowed at full load',
      value: usedAssumed,
      unit: '1',
      spread: null,
      source: 'common practice, no source',
      where: 'every pull',
      field: 'car.targets.leanest-lambda',
    });
  }
  const doubt = pulls.find(({ lambdaDoubt }) => lambdaDoubt !== undefined && lambdaDoubt !== null)?.lambdaDoubt ?? null;
  const told = { findings, assumed: usedAssumed !== null };
  details.push(lambdaDetail({ pulls: pulls.length, judged, doubt }, leanest, leanestOverTarget, told));
  return { details, findings, assumptions, ...(doubt === null ? {} : { remark: `Lambda was logged, but ${doubt}.` }) };
}

function lambdaDetail(
  { pulls, judged, doubt }: { readonly pulls: number; readonly judged: number; readonly doubt: string | null },
  leanest: Lean | null,
  overTarget: { readonly share: number; readonly text: string },
  { findings, assumed }: { readonly findings: readonly Finding[]; readonly assumed: boolean },
): WarningDetail {
  if (leanest === null && doubt !== null) {
    const text = `Lambda was not measured: ${doubt}. Whether the engine ran lean is unknown. Fix that, or log a wideband sensor, before going on.`;
    return { quantity: 'lambda', level: 'not measured', text };
  }
  if (leanest === null) {
    const text = 'Lambda was not logged in the pulls: whether the engine ran lean is unknown. Log a wideband sensor before going on.';
    return { quantity: 'lambda', level: 'not measured', text };
  }
  const missing = missingText(pulls, judged);
  const at = `${readingName(leanest.pull, leanest.index)}, ${rpmToTen(leanest.rpm)}`;
  if (leanest.lambda > leanest.limit) {
    const text = `Lambda reached ${leanest.lambda.toFixed(2)}${bankText(leanest.bank, leanest.banks)}, leaner than the limit of ${leanest.limit.toFixed(2)} (${whoseLimit(assumed)})${leanest.boosted === true ? ', under boost' : ''} (${at}).${missing}`;
    return { quantity: 'lambda', level: 'stop', text };
  }
  if (findings.length > 0) return { quantity: 'lambda', level: 'stop', text: `The mixture was ${overTarget.text}.${missing}` };
  // Boost that nobody logged is no reason for the looser limit.
  if (assumed && leanest.boosted === null && leanest.lambda > assumedLeanestBoosted) {
    const text = `Leanest lambda held was ${leanest.lambda.toFixed(2)} (${at}): fine without boost, too lean with it (limits ${assumedLeanestUnboosted.toFixed(2)} and ${assumedLeanestBoosted.toFixed(2)}, assumed). Log manifold pressure, or enter your limit.${missing}`;
    return { quantity: 'lambda', level: 'not measured', text };
  }
  const beside = overTarget.share > leanerThanTargetShare / 2 ? ` At most ${overTarget.text}: tell the tuner.` : '';
  const text = `Leanest lambda held was ${leanest.lambda.toFixed(2)}, limit ${leanest.limit.toFixed(2)} (${whoseLimit(assumed)}; ${at}).${beside}${missing}`;
  if (doubt === null) return { quantity: 'lambda', level: 'nothing alarming seen', text };
  return { quantity: 'lambda', level: 'not measured', text: `In some pulls lambda was not measured: ${doubt}. In the others: ${text}` };
}

function leanFinding(lean: Lean): Finding {
  const { pull, lambda, limit, boosted, rpm } = lean;
  return {
    code: boosted === true ? 'W_LEAN_UNDER_BOOST' : 'W_LEAN',
    severity: 'warning',
    message: `Lambda held ${lambda.toFixed(2)}${bankText(lean.bank, lean.banks)} at ${rpmToTen(rpm)} in ${readingName(pull, lean.index)}, leaner than ${limit.toFixed(2)}${boosted === true ? ', under boost: this can melt a piston in seconds' : boosted === null ? '; whether it was boosted is not known, manifold pressure was not logged' : ''}.`,
    where: pullPlace(pull, lean.index),
    fix: 'Stop full-load pulls. Check fuel pressure, injector duty and for an exhaust leak before the sensor; then have the fuelling corrected.',
  };
}

function boostedAt(pull: WatchedPull, pressurePa: Float64Array | null, index: number): boolean | null {
  if (pressurePa === null || !Number.isFinite(pressurePa[index]!)) return null;
  const stationPa = pull.stationPressurePa ?? null;
  // Without the weather's pressure only what exceeds sea level is surely boost; below that it stays unknown.
  if (stationPa === null) return pressurePa[index]! > 101325 + boostedAbovePa ? true : null;
  return pressurePa[index]! > stationPa + boostedAbovePa;
}

function bankText(bank: number, banks: number): string {
  return banks > 1 ? ` on bank ${bank + 1}` : '';
}
