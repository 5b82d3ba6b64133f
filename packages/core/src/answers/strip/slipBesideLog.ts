import type { Finding } from '../../findings/index.js';
import type { ReconciledSlip } from '../../result/index.js';
import { stripMarks } from '../../strip/index.js';
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
