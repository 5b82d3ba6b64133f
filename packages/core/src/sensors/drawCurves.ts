import { type RandomStream, randomStream } from '../maths/index.js';
import type { CurvesLikeReference } from './curvesLikeReference.js';

/**
 * Draws curves from a few normal priors under a likelihood: elliptical slice sampling of the curve, Metropolis steps between the priors.
 *
 * @param choices priors with their weights, as white noise to curve
 * @param likelihood logarithm of how well a curve goes with what else is known
 * @returns draws after a quarter as many were thrown away
 *
 * Source: Murray, Adams & MacKay, Elliptical slice sampling, AISTATS (2010) (from memory).
 */
export function drawCurves(
  choices: readonly CurvesLikeReference[],
  likelihood: (curve: Float64Array) => number,
  options: { readonly draws: number; readonly seed: number },
): Float64Array[] {
  const stream = randomStream(options.seed);
  const size = choices[0]!.size;
  let choice = Math.floor(stream.uniform() * choices.length);
  let white: Float64Array = normals(stream, size);
  let curve = choices[choice]!.curveOf(white);
  let value = likelihood(curve);
  const kept: Float64Array[] = [];
  const away = Math.ceil(options.draws / 4);
  for (let round = -away; round < options.draws; round++) {
    for (let slice = 0; slice < 2; slice++) {
      const other = normals(stream, size);
      const bar = value + Math.log(1 - stream.uniform());
      let angle = 2 * Math.PI * stream.uniform();
      let [low, high] = [angle - 2 * Math.PI, angle];
      for (;;) {
        const [c, s] = [Math.cos(angle), Math.sin(angle)];
        const tried = white.map((w, i) => c * w + s * other[i]!);
        const triedCurve = choices[choice]!.curveOf(tried);
        const triedValue = likelihood(triedCurve);
        if (triedValue >= bar || high - low < 1e-9) {
          if (triedValue >= bar) [white, curve, value] = [tried, triedCurve, triedValue];
          break;
        }
        if (angle < 0) low = angle;
        else high = angle;
        angle = low + (high - low) * stream.uniform();
      }
    }
    const next = choice + (stream.uniform() < 0.5 ? -1 : 1);
    const beside = choices[next];
    if (beside !== undefined) {
      const triedCurve = beside.curveOf(white);
      const triedValue = likelihood(triedCurve);
      const odds = triedValue + beside.logEvidence - value - choices[choice]!.logEvidence;
      if (Math.log(1 - stream.uniform()) < odds) [choice, curve, value] = [next, triedCurve, triedValue];
    }
    if (round >= 0) kept.push(curve);
  }
  return kept;
}

function normals(stream: RandomStream, size: number): Float64Array {
  return Float64Array.from({ length: size }, () => stream.normal());
}
