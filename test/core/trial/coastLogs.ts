import { type CoastDownCoefficients, coastDownSpeedMps, randomStream, runTrial, type StatedValue, type TrialResult } from '@pullproof/core';

/** 20 °C and 98.21 kPa, dry: the reference state of 40 CFR 1066.805, 1.167 kg/m³. */
const referenceAir = '{ temperature: 20 degC, pressure: 98.21 kPa, humidity: 0 % }';
const referenceDensity = 1.167;
const mph = 0.44704;

/** One log: the car stands, drives, and rolls from 75 to 15 mph by a coefficient set whose quadratic part is the air's. Road speed has 0.05 m/s of noise. */
function coastLog(coefficients: CoastDownCoefficients, massKg: number, windMps: number, seed: number): string {
  const stream = randomStream(seed);
  const felt = {
    constantN: coefficients.constantN + coefficients.quadraticNPerMps2 * windMps ** 2,
    linearNPerMps: coefficients.linearNPerMps + 2 * coefficients.quadraticNPerMps2 * windMps,
    quadraticNPerMps2: coefficients.quadraticNPerMps2,
  };
  const lines = ['Time (s),Engine speed (rpm),Road speed (m/s),Pedal (%)'];
  const row = (timeS: number, rpm: number, speedMps: number, pedal: number): void => {
    lines.push(`${timeS.toFixed(2)},${(rpm + 4 * stream.normal()).toFixed(0)},${Math.max(0, speedMps).toFixed(3)},${pedal}`);
  };
  const noisy = (speedMps: number): number => speedMps + 0.05 * stream.normal();
  let timeS = 0;
  for (; timeS < 8; timeS += 0.1) row(timeS, 840, 0, 0);
  for (const from = timeS; timeS < from + 14; timeS += 0.1) row(timeS, 900 + 150 * (timeS - from), noisy(2.3951 * (timeS - from)), 35);
  for (const from = timeS; ; timeS += 0.1) {
    const speedMps = coastDownSpeedMps(timeS - from, 75 * mph, felt, 1.03 * massKg);
    if (speedMps < 15 * mph) break;
    row(timeS, 840, noisy(speedMps), 0);
  }
  return `${lines.join('\n')}\n`;
}

/** Road load that `compare` finds in such logs, both ways in a wind of 2 m/s. */
export function roadLoadFound(
  coefficients: CoastDownCoefficients,
  massKg: number,
  seed: number,
): {
  readonly result: TrialResult;
  readonly massKg: number;
  readonly dragAreaM2: StatedValue;
  readonly rollingCoefficient: StatedValue;
  readonly covarianceM2: number;
  readonly forceN: number;
} {
  const logs = new Map([
    ['north.csv', coastLog(coefficients, massKg, 2, 2 * seed)],
    ['south.csv', coastLog(coefficients, massKg, -2, 2 * seed + 1)],
  ]);
  const kg = massKg.toFixed(3);
  const result = runTrial(
    [
      'trial: 1',
      'title: road load',
      'car:',
      `  weighed: { mass: ${kg} kg, fuel-in-tank: 40 L, driver: in }`,
      '  driver: 80 kg',
      '  cargo: 0 kg',
      '  drag-area: from coast-downs',
      '  rolling-coefficient: from coast-downs',
      '  tyre-radius: 0.3 m',
      // 3 % of the mass spins with the wheels.
      `  wheel-inertia: ${(0.03 * massKg * 0.09).toFixed(4)} kg m^2`,
      '  engine-inertia: 0.2 kg m^2',
      '  gear-ratios: [3.3, 2.1, 1.4, 1]',
      '  final-drive: 3.6',
      'setups:',
      '  - name: as it is',
      '    runs:',
      ...['north', 'south'].map(
        (way) => `      - { log: ${way}.csv, outing: saturday, direction: ${way}, fuel-in-tank: 40 L, air: ${referenceAir} }`,
      ),
      '',
    ].join('\n'),
    'trial.yaml',
    (path) => ({ chunks: new TextEncoder().encode(logs.get(path)!), sha256: () => path }),
  );
  const run = result.setups[0]!.runs[0]!;
  const { dragAreaM2, rollingCoefficient, covarianceM2 } = run.roadLoad!;
  const perArea = 0.5 * referenceDensity * (65 / 3.6) ** 2;
  const perCoefficient = run.massKg.value! * 9.80665;
  return {
    result,
    massKg: run.massKg.value!,
    covarianceM2,
    dragAreaM2,
    rollingCoefficient,
    forceN: perArea * dragAreaM2.value! + perCoefficient * rollingCoefficient.value!,
  };
}
