import { type Car, effectiveMassKg, gradeHere, gravityMps2, roadLoadN, type Surroundings } from './car.js';
import type { Engine } from './engine.js';
import { rungeKutta4 } from './rungeKutta4.js';

/** A way of driving that lasts until it says it is over. Times count from its own start. */
export interface Manner {
  /** 0 is neutral or an open clutch. */
  readonly gear: number;
  /** Driving force at the tyres, N. */
  force(sinceS: number, speedMps: number): number;
  /** Engine speed for that force; with a slipping clutch, the speed the engine tends to. */
  rpm(sinceS: number, speedMps: number, forceN: number): number;
  readonly clutch: 'locked' | 'slipping';
  /** Most that the tyres can pass to the road at their contact, N; without a limit when left out. */
  readonly gripN?: number;
  /** Whether the engine speeds up with the car; yes when left out and a gear is in. */
  engineFollows?(speedMps: number): boolean;
  /** Pedal for the time since the start and the share of full power in use. */
  pedal(sinceS: number, load: number): number;
  over(sinceS: number, speedMps: number, engineRpm: number, distanceM: number): boolean;
}

/** A car on its road: where it is, and everything recorded on the way. */
export interface Road {
  readonly car: Car;
  readonly around: Surroundings;
  readonly engine: Engine;
  readonly stepS: number;
  /** Recorded samples; also the clock: the next sample is at `samples() · stepS`. */
  samples(): number;
  speedMps(): number;
  distanceM(): number;
  /** Puts the car at a speed and the engine at another, without driving there. */
  place(speedMps: number, engineRpm: number): void;
  /** Drives in one manner until it is over. A manner starts and ends on a sample, so no step straddles a change. */
  go(manner: Manner): void;
  /** Last recorded value of a channel. */
  last(channel: string): number;
  at(channel: string, sample: number): number;
  recorded(): ReadonlyMap<string, Float64Array>;
}

const longestMannerS = 900;
/** Time constant with which an engine follows the speed it tends to, s. */
const engineFollowsS = 0.15;

/** A standing car with nothing recorded. */
export function openRoad(car: Car, around: Surroundings, engine: Engine, stepS: number): Road {
  const weightN = car.massKg * gravityMps2;
  const columns = new Map<string, number[]>();
  const column = (name: string): number[] => {
    let values = columns.get(name);
    if (values === undefined) {
      values = [];
      columns.set(name, values);
    }
    return values;
  };
  const speeds = column('speedMps');
  const wheelSpeeds = column('drivenWheelSpeedMps');
  const accelerations = column('accelerationMps2');
  const distances = column('distanceM');
  const altitudes = column('altitudeM');
  const rpms = column('engineSpeedRpm');
  const powers = column('wheelPowerW');
  const loads = column('load');
  const pedals = column('pedal');
  const gears = column('gear');
  // Speed, distance, altitude.
  const advance = rungeKutta4(3);
  const state = new Float64Array(3);
  let count = 0;
  let engineRpm = 0;

  /** Acceleration by a driving force: what spins takes its part first, and the tyre passes on no more than its grip. */
  function pushed(manner: Manner, forceN: number, massKg: number, speed = state[0]!, distance = state[1]!): number {
    const load = roadLoadN(car, around, speed, distance);
    const free = (forceN - load) / massKg;
    return manner.gripN === undefined ? free : Math.min(free, (manner.gripN - load) / car.massKg);
  }

  function record(manner: Manner, sinceS: number, forceN: number, massKg: number): void {
    const speed = state[0]!;
    const gripped =
      manner.gripN !== undefined && pushed(manner, forceN, massKg) < (forceN - roadLoadN(car, around, speed, state[1]!)) / massKg;
    // What wheels at their grip pass to the road; else what engine and gear give, spinning parts included.
    const power = (gripped ? manner.gripN! : forceN) * speed;
    const full = engineRpm > 0 ? engine.fullLoadWheelPowerW(engineRpm) : 0;
    const load = power > 0 && full > 0 ? Math.min(1, power / full) : 0;
    const pedal = manner.pedal(sinceS, load);
    speeds.push(speed);
    wheelSpeeds.push(speed * (1 + (car.slipPerWeight * Math.min(forceN, manner.gripN ?? forceN)) / weightN));
    accelerations.push(pushed(manner, forceN, massKg));
    distances.push(state[1]!);
    altitudes.push(state[2]!);
    rpms.push(engineRpm);
    powers.push(power);
    loads.push(load);
    pedals.push(pedal);
    gears.push(manner.gear);
    if (engine.advance === undefined) return;
    const further = engine.advance({ timeS: count * stepS, stepS, engineSpeedRpm: engineRpm, speedMps: speed, load, pedal });
    for (const name in further) column(name).push(further[name]!);
  }

  function go(manner: Manner): void {
    const coupled = effectiveMassKg(car, manner.gear);
    const uncoupled = effectiveMassKg(car, 0);
    const massAt = (speed: number): number => (manner.engineFollows === undefined || manner.engineFollows(speed) ? coupled : uncoupled);
    const startCount = count;
    const startS = count * stepS;
    const rate = (timeS: number, y: Float64Array, out: Float64Array): void => {
      out[0] = pushed(manner, manner.force(timeS - startS, y[0]!), massAt(y[0]!), y[0]!, y[1]!);
      out[1] = y[0]!;
      const grade = gradeHere(around, y[1]!);
      out[2] = (y[0]! * grade) / Math.hypot(1, grade);
    };
    for (;;) {
      const sinceS = (count - startCount) * stepS;
      const force = manner.force(sinceS, state[0]!);
      const target = manner.rpm(sinceS, state[0]!, force);
      engineRpm = manner.clutch === 'locked' ? target : engineRpm + (target - engineRpm) * (1 - Math.exp(-stepS / engineFollowsS));
      if (manner.over(sinceS, state[0]!, engineRpm, state[1]!)) return;
      if (sinceS > longestMannerS)
        throw new RangeError(`gear ${manner.gear}: still at ${state[0]} m/s, ${engineRpm} rpm after ${longestMannerS} s`);
      record(manner, sinceS, force, massAt(state[0]!));
      advance(rate, startS + sinceS, state, stepS);
      count++;
    }
  }

  return {
    car,
    around,
    engine,
    stepS,
    go,
    samples: () => count,
    speedMps: () => state[0]!,
    distanceM: () => state[1]!,
    place: (speedMps, rpm) => {
      state[0] = speedMps;
      engineRpm = rpm;
    },
    last: (channel) => column(channel)[count - 1]!,
    at: (channel, sample) => column(channel)[sample]!,
    recorded: () => new Map([...columns].map(([name, values]) => [name, Float64Array.from(values)])),
  };
}
