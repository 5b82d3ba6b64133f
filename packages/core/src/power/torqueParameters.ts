import { type BSplineBasis, bSplineBasis } from '../maths/index.js';
import { type MotionPull, type SpeedReadings, spanStart } from './motion.js';

/** Where each parameter of a setup stands: the common coefficients, then pull by pull a log scale, own coefficients, channel delays and start speeds. */
export interface ParameterLayout {
  readonly size: number;
  readonly common: number;
  readonly pulls: readonly {
    readonly scale: number;
    readonly own: number;
    readonly delays: number;
    readonly starts: number;
    /** Parameters of this pull, from `scale` on. */
    readonly size: number;
  }[];
}

/** Bases and first values for one setup. */
export interface FirstParameters {
  readonly basis: BSplineBasis;
  readonly ownBasis: BSplineBasis;
  readonly layout: ParameterLayout;
  readonly parameters: Float64Array;
}

function layoutOf(pulls: readonly MotionPull[], commonSize: number, ownSize: number): ParameterLayout {
  let next = commonSize;
  const places = pulls.map((pull) => {
    const scale = next;
    const own = scale + 1;
    const delays = own + ownSize;
    const starts = delays + Math.max(0, pull.spans[0]!.length - 1);
    next = starts + pull.spans.length;
    return { scale, own, delays, starts, size: next - scale };
  });
  return { size: next, common: 0, pulls: places };
}

/**
 * Lays out the parameters of a setup's pulls over the engine speeds that they reach, and gives them their first values.
 *
 * @param start Wheel torque (N·m) at an engine speed (rpm), as first guessed.
 */
export function firstParameters(
  pulls: readonly MotionPull[],
  start: (rpm: number) => number,
  options: { readonly knotRpm: number; readonly ownKnotRpm: number },
): FirstParameters {
  let low = Number.POSITIVE_INFINITY;
  let high = Number.NEGATIVE_INFINITY;
  for (const pull of pulls) {
    for (const readings of pull.spans.flat()) {
      for (const value of readings.engineSpeedRpm) {
        const rpm = pull.coupling === undefined ? value : pull.coupling.engineRpm(value);
        // What is no number makes no range; the equations are then without a solution.
        if (rpm < low) low = rpm;
        if (rpm > high) high = rpm;
      }
    }
  }
  const range = high - low;
  const basis = bSplineBasis(low, high, Math.min(options.knotRpm, range / 5));
  const ownBasis = bSplineBasis(low, high, Math.min(options.ownKnotRpm, range / 2));
  const layout = layoutOf(pulls, basis.size, ownBasis.size);
  const parameters = new Float64Array(layout.size);
  // A cubic B-spline with coefficients equal to the function at the knots' centres is close enough to start from.
  for (let j = 0; j < basis.size; j++) {
    const at = Math.min(Math.max(basis.from + (j - 1) * basis.step, low), high);
    parameters[j] = Math.log(Math.max(start(at), 1));
  }
  pulls.forEach((pull, p) => {
    pull.spans.forEach((span, s) => {
      parameters[layout.pulls[p]!.starts + s] = startSpeed(span);
    });
  });
  return { basis, ownBasis, layout, parameters };
}

/** Straight line through the first readings, taken back to the start of the span. */
function startSpeed(span: readonly SpeedReadings[]): number {
  const from = spanStart(span);
  const first = span.find((readings) => readings.timeS.length > 0)!;
  const count = Math.min(first.timeS.length, 6);
  let st = 0;
  let sn = 0;
  let stt = 0;
  let stn = 0;
  for (let i = 0; i < count; i++) {
    const t = first.timeS[i]! - from;
    const n = first.engineSpeedRpm[i]!;
    st += t;
    sn += n;
    stt += t * t;
    stn += t * n;
  }
  const spread = count * stt - st * st;
  return spread > 0 ? (sn * stt - st * stn) / spread : sn / count;
}
