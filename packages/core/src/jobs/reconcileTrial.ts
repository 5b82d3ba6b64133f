import {
  compareSlips,
  reasonsOf,
  type SeenPass,
  stripCautions,
  stripDay,
  stripModel,
  type TrialSlip,
  trialSlips,
} from '../answers/index.js';
import type { Finding } from '../findings/index.js';
import { channelsOf, findChannel, freshSamples, type Log, readLog } from '../log/index.js';
import type { OpenedLog } from '../pulls/index.js';
import type { BandedNumber, ReconciledSlip, ReconcileResult, TrialResult } from '../result/index.js';
import {
  type AlignedSlip,
  alignSlip,
  carrySlip,
  findPass,
  learnFromSlips,
  type PassModel,
  type SpeedLog,
  stripMarks,
  type UncertainDay,
} from '../strip/index.js';
import { parseTrial, type TrialFile } from '../trial/index.js';
import { STANDARD_GRAVITY } from '../vehicle/index.js';
import { runTrial } from './runTrial.js';

/**
 * The whole job after the strip: each slip beside the log of its pass and beside the pulls.
 *
 * @param trial Text of the trial file, or the trial as `parseTrial` gives it.
 * @param trialPath Its path, for messages.
 * @param openLog Opens a log, or a CSV file of slips, by the path that the trial gives it.
 * @returns Splits of slip and log, speed scale, wheelspin, the power that the trap speed asks for, and setups compared by their slips.
 * @throws PullproofError with the code of what cannot be used.
 */
export function reconcileTrial(trial: string | TrialFile, trialPath: string, openLog: (path: string) => OpenedLog): ReconcileResult {
  const file = typeof trial === 'string' ? parseTrial(trial, trialPath) : trial;
  const { slips, findings: slipFindings } = trialSlips(file, openLog);
  const compared = runTrial(file, trialPath, openLog, { formulaParser: null });
  const findings: Finding[] = [...compared.findings.filter(({ code }) => code !== 'ONE_SETUP'), ...slipFindings];
  if (slips.length === 0)
    findings.push({
      code: 'NO_SLIPS',
      severity: 'warning',
      message: 'The trial has no slips, so there is nothing to lay beside the logs.',
      where: { path: trialPath, field: 'slips' },
      fix: 'Add slips, or slips: slips.csv.',
    });
  const inputs: TrialResult['provenance']['inputs'][number][] = [...compared.provenance.inputs];
  const models = slips.map((slip) => {
    const setup = compared.setups.find(({ name }) => name === slip.setup)!;
    return stripModel(file.car, slip.inputs, setup).model;
  });
  const done = slips.map((slip, s): ReconciledSlip => {
    const model = models[s]!;
    const powerScale = model === null ? null : powerScaleOf(slip, model, stripDay(slip.inputs, model));
    const base = { name: slip.name, setup: slip.setup, log: slip.log, powerScaleFromTrap: powerScale };
    if (slip.log === null) return { ...base, ...nothing(slip), reasons: reasonsOf(slip, null, powerScale) };
    const { chunks, sha256 } = openLog(slip.log);
    const { reading, channels, gaugeStoich } = slip.inputs;
    const log = readLog(chunks, { ...reading, path: slip.log, channels, gaugeStoich: gaugeStoich.value });
    inputs.push({ path: slip.log, sha256: sha256?.() ?? '', rows: log.rows, rowsDropped: log.rowsDropped });
    findings.push(...log.findings);
    const seen = passInLog(log, slip);
    if (seen === null) {
      findings.push({
        code: 'PASS_NOT_FOUND',
        severity: 'warning',
        message: `No pass of the length of ${slip.name} starts from rest in the log.`,
        where: { path: slip.log, setup: slip.setup },
        fix: 'Check that this log belongs to the slip, and that it holds road speed from before the launch.',
      });
      return { ...base, ...nothing(slip), reasons: reasonsOf(slip, null, powerScale) };
    }
    const { aligned, pass, launchSpin, topGrowth, liftS, shiftsS } = seen;
    if (Math.abs(Math.log(aligned.speedScale.value)) > Math.log(1 + likelyScaleShare)) {
      const apart = notTogether(slip, aligned.speedScale.value);
      findings.push(apart);
      return { ...base, ...nothing(slip), reasons: [apart.message, ...reasonsOf(slip, null, powerScale)] };
    }
    const facts = { ...seen, aligned };
    return {
      ...base,
      launchS: aligned.clockStartS.value,
      offsetS: aligned.offsetS,
      speedScale: aligned.speedScale,
      splits: aligned.splits,
      shiftsS,
      liftS: liftS !== null && liftS < pass.endS ? liftS : null,
      launchSpin,
      topGrowth,
      reasons: reasonsOf(slip, facts, powerScale),
      motion: { distanceM: aligned.motion.distanceM, speedMps: aligned.motion.speedMps },
    };
  });
  const carried = slips.map((slip, s) => {
    const model = models[s]!;
    if (model === null)
      return { setup: slip.setup, etS: slip.usable.timesS['1320ft'] ?? null, trapMps: slip.usable.trapsMps['1320ft'] ?? null };
    const to = { airDensityKgPerM3: slips[0]!.inputs.airDensityKgPerM3.value };
    const { elapsedTimeS, trapMps } = carrySlip(slip.usable, model, stripDay(slip.inputs, model), to);
    return { setup: slip.setup, etS: elapsedTimeS, trapMps };
  });
  const quickest = Math.min(...slips.map(({ usable }) => usable.timesS['1320ft'] ?? Number.POSITIVE_INFINITY));
  return {
    schema: 'pullproof/reconcile@1',
    title: compared.title,
    units: compared.units,
    provenance: { ...compared.provenance, inputs },
    slips: done,
    comparisons: compared.comparisons.flatMap(({ before, after }) => compareSlips(before, after, carried)),
    cautions: stripCautions(Number.isFinite(quickest) ? quickest : null, 'slips'),
    findings,
  };
}

