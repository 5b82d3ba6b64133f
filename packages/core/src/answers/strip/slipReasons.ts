import type { BandedNumber } from '../../result/index.js';
import type { AlignedSlip, FoundPass } from '../../strip/index.js';
import type { TrialSlip } from './trialSlips.js';

/** What the log shows of a pass. */
export interface SeenPass {
  readonly aligned: AlignedSlip;
  readonly pass: FoundPass;
  readonly source: string;
  readonly launchSpin: number | null;
  readonly topGrowth: number | null;
  /** From the start of the clock, s. */
  readonly liftS: number | null;
  readonly shiftsS: readonly number[];
}

/** Why slip, log and pulls disagree, in words, what the log shows before what can only be guessed. */
export function reasonsOf(slip: TrialSlip, seen: SeenPass | null, powerScale: BandedNumber | null): string[] {
  const reasons: string[] = [];
  const et = slip.usable.timesS['1320ft'];
  const slow = powerScale !== null && powerScale.high < 1;
  const fast = powerScale !== null && powerScale.low > 1;
  if (seen !== null) {
    const { aligned, liftS, launchSpin, topGrowth } = seen;
    const { speedScale: scale, offsetS } = aligned;
    if (offsetS.high < -0.05)
      reasons.push(
        `The clock of the slip starts ${(-offsetS.value).toFixed(2)} s before the car moves in the log: its times seem to hold the reaction time. A strip counts from where the car leaves the start beam: take the reaction time off every time.`,
      );
    if (scale.low > 1.003)
      reasons.push(
        `The log's speed (${seen.source}) reads low, by ${percent(scale.value - 1)}: a larger tyre than the car believes in, or a sensor's own scale.`,
      );
    if (scale.high < 0.997)
      reasons.push(
        `The log's speed (${seen.source}) reads high, by ${percent(1 / scale.value - 1)}: a worn or smaller tyre, slip of the driven wheels, or a scale that flatters.`,
      );
    const off = aligned.splits.filter(
      ({ slipS, logS, low, high }) => slipS !== null && logS !== null && low !== null && high !== null && (slipS < low || slipS > high),
    );
    for (const { mark, slipS, logS } of off)
      reasons.push(
        `At ${mark} log and slip differ by ${(logS! - slipS!).toFixed(3)} s, more than their band: a wrong cell, spin that comes later than the launch, or gaps in the log.`,
      );
    if (off.length === 0) reasons.push('Slip and log agree at every mark within their bands.');
    if (launchSpin !== null && launchSpin > 0.05) reasons.push(`The driven wheels spun by up to ${percent(launchSpin)} at the launch.`);
    if (topGrowth !== null && Math.abs(topGrowth) > 0.015)
      reasons.push(`Near the stripe wheel speed is ${percent(topGrowth)} above ground speed: slip and growth of the tyres.`);
    if (et !== undefined && liftS !== null && liftS < et - 0.1)
      reasons.push(`The driver lifted at ${liftS.toFixed(2)} s, before the stripe: the trap speed is too low to speak of power.`);
  }
  if (slow)
    reasons.push(
      `The trap speed asks for ${percent(1 - powerScale.value)} less power than the pulls measured: a lift or late shifts, heat after waiting in the lanes, a headwind, more load than entered, or pulls measured too high (mass, slope, wind).`,
    );
  if (fast)
    reasons.push(
      `The trap speed asks for ${percent(powerScale.value - 1)} more power than the pulls measured: a tailwind, a downhill strip, less load than entered, or pulls measured too low.`,
    );
  if (powerScale !== null && !slow && !fast) reasons.push('The trap speed fits the power of the pulls within the band.');
  return reasons;
}

function percent(share: number): string {
  return `${(100 * share).toFixed(1)} %`;
}
