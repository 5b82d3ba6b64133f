import type { BandedNumber } from '../../result/index.js';
import type { AlignedSlip, FoundPass } from '../../strip/index.js';
import { numberText, rpmText } from '../../units/index.js';
import type { SeenLaunch } from './launchInLog.js';
import type { TrialSlip } from './trialSlips.js';

/** What the log shows of a pass. */
export interface SeenPass {
  readonly aligned: AlignedSlip;
  readonly pass: FoundPass;
  readonly source: string;
  readonly launch: SeenLaunch | null;
  readonly launchSpin: number | null;
  readonly topGrowth: number | null;
  /** From the start of the clock, s. */
  readonly liftS: number | null;
  readonly shiftsS: readonly number[];
}

/** A car that rolls longer than this from its first movement to the clock crept, or its speed is read late. */
const longestRollOutS = 0.7;

/** Why slip, log and pulls disagree, in words, what the log shows before what can only be guessed. */
export function reasonsOf(slip: TrialSlip, seen: SeenPass | null, powerScale: BandedNumber | null): string[] {
  const reasons = seen === null ? [] : [...startReasons(slip, seen), ...logReasons(slip, seen)];
  if (powerScale !== null) reasons.push(powerReason(powerScale));
  return reasons;
}

/** Reaction, roll-out and launch, each by itself. */
function startReasons(slip: TrialSlip, { aligned: { offsetS }, launch }: SeenPass): string[] {
  const reasons: string[] = [];
  const et = slip.usable.timesS['1320ft'];
  if (offsetS.high < -0.05)
    reasons.push(
      `The slip’s clock starts ${numberText(-offsetS.value, 2)} s before the car moves in the log: its times seem to include the reaction time. A strip counts from where the car leaves the start beam: take the reaction time off every time.`,
    );
  else if (offsetS.low > longestRollOutS)
    reasons.push(
      `The slip’s clock starts ${numberText(offsetS.value, 2)} s after the car first moves, longer than a roll-out: the car crept, or the logged speed comes early.`,
    );
  else if (offsetS.value > 0 && et !== undefined)
    reasons.push(
      `Roll-out: ${numberText(offsetS.value, 2)} s from the first movement to the start of the clock, so ${numberText(et + offsetS.value, 2)} s from the first movement to the 1/4 mile.`,
    );
  if (launch !== null) {
    const pedal = launch.pedal === null ? '' : `, pedal at ${numberText(100 * launch.pedal, 0)}%`;
    const how = {
      'two-step': 'a two-step held the engine',
      converter: 'the brakes held the converter',
      clutch: 'the engine was held',
    }[launch.kind];
    reasons.push(`Launch: ${how} at ${rpmText(launch.engineSpeedRpm)}${pedal}.`);
  }
  return reasons;
}

/** What the log says of its own speed, of the tires and of the driver. */
function logReasons(slip: TrialSlip, { aligned, source, launchSpin, topGrowth, liftS }: SeenPass): string[] {
  const reasons: string[] = [];
  const { speedScale: scale } = aligned;
  const et = slip.usable.timesS['1320ft'];
  if (scale.low > 1.003)
    reasons.push(
      `The log's speed (${source}) reads low, by ${percent(scale.value - 1)}: a larger tire than the car believes in, or a sensor's own scale.`,
    );
  if (scale.high < 0.997)
    reasons.push(
      `The log's speed (${source}) reads high, by ${percent(1 / scale.value - 1)}: a worn or smaller tire, slip of the driven wheels, or a speedometer that flatters.`,
    );
  const off = aligned.splits.filter(
    ({ slipS, logS, low, high }) => slipS !== null && logS !== null && low !== null && high !== null && (slipS < low || slipS > high),
  );
  for (const { mark, slipS, logS } of off)
    reasons.push(
      `At ${mark} log and slip differ by ${numberText(logS! - slipS!, 3, { signed: true })} s, more than the margin: a wrong cell, wheelspin after the launch, or gaps in the log.`,
    );
  if (off.length === 0) reasons.push('Slip and log agree: every difference is inside its margin.');
  if (launchSpin !== null && launchSpin > 0.05) reasons.push(`The driven wheels spun by up to ${percent(launchSpin)} at the launch.`);
  if (topGrowth !== null && Math.abs(topGrowth) > 0.015)
    reasons.push(`Near the stripe wheel speed is ${percent(topGrowth)} above ground speed: slip and growth of the tires.`);
  if (et !== undefined && liftS !== null && liftS < et - 0.1)
    reasons.push(`You lifted at ${numberText(liftS, 2)} s, before the stripe: the trap speed is too low to say much about power.`);
  return reasons;
}

/** The multiplier on the measured power that the trap speed calls for, the same numbers whether it agrees or not. */
function powerReason({ value, low, high }: BandedNumber): string {
  const amount = `${share(value)} (${share(low)} to ${share(high)})`;
  if (high < 1)
    return `The trap speed calls for less power than the pulls measured: ${amount} of it. A lift or late shifts, heat from waiting in the lanes, a headwind, more load than entered, or pulls that measured too high (weight, slope, wind).`;
  if (low > 1)
    return `The trap speed calls for more power than the pulls measured: ${amount} of it. A tailwind, a downhill strip, less load than entered, or pulls that measured too low.`;
  return `Trap speed and pulls agree: ${amount}.`;
}

const share = (value: number): string => `${numberText(100 * value, 1)}%`;
const percent = share;
