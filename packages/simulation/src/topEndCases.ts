import { moistAirDensity } from './air.js';
import { type Car, roadLoadN, rpmPerMps } from './car.js';
import type { Logger } from './logger.js';
import { makeLog } from './makeLog.js';
import type { Phase } from './phases.js';
import { type Random, seededRandom } from './random.js';
import { type Fault, sound, type TopEndEngineSpec, topEndEngine, topEndState } from './topEndEngine.js';
import { both, drawFaultLaw, drawGrowth, type TopEndFault, topEndFaults, uniform } from './topEndFaults.js';
import { drawLogger, type TopEndLogged } from './topEndLogger.js';
import { topEndTrial } from './topEndTrial.js';

/** One generated trial: `before` is sound, `after` has more boost or another even gain, and a fault that takes it back towards the top. */
export interface TopEndCase {
  readonly trial: string;
  readonly logs: ReadonlyMap<string, string>;
  readonly fault: TopEndFault;
  /** A smaller second fault; null for none. */
  readonly second: TopEndFault | null;
  readonly logged: TopEndLogged;
  /** Loss of torque at the top against low down that was put in, natural logarithm. */
  readonly size: number;
  readonly blown: boolean;
  /** Wheel power of the later setup with its faults, at an even 450 rpm/s, W. */
  readonly laterPowerW: (engineSpeedRpm: number) => number;
  /** True for a bypass that leads air round, false for a leak. */
  readonly bypassMoves: boolean;
}

/** How wide the draws are. `narrow` was used to settle the classifier, `wide` to judge it. */
interface Range {
  readonly size: readonly [number, number];
  readonly onset: readonly [number, number];
  readonly exponent: readonly [number, number];
  readonly secondShare: number;
  readonly secondSize: readonly [number, number];
  readonly noise: readonly [number, number];
  readonly loggedShare: readonly [number, number];
  readonly naturallyAspirated: number;
  readonly scatter: readonly [number, number];
}

const ranges: Readonly<Record<'narrow' | 'wide', Range>> = {
  narrow: {
    size: [0.035, 0.13],
    onset: [0.45, 0.75],
    exponent: [0.8, 2],
    secondShare: 0.25,
    secondSize: [0.08, 0.25],
    noise: [0.6, 1.4],
    loggedShare: [0.7, 0.85],
    naturallyAspirated: 0.1,
    scatter: [0.002, 0.008],
  },
  wide: {
    size: [0.03, 0.17],
    onset: [0.35, 0.8],
    exponent: [0.5, 2.8],
    secondShare: 0.4,
    secondSize: [0.05, 0.33],
    noise: [0.5, 2.2],
    loggedShare: [0.6, 0.85],
    naturallyAspirated: 0.15,
    scatter: [0.002, 0.012],
  },
};

const needBlower: ReadonlySet<TopEndFault> = new Set(['belt-slip', 'blower-capacity', 'bypass-or-leak', 'sensor-ceiling']);

