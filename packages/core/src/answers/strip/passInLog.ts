import { channelsOf, findChannel, freshSamples, type Log } from '../../log/index.js';
import { type AlignedSlip, alignSlip, findPass, type SpeedLog, stripMarks } from '../../strip/index.js';
import { STANDARD_GRAVITY } from '../../vehicle/index.js';
import { launchInLog } from './launchInLog.js';
import type { SeenPass } from './slipReasons.js';
import type { TrialSlip } from './trialSlips.js';

function speedsOf(
  log: Log,
  quantity: 'gps-speed' | 'road-speed' | 'wheel-speed',
): { readonly name: string; readonly log: SpeedLog; readonly quantum: number }[] {
  return channelsOf(log, quantity).map((channel) => {
    const { timeS, values } = freshSamples(log, channel);
    return { name: channel.name, log: { timeS, speedMps: values }, quantum: channel.quantum };
  });
}

export function passInLog(log: Log, slip: TrialSlip): SeenPass | null {
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
    launch: launchInLog(log, pass.restS, slip.inputs.transmission),
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
