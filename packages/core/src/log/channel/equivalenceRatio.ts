import type { Column } from './column.js';
import type { Recognition } from './columnChannel.js';
import { rangeOf } from './valueRange.js';

/** Farther than this from 1 a mixture is rich or lean. */
const clear = 0.04;
/** Rows with a clear mixture that must speak. */
const leastRows = 10;

/**
 * A commanded equivalence ratio is lambda by SAE J1979, in spite of its name; a few loggers write fuel over air, its reciprocal. The log decides: by measured
 * lambda beside it, else by the mixture at the largest demand, which is rich. Where it reads fuel over air it is not used; where nothing tells it is guessed.
 */
export function equivalenceRatio({ named, recognition, resolved }: Column, columns: readonly Column[]): Recognition {
  const says = named.words.toLowerCase();
  if (!/equiv/.test(says) || /lambda|λ/.test(says) || recognition.standing === 'stated') return recognition;
  const { values } = resolved;
  const votes = votesOf(values, columns);
  if (votes.fuelOverAir >= leastRows && votes.fuelOverAir > 3 * votes.lambda) {
    return {
      ...recognition,
      quantity: null,
      standing: 'unknown',
      toSi: null,
      evidence: `"${named.match?.words ?? named.words}" should be lambda, but it goes up where the mixture is rich, as fuel over air does`,
    };
  }
  const confirmed = votes.lambda >= leastRows && votes.lambda > 3 * votes.fuelOverAir;
  if (confirmed) return { ...recognition, evidence: `${recognition.evidence}; lambda, as it goes down where the mixture is rich` };
  return { ...recognition, standing: 'guessed', evidence: `${recognition.evidence}; taken as lambda by SAE J1979` };
}

function votesOf(values: Float64Array, columns: readonly Column[]): { readonly lambda: number; readonly fuelOverAir: number } {
  const measured = columns.find(({ recognition }) => recognition.quantity === 'lambda');
  const demand = columns.find(({ recognition }) => recognition.quantity === 'pedal' || recognition.quantity === 'throttle');
  const most = demand === undefined ? Number.NaN : rangeOf(demand.resolved.values).max;
  const toLambda = measured?.recognition.toSi ?? ((value: number) => value);
  let lambda = 0;
  let fuelOverAir = 0;
  for (const [i, value] of values.entries()) {
    if (!(Math.abs(value - 1) > clear)) continue;
    const beside = measured === undefined ? Number.NaN : toLambda(measured.resolved.values[i]!) - 1;
    const full = demand !== undefined && demand.resolved.values[i]! > 0.9 * most;
    const rich = Math.abs(beside) > clear ? beside < 0 : measured === undefined && full ? true : null;
    if (rich === null) continue;
    if (value < 1 === rich) lambda++;
    else fuelOverAir++;
  }
  return { lambda, fuelOverAir };
}