/** Draws one case. The same seed, fault and range give the same trial. `without` leaves channels out of the logs. */
export function topEndCase(
  seed: number,
  options: { readonly range?: 'narrow' | 'wide'; readonly fault?: TopEndFault; readonly without?: readonly string[] } = {},
): TopEndCase {
  const range = ranges[options.range ?? 'wide'];
  const random = seededRandom(seed);
  const fault = options.fault ?? topEndFaults[Math.floor(random.uniform() * topEndFaults.length)]!;
  const few = fault === 'too-few-data';
  const u = (low: number, high: number): number => uniform(random, low, high);
  const naturally = random.uniform() < range.naturallyAspirated;
  const blown = !naturally || needBlower.has(fault);
  const top = u(5900, 7000);
  const bottom = u(2000, 2600);
  const spec = drawEngine(random, blown);
  const onset = fault === 'torque-limit' ? ([0.6, 0.85] as const) : range.onset;
  const growth = drawGrowth(random, top, bottom, onset, range.exponent);
  const drawn = drawFaultLaw(fault, random);
  const size = few || fault === 'sensor-ceiling' ? 0 : Math.exp(u(Math.log(range.size[0]), Math.log(range.size[1])));
  const candidates = topEndFaults.filter(
    (one) => one !== fault && one !== 'sensor-ceiling' && one !== 'too-few-data' && (blown || !needBlower.has(one)),
  );
  const second = size > 0 && random.uniform() < range.secondShare ? candidates[Math.floor(random.uniform() * candidates.length)]! : null;
  const secondGrowth = drawGrowth(random, top, bottom, range.onset, range.exponent);
  const secondDrawn = drawFaultLaw(second ?? 'too-few-data', random);
  const secondSize = second === null ? 0 : size * u(...range.secondSize);

  const ratioGain = fault === 'sensor-ceiling' ? u(1.06, 1.13) : blown && random.uniform() < 0.75 ? u(1.04, 1.13) : 1;
  const evenGain = ratioGain === 1 ? u(1.01, 1.05) : 1;
  const meteredLeak = second === 'bypass-or-leak' ? secondDrawn.meteredLeak : drawn.meteredLeak;
  const after: TopEndEngineSpec = {
    ...spec,
    meteredLeak,
    drivelineShare: spec.drivelineShare * evenGain,
    blower: spec.blower === null ? null : { ...spec.blower, driveRatio: spec.blower.driveRatio * ratioGain },
  };
  const q = sizeFor(after, size, top, bottom, (x, rpm) => drawn.law(x, growth(rpm), 450, 0));
  const q2 = sizeFor(after, secondSize, top, bottom, (x, rpm) => secondDrawn.law(x, secondGrowth(rpm), 450, 0));
  const faulty: TopEndEngineSpec = {
    ...after,
    fault: (rpm, sweep, timeS) => both(drawn.law(q, growth(rpm), sweep, timeS), secondDrawn.law(q2, secondGrowth(rpm), sweep, timeS)),
  };

  const topKPa = (engine: TopEndEngineSpec): number =>
    topEndState(engine, top, sound, spec.ambientK + 8, spec.ambientK + 8).manifoldPa / 1000;
  const beforeKPa = topKPa(spec);
  const { logger, logged } = drawLogger(random, {
    noise: u(...range.noise),
    share: u(...range.loggedShare),
    blown,
    coarse: few,
    // A small sensor ends a little above what the car made before.
    pressureEndKPa: fault === 'sensor-ceiling' ? beforeKPa + u(-0.1, 0.5) * (topKPa(after) - beforeKPa) : 400,
    without: options.without ?? [],
  });
  const car = drawCar(random);
  const air = moistAirDensity(spec.ambientK, spec.ambientPa, 0.45);
  const pulls = few ? 1 + Math.floor(u(0, 2)) : 2 + Math.floor(u(0, 3));
  const scatter = few ? u(0.015, 0.035) : u(...range.scatter);
  const lower = random.uniform() < 0.35;
  // A weak car at the end of third gear is held by the air: then its driver uses second, and lifts where the car gains no more.
  const laterPowerW = (rpm: number): number =>
    topEndState(faulty, rpm, faulty.fault(rpm, 450, 0), spec.ambientK + 8, spec.ambientK + 20).wheelPowerW;
  const gains = (rpm: number, gear: number): boolean => {
    const mps = rpm / rpmPerMps(car, gear);
    return laterPowerW(rpm) >= 1.15 * roadLoadN(car, { airDensityKgPerM3: air, headwindMps: 0, grade: 0 }, mps) * mps;
  };
  const gear = gains(top, 3) ? 3 : 2;
  let lift = top;
  while (lift > bottom + 1500 && !gains(lift, gear)) lift -= 50;
  const phases = (): Phase[] =>
    Array.from(
      { length: pulls },
      (_, p): Phase => ({
        kind: 'pull',
        gear: lower && p === 0 && pulls > 2 ? 2 : gear,
        fromRpm: bottom,
        toRpm: lift,
        scale: 1 + scatter * random.normal(),
        tilt: (few ? 0.7 : 0.3) * scatter * random.normal(),
        leadS: 0.6,
      }),
    );
  const seeds = [0, 1, 2, 3].map(() => Math.floor(random.uniform() * 2 ** 40));
  const drive = (engine: TopEndEngineSpec, name: string, at: number, log: Logger): readonly [string, string] => [
    name,
    makeLog({
      car,
      around: { airDensityKgPerM3: air, headwindMps: 0, grade: 0 },
      engine: topEndEngine(engine, seededRandom(seeds[at]!)),
      phases: phases(),
      logger: log,
      seed: seeds[at + 2]!,
      stepS: 0.02,
    }).text,
  ];
  return {
    trial: topEndTrial({ car, spec, ratioGain: spec.blower === null ? null : ratioGain }),
    logs: new Map([drive(spec, 'before.csv', 0, logger), drive(faulty, 'after.csv', 1, logger)]),
    fault,
    second,
    logged,
    size,
    blown,
    laterPowerW,
    bypassMoves: drawn.bypassMoves,
  };
}

/** No driver holds a pull to the end that has lost more than this of its torque there, natural logarithm. */
const mostLost = 0.45;

