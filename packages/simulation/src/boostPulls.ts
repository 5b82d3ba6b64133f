import { blowerAir } from './blowerAir.js';
import { type Random, seededRandom } from './random.js';

/** What makes the boost of an invented engine. */
export type BoostMaker = 'blower' | 'slipping belt' | 'centrifugal' | 'turbo' | 'boost control';

/** Pulls of one setup as a recorder would read them with a sensor that has no end. */
export interface BoostPull {
  readonly timeS: Float64Array;
  readonly engineSpeedRpm: Float64Array;
  /** True pressure, Pa absolute, without the sensor's noise. */
  readonly truePa: Float64Array;
  /** With noise, on the counts of the channel. */
  readonly readPa: Float64Array;
  /** Share of the time that the wastegate's valve is driven; null where there is none. */
  readonly duty: Float64Array | null;
}

export interface BoostSetup {
  readonly pulls: readonly BoostPull[];
  /** Mean of the pulls' true pressure at an engine speed, Pa. */
  readonly meanPa: (engineSpeedRpm: number) => number;
}

export interface BoostPulls {
  readonly maker: BoostMaker;
  readonly quantumPa: number;
  /** The earlier setup makes less boost. */
  readonly before: BoostSetup;
  readonly after: BoostSetup;
  readonly stationPa: number;
}

type Steady = (rpm: number) => number;

/**
 * Invented pulls of a boosted engine in two setups: spool, boost control with its overshoot, belts that slip, blowers and centrifugal compressors, each pull at a level of its own.
 *
 * @param seed whole number; the same seed gives the same pulls
 */
export function boostPulls(seed: number, only?: BoostMaker): BoostPulls {
  const random = seededRandom(seed);
  const between = (low: number, high: number): number => low + (high - low) * random.uniform();
  const makers: readonly BoostMaker[] = ['blower', 'slipping belt', 'centrifugal', 'turbo', 'boost control'];
  const drawn = makers[Math.floor(random.uniform() * makers.length)]!;
  const maker = only ?? drawn;
  const stationPa = between(84e3, 103e3);
  const quantumPa = 100 * between(1, 12);
  const how: Recorder = {
    rateHz: [5, 10, 20, 25, 50][Math.floor(random.uniform() * 5)]!,
    quantumPa,
    noisePa: 60 * 20 ** random.uniform(),
    breathPa: 1e3 * between(0.1, 0.6),
    scatter: between(0.002, 0.008),
    fromRpm: between(2200, 3000),
    toRpm: between(5800, 7000),
  };
  const steady = steadyOf(maker, stationPa, random);
  const setup = (number: 0 | 1): BoostSetup => recorded(maker, steady[number], stationPa, how, random);
  return { maker, quantumPa, before: setup(0), after: setup(1), stationPa };
}

/** Boost that the setups tend to, before and after; for a controlled turbo the target. */
function steadyOf(maker: BoostMaker, stationPa: number, random: Random): readonly [Steady, Steady] {
  const between = (low: number, high: number): number => low + (high - low) * random.uniform();
  const change = between(1.03, 1.12);
  if (maker === 'blower' || maker === 'slipping belt') {
    const bore = between(0.85, 1.1);
    const leakageRpm = between(300, 1400);
    const peakRpm = between(4200, 5600);
    const width = between(2500, 4500);
    const inletLoss = between(2e4, 9e4);
    const fall = between(0.1, 0.25);
    const inletK = between(285, 308);
    const slipFromRpm = between(4300, 5800);
    const slipShare = maker === 'slipping belt' ? between(0.02, 0.06) : 0;
    const driveRatio = between(1.9, 2.4);
    const at = (drive: number, slip: number): Steady => {
      const state = (rpm: number): number =>
        blowerAir(
          {
            blowerVolumeM3: 1.32e-3 * bore,
            engineVolumeM3: 3e-3,
            driveRatio: drive * (1 - slip * Math.max(0, Math.min(1, (rpm - slipFromRpm) / 700))),
            fillShare: 0.94,
            leakageRpm,
            adiabaticEfficiency: (rotor) => 0.62 - 0.1 * Math.max(0, (rotor - 9000) / 7000),
            volumetricEfficiency: (n) => 0.92 - fall * ((n - peakRpm) / width) ** 2,
            coolerEffectiveness: (flow) => 0.8 - 0.6 * flow,
            inletLoss,
            coolerLoss: 3e4,
          },
          rpm,
          stationPa,
          inletK,
          inletK + 12,
        ).manifoldPa;
      const table = Array.from({ length: 61 }, (_, i) => state(2000 + 90 * i));
      return (rpm) => {
        const place = Math.min(Math.max((rpm - 2000) / 90, 0), 59.999);
        const i = Math.floor(place);
        return table[i]! + (table[i + 1]! - table[i]!) * (place - i);
      };
    };
    return [at(driveRatio, 0), at(driveRatio * change, slipShare)];
  }
  const gauge = between(45e3, 120e3);
  if (maker === 'centrifugal') {
    const power = between(1.7, 2.2);
    const choke = between(0, 0.12);
    const at = (drive: number): Steady => {
      return (rpm) => stationPa + gauge * ((drive * rpm) / 6500) ** power * (1 - choke * Math.max(0, (drive * rpm - 5500) / 1500) ** 2);
    };
    return [at(1), at(change)];
  }
  const spoolRpm = between(2700, 3600);
  const width = between(150, 450);
  const taper = maker === 'turbo' ? between(0, 0.3) : between(0, 0.03);
  const fromRpm = between(4500, 5600);
  const at = (more: number): Steady => {
    return (rpm) =>
      stationPa + (more * gauge * (1 - taper * Math.max(0, (rpm - fromRpm) / 1500) ** 1.5)) / (1 + Math.exp(-(rpm - spoolRpm) / width));
  };
  return [at(1), at(1 + 2 * (change - 1))];
}

