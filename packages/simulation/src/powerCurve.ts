/** A quantity on a grid of engine speeds. */
export interface Curve {
  readonly engineSpeedRpm: readonly number[];
  readonly wheelPowerW: readonly number[];
}

/** Wheel power against engine speed, W: the polynomial through the given (rpm, W) points, by Newton's divided differences. */
export function smoothPower(points: readonly (readonly [rpm: number, powerW: number])[]): (rpm: number) => number {
  const xs = points.map(([rpm]) => rpm / 1000);
  const divided = points.map(([, power]) => power);
  for (let order = 1; order < xs.length; order++)
    for (let i = xs.length - 1; i >= order; i--) divided[i] = (divided[i]! - divided[i - 1]!) / (xs[i]! - xs[i - order]!);
  return (rpm) => {
    const x = rpm / 1000;
    let value = divided[xs.length - 1]!;
    for (let i = xs.length - 2; i >= 0; i--) value = value * (x - xs[i]!) + divided[i]!;
    return value;
  };
}

/** A function of engine speed sampled on an even grid, both ends included. */
export function curveOn(power: (rpm: number) => number, fromRpm: number, toRpm: number, stepRpm: number): Curve {
  const count = Math.floor((toRpm - fromRpm) / stepRpm + 1e-9) + 1;
  const engineSpeedRpm = Array.from({ length: count }, (_, i) => fromRpm + i * stepRpm);
  return { engineSpeedRpm, wheelPowerW: engineSpeedRpm.map(power) };
}
