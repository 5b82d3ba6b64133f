import { expect, it } from 'vitest';
import { rungeKutta4 } from '../../packages/simulation/src/index.js';

/** Error at t = 2 of y'' = −y from y = 1, y' = 0; exact is cos 2. */
function oscillatorError(stepS: number): number {
  const advance = rungeKutta4(2);
  const state = Float64Array.of(1, 0);
  const steps = Math.round(2 / stepS);
  for (let i = 0; i < steps; i++)
    advance(
      (_t, y, rate) => {
        rate[0] = y[1]!;
        rate[1] = -y[0]!;
      },
      i * stepS,
      state,
      stepS,
    );
  return Math.abs(state[0]! - Math.cos(2));
}

it('half the step gives a sixteenth of the error', () => {
  const ratio = oscillatorError(0.1) / oscillatorError(0.05);
  expect(ratio).toBeGreaterThan(14);
  expect(ratio).toBeLessThan(18);
});

it('integrates a cubic in time without error', () => {
  // Exact for polynomials up to the third degree (Simpson's rule): ∫₀¹ 4t³ dt = 1.
  const state = Float64Array.of(0);
  rungeKutta4(1)(
    (t, _y, rate) => {
      rate[0] = 4 * t ** 3;
    },
    0,
    state,
    1,
  );
  expect(state[0]).toBeCloseTo(1, 14);
});