interface Recorder {
  readonly rateHz: number;
  readonly quantumPa: number;
  readonly noisePa: number;
  readonly breathPa: number;
  readonly scatter: number;
  readonly fromRpm: number;
  readonly toRpm: number;
}

function recorded(maker: BoostMaker, steady: Steady, stationPa: number, how: Recorder, random: Random): BoostSetup {
  const between = (low: number, high: number): number => low + (high - low) * random.uniform();
  const count = 2 + Math.floor(random.uniform() * 4);
  const controlled = maker === 'boost control';
  const lagS = maker === 'turbo' || controlled ? between(0.12, 0.4) : 0.03;
  const gain = between(1.5, 4);
  const pulls = Array.from({ length: count }, (): BoostPull => {
    const level = 1 + how.scatter * random.normal();
    const durationS = between(3, 7);
    const n = Math.floor(durationS * how.rateHz);
    const timeS = Float64Array.from({ length: n }, (_, i) => i / how.rateHz);
    const engineSpeedRpm = timeS.map((t) => how.fromRpm + ((how.toRpm - how.fromRpm) * t) / durationS);
    const duty = controlled ? new Float64Array(n) : null;
    const breathS = between(0.15, 0.5);
    const fineS = 0.005;
    const keep = Math.exp(-fineS / breathS);
    let pa = stationPa + 0.6 * (steady(how.fromRpm) - stationPa);
    let breath = how.breathPa * random.normal();
    let wound = 0;
    const truePa = new Float64Array(n);
    const breaths = new Float64Array(n);
    let next = 0;
    for (let t = 0; next < n; t += fineS) {
      const rpm = how.fromRpm + ((how.toRpm - how.fromRpm) * t) / durationS;
      // Boost control: the valve bleeds what is above the target, late, so that the first rush goes beyond it.
      const target = steady(rpm);
      if (controlled) {
        wound += (fineS * gain * (target - pa)) / 60e3;
        wound = Math.min(1, Math.max(-1, wound));
      }
      const open = controlled ? Math.min(1, Math.max(0, 0.5 + (1.6 * (target - pa)) / 40e3 + wound)) : 0;
      const tends = controlled ? stationPa + (target - stationPa) * (0.75 + 0.5 * open) : target;
      pa += ((tends - pa) * fineS) / lagS;
      breath = keep * breath + Math.sqrt(1 - keep * keep) * how.breathPa * random.normal();
      if (t >= timeS[next]! - 1e-9) {
        truePa[next] = stationPa + (pa - stationPa) * level;
        if (duty !== null) duty[next] = open;
        breaths[next] = breath;
        next++;
      }
    }
    const readPa = truePa.map((value, i) => {
      const read = value + breaths[i]! + how.noisePa * random.normal();
      return Math.round(read / how.quantumPa) * how.quantumPa;
    });
    return { timeS, engineSpeedRpm, truePa, readPa, duty };
  });
  return { pulls, meanPa: meanOf(pulls) };
}

function meanOf(pulls: readonly BoostPull[]): (rpm: number) => number {
  return (rpm) => {
    let sum = 0;
    for (const { engineSpeedRpm, truePa } of pulls) {
      let i = 0;
      while (i + 2 < engineSpeedRpm.length && engineSpeedRpm[i + 1]! < rpm) i++;
      const share = (rpm - engineSpeedRpm[i]!) / (engineSpeedRpm[i + 1]! - engineSpeedRpm[i]!);
      sum += truePa[i]! + share * (truePa[i + 1]! - truePa[i]!);
    }
    return sum / pulls.length;
  };
}
