import type { Finding } from '../../findings/index.js';
import type { BandedNumber, ReconciledSlip } from '../../result/index.js';
import { learnFromSlips, type PassModel, stripMarks, type UncertainDay } from '../../strip/index.js';
import type { TrialSlip } from './trialSlips.js';

/** Further than this no tyre and no sensor's scale put a logged speed off: common practice, no source. */
export const likelyScaleShare = 0.12;

/** A slip that only a speed beyond all reason could lay over the log. */
export function notTogether(slip: TrialSlip, scale: number): Finding {
  return {
    code: 'SLIP_NOT_OF_LOG',
    severity: 'warning',
    message: `${slip.name} and ${slip.log} do not belong together: the true speed would have to be ${scale.toFixed(2)} of the logged one, which no tyre explains. They are not laid beside each other.`,
    where: { path: slip.log!, setup: slip.setup },
    fix: 'Check that this log is of this pass, the times and speeds of the slip, and the unit of the logged speed.',
  };
}

export function withoutLog(slip: TrialSlip): Omit<ReconciledSlip, 'name' | 'setup' | 'log' | 'powerScaleFromTrap' | 'reasons'> {
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
export function powerScaleOf(slip: TrialSlip, model: PassModel, day: UncertainDay): BandedNumber | null {
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