/** The size of a law at which torque near the top, against that at a third of the range, is down by so much; by bisection. Near the top: mean at 88, 94 and 100 % of the range. */
function sizeFor(spec: TopEndEngineSpec, loss: number, top: number, bottom: number, law: (size: number, rpm: number) => Fault): number {
  if (loss === 0) return 0;
  const lost = (size: number, share: number): number => {
    const rpm = bottom + share * (top - bottom);
    const powerW = (fault: Fault): number => topEndState(spec, rpm, fault, spec.ambientK + 8, spec.ambientK + 15).wheelPowerW;
    return Math.log(powerW(sound) / Math.max(1, powerW(law(size, rpm))));
  };
  const lossAt = (size: number): number => (lost(size, 0.88) + lost(size, 0.94) + lost(size, 1)) / 3 - lost(size, 0.3);
  let low = 0;
  let high = 1;
  for (let i = 0; i < 30; i++) {
    const middle = (low + high) / 2;
    if (lossAt(middle) < loss && lost(middle, 1) < mostLost) low = middle;
    else high = middle;
  }
  return (low + high) / 2;
}

function drawCar(random: Random): Car {
  const u = (low: number, high: number): number => uniform(random, low, high);
  return {
    massKg: u(1250, 1800),
    dragAreaM2: u(0.58, 0.8),
    rollingCoefficient: 0.0125,
    tyreRadiusM: u(0.3, 0.33),
    gearRatios: [3.4, 2.1, 1.42, 1.05, 0.82],
    finalDrive: u(3.2, 3.9),
    wheelInertiaKgM2: 4.2,
    engineInertiaKgM2: 0.22,
    idleRpm: 850,
    engineBrakingNm: 45,
    slipPerWeight: 0,
  };
}

function drawEngine(random: Random, blown: boolean): TopEndEngineSpec {
  const u = (low: number, high: number): number => uniform(random, low, high);
  const engineVolumeM3 = u(1.8e-3, 5e-3);
  const [veBest, veAt, veWidth, veWave, vePhase] = [u(0.86, 1), u(4200, 5800), u(3200, 5200), u(0, 0.02), u(0, 6)];
  const [etaBest, etaFall, etaAt] = [u(0.55, 0.7), u(0.01, 0.06), u(8000, 11000)];
  const [coolerNtu, flowUsual] = [random.uniform() < 0.15 ? 0 : u(1, 2.6), engineVolumeM3 * 55];
  const [eta, friction0, friction1] = [u(0.34, 0.39), u(80e3, 110e3), u(6e3, 12e3)];
  const [sparkBase, sparkSlope, lambdaBase, lambdaSlope] = [u(10, 24), u(0, 0.003), u(0.79, 0.88), u(-0.04, 0.01)];
  // Air for a pressure ratio near what such cars run: 1.35 to 1.9.
  const driveRatio = u(1.8, 2.6);
  const flowShare = u(1.2, 1.55);
  return {
    engineVolumeM3,
    blower: blown
      ? {
          volumeM3: (flowShare * engineVolumeM3 * veBest) / (2 * driveRatio),
          driveRatio,
          fillShare: u(0.93, 0.98),
          leakageRpm: u(500, 1500),
          leakageExponent: u(0.4, 0.8),
          adiabaticEfficiency: (rotorRpm, ratio) => etaBest - etaFall * ((rotorRpm - etaAt) / 6000) ** 2 - 0.05 * (ratio - 1.6) ** 2,
          coolerEffectiveness: (flow) => (coolerNtu === 0 ? 0 : 1 - Math.exp(-coolerNtu * (flowUsual / Math.max(flow, 0.01)) ** 0.3)),
          coolerLoss: 3e3 / flowUsual ** 2,
          coolerHeatJPerK: u(7e3, 25e3),
        }
      : null,
    volumetricEfficiency: (rpm) => veBest * (1 - ((rpm - veAt) / veWidth) ** 2 * 0.25 + veWave * Math.sin(rpm / 500 + vePhase)),
    indicatedShare: (rpm) => eta - 0.02 * ((rpm - 4500) / 2500) ** 2,
    frictionPa: (rpm) => friction0 + friction1 * (rpm / 1000) + 2e3 * (rpm / 1000) ** 2,
    inletLoss: u(0.8e3, 3e3) / flowUsual ** 2,
    exhaustLoss: u(8e3, 35e3) / flowUsual ** 2,
    sparkShortDeg: u(3, 11),
    sparkLoss: u(0.0004, 0.0009),
    sparkExponent: u(1.8, 2.2),
    mapSparkDeg: (rpm) => sparkBase + sparkSlope * (rpm - 2500),
    bestLambda: u(0.85, 0.89),
    richCost: u(1.2, 3.5),
    leanCost: u(1.2, 3.5),
    lambdaTarget: (rpm) => lambdaBase + (lambdaSlope * (rpm - 3000)) / 3500,
    railAcrossPa: u(280e3, 420e3),
    injectorKgPerS: (engineVolumeM3 * u(6.5, 9)) / 6,
    cylinders: 6,
    ambientK: u(278, 305),
    ambientPa: u(93e3, 102e3),
    drivelineShare: u(0.84, 0.91),
    meteredLeak: true,
    fault: () => sound,
  };
}