/** Further than this no tyre and no sensor's scale put a logged speed off: common practice, no source. */
const likelyScaleShare = 0.12;

/** A slip that only a speed beyond all reason could lay over the log. */
function notTogether(slip: TrialSlip, scale: number): Finding {
  return {
    code: 'SLIP_NOT_OF_LOG',
    severity: 'warning',
    message: `${slip.name} and ${slip.log} do not belong together: the true speed would have to be ${scale.toFixed(2)} of the logged one, which no tyre explains. They are not laid beside each other.`,
    where: { path: slip.log!, setup: slip.setup },
    fix: 'Check that this log is of this pass, the times and speeds of the slip, and the unit of the logged speed.',
  };
}

function nothing(slip: TrialSlip): Omit<ReconciledSlip, 'name' | 'setup' | 'log' | 'powerScaleFromTrap' | 'reasons'> {
  return {
    launchS: null,
    offsetS: null,
    speedScale: null,
    splits: stripMarks.map((mark) => ({
      mark,
      slipS: slip.written.timesS[mark] ?? null,
      logS: null,
      low: null,
      high: null,
      usedInFit: false,
    })),
    shiftsS: [],
    liftS: null,
    launchSpin: null,
    topGrowth: null,
    motion: null,
  };
}

/** The multiplier on the measured curve that reproduces the trap speed, launch and shifts learned from the same slip. */
function powerScaleOf(slip: TrialSlip, model: PassModel, day: UncertainDay): BandedNumber | null {
  const trap = slip.usable.trapsMps['1320ft'];
  if (trap === undefined) return null;
  // The prior of power is opened so wide that the slip alone speaks.
  const open: PassModel = { ...model, spreads: { ...model.spreads, powerShare: 0.5, powerSlopeShare: 0.005 } };
  const learned = learnFromSlips(open, [{ slip: slip.usable, day }]);
  const fitted = learned.slips[0]!.fitted.trapsMps['1320ft']!;
  const scale = Math.exp(0.5 * learned.carZ[0]!) * (trap / fitted) ** 3;
  // What the slip leaves open, and what the pulls do.
  const spread = Math.hypot(0.5 * Math.sqrt(learned.covariance[0]!), model.spreads.powerShare);
  return { value: scale, low: scale * Math.exp(-1.96 * spread), high: scale * Math.exp(1.96 * spread) };
}

function speedsOf(
  log: Log,
  quantity: 'gps-speed' | 'road-speed' | 'wheel-speed',
): { readonly name: string; readonly log: SpeedLog; readonly quantum: number }[] {
  return channelsOf(log, quantity).map((channel) => {
    const { timeS, values } = freshSamples(log, channel);
    return { name: channel.name, log: { timeS, speedMps: values }, quantum: channel.quantum };
  });
}

