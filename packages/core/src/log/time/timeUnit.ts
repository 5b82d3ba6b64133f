import type { Finding, Place } from '../../findings/index.js';
import { shownName } from '../text/shownName.js';
import type { TimeAxis } from './timeAxis.js';
import type { TimeForm } from './timeColumn.js';

/** A written unit of time under which no engine log makes sense. */
export function findImplausibleTime(axis: TimeAxis, form: TimeForm | null, name: string, rpmPerRow: number, where: Place): Finding | null {
  if (form === null || form.counterUnitS === null || axis.timeS.length < 3) return null;
  const { medianStepS: step } = axis;
  const slow = step > 4 && (form.unit === 's' || form.unit === 'min');
  const fast = step < 0.0004 || rpmPerRow / step > 50_000;
  if (!slow && !fast) return null;
  const likely = slow ? 'ms logged as s' : 's logged as ms';
  return {
    code: 'W_IMPLAUSIBLE',
    severity: 'warning',
    message: `"${shownName(name)}" steps by ${Number(step.toPrecision(3))} s between rows: ${likely}. It was used as labeled.`,
    where: { ...where, channel: name },
    fix: `If so, state it: --time-unit ${slow ? 'ms' : 's'} (in the library: timeUnit).`,
  };
}
