import type { Finding } from '../findings/index.js';
import { numberText, rpmText } from '../units/index.js';
import type { FittedSetup } from './fittedSetup.js';

/** What a person should know of how each setup's curve was estimated. */
export function estimatorFindings(setups: readonly FittedSetup[]): Finding[] {
  return setups.flatMap(({ name, fit, curve, estimator }): Finding[] => {
    if (estimator === null) return [];
    const where = { setup: name };
    if (estimator.used === 'local polynomial') {
      return [
        {
          code: 'FIT_NOT_USED',
          severity: 'warning',
          message: `${name}: ${estimator.why}. ${curve === null ? 'The local polynomial finds no curve either.' : 'Its curve comes from the local polynomial, with a wider band.'}`,
          where,
          fix: 'Look at the pulls as recorded: one of them is probably no full-load pull in one gear. Leave it out with from and to.',
        },
      ];
    }
    const out: Finding[] = [];
    if (fit !== null && !fit.converged) {
      out.push({
        code: 'FIT_NOT_CONVERGED',
        severity: 'note',
        message: `The torque fit of ${name} still moved by ${(100 * fit.lastChange).toFixed(3)} % after ${fit.iterations} rounds.`,
        where,
        fix: 'Look at the pulls as recorded: one of them is probably not a pull in one gear. Leave it out with from and to.',
      });
    }
    if (estimator.disagreement !== null) {
      const { fromRpm, toRpm, largestShare } = estimator.disagreement;
      out.push({
        code: 'ESTIMATORS_DISAGREE',
        severity: 'warning',
        message: `${name}, ${numberText(fromRpm, 0)} to ${rpmText(toRpm)}: slopes taken reading by reading give up to ${Math.abs(100 * largestShare).toFixed(1)} % ${largestShare > 0 ? 'more' : 'less'} power than the torque fit, beyond the bands of both.`,
        where,
        fix: 'Look at these engine speeds in the pulls as recorded: a slip, a gust, a cut or a bump there is neither even nor noise.',
      });
    }
    return out;
  });
}