function passInLog(log: Log, slip: TrialSlip): SeenPass | null {
  const ground = speedsOf(log, 'gps-speed')[0] ?? null;
  const wheels = speedsOf(log, 'road-speed')[0] ?? speedsOf(log, 'wheel-speed')[0] ?? null;
  // A wheel speed has finer time than satellites; ground speed serves where it is all there is.
  const chosen = wheels ?? ground;
  if (chosen === null || chosen.log.timeS.length < 20) return null;
  const pass = findPass(chosen.log, slip.usable);
  if (pass === null) return null;
  const aligned = alignSlip(chosen.log, pass, slip.usable, {
    forceShare: forceShareOf(slip),
    drivenWheels: chosen === wheels,
    quantumMps: chosen.quantum > 0.05 ? chosen.quantum : 0,
  });
  if (aligned === null) return null;
  const startS = aligned.clockStartS.value;
  const last = stripMarks.findLast((mark) => slip.usable.timesS[mark] !== undefined)!;
  const stripeS = slip.usable.timesS[last]!;
  const excess = (fromS: number, toS: number): number | null => {
    if (ground === null || wheels === null) return null;
    const values: number[] = [];
    for (let t = fromS; t < toS; t += 0.1) {
      const [w, g] = [speedAt(wheels.log, startS + t), speedAt(ground.log, startS + t)];
      if (w !== null && g !== null && g > 3) values.push(w / g - 1);
    }
    values.sort((a, b) => a - b);
    return values.length < 3 ? null : values[Math.floor(0.9 * (values.length - 1))]!;
  };
  return {
    aligned,
    pass,
    source: chosen.name,
    launchSpin:
      excess(0.3, 3) ?? (chosen === wheels && aligned.slipPerWeight.low > 0 ? aligned.slipPerWeight.value * launchForce(aligned) : null),
    topGrowth: excess(stripeS - 2, stripeS),
    liftS: liftOf(log, startS, stripeS),
    shiftsS: shiftsOf(log, startS, stripeS),
  };
}

function launchForce({ motion }: AlignedSlip): number {
  const until = motion.timeS.findIndex((t) => t > 1.5);
  return until < 1 ? 0 : (motion.speedMps[until]! - motion.speedMps[0]!) / (motion.timeS[until]! - motion.timeS[0]!) / STANDARD_GRAVITY;
}

/** Force at the tyres' contact over weight: what spins does not pass through it. */
function forceShareOf({ inputs }: TrialSlip): (speedMps: number, accelerationMps2: number) => number {
  const weightN = inputs.massKg.value * STANDARD_GRAVITY;
  const dragKgPerM = 0.5 * inputs.airDensityKgPerM3.value * inputs.dragAreaM2.value;
  return (speedMps, accelerationMps2) => {
    const load = dragKgPerM * speedMps ** 2 + weightN * inputs.rollingCoefficient.value;
    return (inputs.massKg.value * accelerationMps2 + load) / weightN;
  };
}

function speedAt({ timeS, speedMps }: SpeedLog, t: number): number | null {
  let low = 0;
  let high = timeS.length - 1;
  if (high < 1 || t < timeS[0]! || t > timeS[high]!) return null;
  while (high - low > 1) {
    const middle = (low + high) >> 1;
    if (timeS[middle]! < t) low = middle;
    else high = middle;
  }
  if (timeS[high]! - timeS[low]! > 1) return null;
  return speedMps[low]! + ((speedMps[high]! - speedMps[low]!) * (t - timeS[low]!)) / (timeS[high]! - timeS[low]!);
}

/** When pedal or throttle goes down to stay down after the launch, from the start of the clock; null where not logged or not seen. */
function liftOf(log: Log, startS: number, stripeS: number): number | null {
  const channel = findChannel(log, 'pedal') ?? findChannel(log, 'throttle');
  if (channel === null) return null;
  const { timeS, values } = freshSamples(log, channel);
  let low = Number.NaN;
  for (let i = 0; i < timeS.length; i++) {
    const t = timeS[i]! - startS;
    if (t < 1 || t > stripeS + 8) continue;
    if (values[i]! >= 0.6) low = Number.NaN;
    else if (Number.isNaN(low)) low = t;
    // A shift is over sooner.
    if (t - low > 0.9) return low;
  }
  return null;
}

/** Upward shifts: engine speed falls by a fifth within half a second. */
function shiftsOf(log: Log, startS: number, stripeS: number): number[] {
  const channel = findChannel(log, 'engine-speed');
  if (channel === null) return [];
  const { timeS, values } = freshSamples(log, channel);
  const shifts: number[] = [];
  for (let i = 0; i < timeS.length; i++) {
    const t = timeS[i]! - startS;
    if (t < 0.5 || t > stripeS || t - (shifts.at(-1) ?? -9) < 0.8) continue;
    for (let k = i + 1; k < timeS.length && timeS[k]! - timeS[i]! < 0.5; k++) {
      if (values[k]! < 0.82 * values[i]!) {
        shifts.push(t);
        break;
      }
    }
  }
  return shifts;
}
