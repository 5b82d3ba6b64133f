/** Published pairs of the LSU 4.9, lean side: pump current (mA) and lambda. */
const pairs: readonly (readonly [number, number])[] = [
  [0, 1],
  [0.329, 1.179],
  [0.671, 1.429],
  [0.938, 1.701],
  [1.15, 1.99],
  [1.385, 2.434],
];

/**
 * Lambda from the pump current of an LSU 4.9 wideband sensor, lean side.
 *
 * Straight in 1/lambda between the published pairs; zero current is lambda 1 by the sensor's principle.
 *
 * @param pumpCurrentA A
 * @returns lambda; NaN below zero (the rich side's pairs were not published where seen) and beyond the last pair
 *
 * Validity: 0 to 1.385 mA, exhaust below 930 °C and 2.5 bar.
 *
 * Source: Bosch Motorsport, LSU 4.9 datasheet.
 */
export function lambdaFromPumpCurrent(pumpCurrentA: number): number {
  const milliamp = pumpCurrentA * 1000;
  for (let i = 1; i < pairs.length; i++) {
    const [low, lambdaLow] = pairs[i - 1]!;
    const [high, lambdaHigh] = pairs[i]!;
    if (!(milliamp >= low && milliamp <= high)) continue;
    const share = (milliamp - low) / (high - low);
    return 1 / ((1 - share) / lambdaLow + share / lambdaHigh);
  }
  return Number.NaN;
}
