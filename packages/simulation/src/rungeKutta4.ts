/** Writes the rate of change of `state` at `timeS` into `rate`. */
export type Derivative = (timeS: number, state: Float64Array, rate: Float64Array) => void;

/**
 * A classical fourth-order Runge–Kutta stepper for states of one size; advances the state in place and allocates nothing per step.
 *
 * Source: W. Kutta, Zeitschrift für Mathematik und Physik 46 (1901) 435–453.
 */
export function rungeKutta4(size: number): (derivative: Derivative, timeS: number, state: Float64Array, stepS: number) => void {
  const k1 = new Float64Array(size);
  const k2 = new Float64Array(size);
  const k3 = new Float64Array(size);
  const k4 = new Float64Array(size);
  const probe = new Float64Array(size);
  return (derivative, timeS, state, stepS) => {
    const half = stepS / 2;
    derivative(timeS, state, k1);
    for (let i = 0; i < size; i++) probe[i] = state[i]! + half * k1[i]!;
    derivative(timeS + half, probe, k2);
    for (let i = 0; i < size; i++) probe[i] = state[i]! + half * k2[i]!;
    derivative(timeS + half, probe, k3);
    for (let i = 0; i < size; i++) probe[i] = state[i]! + stepS * k3[i]!;
    derivative(timeS + stepS, probe, k4);
    for (let i = 0; i < size; i++) state[i]! += (stepS / 6) * (k1[i]! + 2 * k2[i]! + 2 * k3[i]! + k4[i]!);
  };
}
