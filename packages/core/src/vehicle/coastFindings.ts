import type { Finding } from '../findings/index.js';
import type { CoastDownFit, CoastRun } from './coastRun.js';

/** Share of itself beyond which the drag area, and the rolling coefficient, count as not found. */
const LARGEST_DRAG_SHARE = 0.1;
const LARGEST_ROLLING_SHARE = 0.15;
/** Correlation of neighbouring residuals from which on more than noise is left. */
const MISFIT_CORRELATION = 0.6;

/** What a person should know about a coast-down fit. */
export function coastFindings(runs: readonly CoastRun[], fit: Omit<CoastDownFit, 'findings'>): readonly Finding[] {
  const findings: Finding[] = [];
  const { dragAreaM2: drag, rollingCoefficient: rolling } = fit;
  const dragShare = drag.spread / Math.abs(drag.value);
  const rollingShare = rolling.spread / Math.abs(rolling.value);
  if (!(dragShare <= LARGEST_DRAG_SHARE && rollingShare <= LARGEST_ROLLING_SHARE && drag.value > 0 && rolling.value > 0)) {
    findings.push(
      warning(
        'W_COAST_INSEPARABLE',
        `the coast-downs do not tell drag area (${drag.value.toFixed(3)} ± ${drag.spread.toFixed(3)} m²) and rolling coefficient (${rolling.value.toFixed(4)} ± ${rolling.spread.toFixed(4)}) apart; only their sum over the speeds driven is known.`,
        'Coast from a higher to a lower speed, more often, in both directions, on a calm day.',
      ),
    );
  }
  if (runs.every((run) => run.heading === runs[0]!.heading)) {
    findings.push(
      warning(
        'W_COAST_ONE_WAY',
        'all coast-downs went one way, so wind and grade are known only as well as they were beforehand, and the rolling coefficient takes up what they did.',
        'Coast both ways on the same road.',
      ),
    );
  }
  if (fit.residualCorrelation > MISFIT_CORRELATION) {
    findings.push(
      warning(
        'W_COAST_MISFIT',
        `constant drag area and rolling coefficient do not follow the coast-downs: speed wanders ${fit.noiseMps.toFixed(2)} m/s about the fit over many readings. The spread is widened for it.`,
        'Look for gusts, changes of grade, a dragging brake, or a gearbox that was still cold.',
      ),
    );
  }
  return findings;
}

function warning(code: string, message: string, fix: string): Finding {
  return { code, severity: 'warning', message, where: {}, fix };
}
