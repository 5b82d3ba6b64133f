import { type Car, effectiveMassKg, gravityMps2, roadLoadN, rpmPerMps, type Surroundings } from './car.js';
import type { Mark, Pass, Phase, Pull } from './phases.js';
import { rungeKutta4 } from './rungeKutta4.js';

/** One step of a drive, as told to the engine. */
export interface Moment {
  readonly timeS: number;
  readonly stepS: number;
  /** 0 with the engine off. */
  readonly engineSpeedRpm: number;
  readonly speedMps: number;
  /** Wheel power over full-load wheel power, 0 to 1; 0 with the throttle closed. */
  readonly load: number;
  readonly pedal: number;
}

/** What drives the wheels. An engine with a memory (heat) keeps it between steps: make a new one for every drive. */
export interface Engine {
  /** Steady-state wheel power at full load now, W. */
  fullLoadWheelPowerW(engineSpeedRpm: number): number;
  /** Called once a step, after the car has moved; returns true values of further channels, the same names every time. */
  advance?(moment: Moment): Readonly<Record<string, number>>;
}

/** The true motion of a drive on an even grid of time, with every further channel the engine reports. */
export interface Drive {
  readonly stepS: number;
  /** Samples of each channel; sample i is at i · stepS. */
  readonly samples: number;
  readonly channels: ReadonlyMap<string, Float64Array>;
  readonly marks: readonly Mark[];
}

/** A way of driving that lasts until it says it is over. */
interface Manner {
  readonly gear: number;
  /** Driving force at the tyres, N. */
  force(sinceS: number, speedMps: number): number;
  /** Engine speed for that force; a manner with a slipping clutch or an open one answers the speed the engine tends to. */
  rpm(sinceS: number, speedMps: number, forceN: number): number;
  readonly clutch: 'locked' | 'slipping';
  pedal(sinceS: number): number;
  over(sinceS: number, speedMps: number, engineRpm: number, distanceM: number): boolean;
}

const smoothStep = (x: number): number => (x <= 0 ? 0 : x >= 1 ? 1 : x * x * (3 - 2 * x));
const longestPhaseS = 900;

/**
 * Drives a car through phases and returns its true motion: m_eff dv/dt = F − drag − rolling − slope, integrated by RK4.
 *
 * At full load F · v is the engine's wheel power (times the pull's own scale and tilt), so wheel power read back by
 * (m k_r a + drag + rolling + slope) v is exactly what was put in. Channels: `speedMps` (over ground), `drivenWheelSpeedMps`,
 * `accelerationMps2`, `distanceM`, `engineSpeedRpm`, `wheelPowerW`, `load`, `pedal`, `gear` (0 is neutral) and the engine's own.
 *
 * @param phases in order; driving from one to the next is added.
 * @param options `stepS` grid and integration step, 5 ms when left out.
 * @throws RangeError for a gear the car does not have, a pull that cannot reach its end or a step out of 0–20 ms.
 */
export function drive(car: Car, around: Surroundings, engine: Engine, phases: readonly Phase[], options: { stepS?: number } = {}): Drive {
  const stepS = options.stepS ?? 0.005;
  if (!(stepS > 0 && stepS <= 0.02)) throw new RangeError(`stepS must be above 0 and at most 0.02 s, got ${stepS}`);
  const weightN = car.massKg * gravityMps2;
  const columns: Record<string, number[]> = {};
  const names = 'speedMps drivenWheelSpeedMps accelerationMps2 distanceM engineSpeedRpm wheelPowerW load pedal gear'.split(' ');
  const [speeds, wheelSpeeds, accelerations, distances, rpms, powers, loads, pedals, gears] = names.map((name) => {
    columns[name] = [];
    return columns[name];
  }) as number[][];
  const marks: Mark[] = [];
  const advance = rungeKutta4(2);
  const state = new Float64Array(2);
  let count = 0;
  let engineRpm = 0;
  const now = (): number => count * stepS;

  function go(manner: Manner): void {
    const { gear } = manner;
    const massKg = effectiveMassKg(car, gear);
    const startCount = count;
    const startS = now();
    const rate = (timeS: number, y: Float64Array, out: Float64Array): void => {
      const speed = y[0]!;
      out[0] = (manner.force(timeS - startS, speed) - roadLoadN(car, around, speed)) / massKg;
      out[1] = speed;
    };
    for (;;) {
      const sinceS = (count - startCount) * stepS;
      const speed = state[0]!;
      const force = manner.force(sinceS, speed);
      const target = manner.rpm(sinceS, speed, force);
      engineRpm = manner.clutch === 'locked' ? target : engineRpm + (target - engineRpm) * (1 - Math.exp(-stepS / 0.15));
      if (manner.over(sinceS, speed, engineRpm, state[1]!)) return;
      if (sinceS > longestPhaseS) throw new RangeError(`gear ${gear}: still not there after ${longestPhaseS} s at ${speed} m/s`);
      const power = force * speed;
      const full = engineRpm > 0 ? engine.fullLoadWheelPowerW(engineRpm) : 0;
      const load = power > 0 && full > 0 ? Math.min(1, power / full) : 0;
      speeds!.push(speed);
      wheelSpeeds!.push(speed * (1 + (car.slipPerWeight * force) / weightN));
      accelerations!.push((force - roadLoadN(car, around, speed)) / massKg);
      distances!.push(state[1]!);
      rpms!.push(engineRpm);
      powers!.push(power);
      loads!.push(load);
      pedals!.push(manner.pedal(sinceS));
      gears!.push(gear);
      if (engine.advance !== undefined) {
        const further = engine.advance({
          timeS: now(),
          stepS,
          engineSpeedRpm: engineRpm,
          speedMps: speed,
          load,
          pedal: manner.pedal(sinceS),
        });
        for (const name in further) {
          columns[name] ??= [];
          columns[name].push(further[name]!);
        }
      }
      advance(rate, now(), state, stepS);
      count++;
    }
  }

  const lockedRpm =
    (gear: number) =>
    (_sinceS: number, speed: number, force: number): number =>
      rpmPerMps(car, gear) * speed * (1 + (car.slipPerWeight * force) / weightN);

  const gearAt = (speed: number, top: number): number => {
    let gear = top;
    while (gear > 1 && rpmPerMps(car, gear) * speed < 1300) gear--;
    return gear;
  };

  /** Steady or wandering speed in a gear. */
  function hold(gear: number, speedMps: number, durationS: number, wanderMps = 0): void {
    const pace = (2 * Math.PI) / 11;
    const massKg = effectiveMassKg(car, gear);
    go({
      gear,
      clutch: 'locked',
      rpm: lockedRpm(gear),
      force: (sinceS, speed) => {
        const wanted = speedMps + wanderMps * Math.sin(pace * sinceS);
        return massKg * (wanderMps * pace * Math.cos(pace * sinceS) + (wanted - speed) / 2) + roadLoadN(car, around, speed);
      },
      pedal: () => 0.15,
      over: (sinceS) => sinceS >= durationS,
    });
  }

  /** From the present speed to another without hurry, in whatever gear suits. */
  function approach(speedMps: number, top: number): void {
    if (count === 0 && speedMps > 0) {
      state[0] = speedMps;
      engineRpm = rpmPerMps(car, top) * speedMps;
    }
    const near = speedMps === 0 ? 0.02 : 0.005;
    while (Math.abs(state[0]! - speedMps) > near) {
      const slowing = state[0]! > speedMps;
      const gear = gearAt(state[0]!, top);
      const massKg = effectiveMassKg(car, gear);
      go({
        gear,
        clutch: 'slipping',
        rpm: (_sinceS, speed) => Math.max(slowing ? car.idleRpm : 1300, rpmPerMps(car, gear) * speed),
        force: (_sinceS, speed) => massKg * Math.max(-2.6, Math.min(1.6, (speedMps - speed) / 0.7)) + roadLoadN(car, around, speed),
        pedal: () => (slowing ? 0 : 0.3),
        over: (_sinceS, speed) => Math.abs(speed - speedMps) <= near || gearAt(speed, top) !== gear,
      });
    }
    if (speedMps === 0) state[0] = 0;
  }

  const standing = (durationS: number, rpm: (sinceS: number) => number, pedal = 0): void =>
    go({
      gear: 0,
      clutch: 'slipping',
      rpm,
      force: () => roadLoadN(car, around, 0),
      pedal: () => pedal,
      over: (sinceS) => sinceS >= durationS,
    });

  const idleRpm = (sinceS: number): number =>
    car.idleRpm * (1 + 0.012 * Math.sin((2 * Math.PI * sinceS) / 1.7) + 0.007 * Math.sin((2 * Math.PI * sinceS) / 0.43));

  /** Full load with a locked clutch; `share` of the way from `leadN` to full force. */
  function fullLoad(
    gear: number,
    factor: (rpm: number) => number,
    share: (sinceS: number) => number,
    leadN: number,
    over: Manner['over'],
  ): void {
    const perMps = rpmPerMps(car, gear);
    const slip = car.slipPerWeight / weightN;
    go({
      gear,
      clutch: 'locked',
      rpm: lockedRpm(gear),
      force: (sinceS, speed) => {
        const part = share(sinceS);
        let rpm = perMps * speed;
        let force = leadN + part * ((factor(rpm) * engine.fullLoadWheelPowerW(rpm)) / speed - leadN);
        for (let i = 0; slip > 0 && i < 4; i++) {
          rpm = perMps * speed * (1 + slip * force);
          force = leadN + part * ((factor(rpm) * engine.fullLoadWheelPowerW(rpm)) / speed - leadN);
        }
        return force;
      },
      pedal: (sinceS) => (share(0) === 1 ? 1 : 0.15 + 0.85 * smoothStep(sinceS / 0.12)),
      over,
    });
  }

  /** Clutch open, pedal up, on the way to another gear. */
  function shift(toGear: number, holeS: number): void {
    go({
      gear: 0,
      clutch: 'slipping',
      rpm: (_sinceS, speed) => rpmPerMps(car, toGear) * speed,
      force: () => 0,
      pedal: (sinceS) => 1 - smoothStep(sinceS / 0.05) + smoothStep((sinceS - holeS + 0.05) / 0.05),
      over: (sinceS) => sinceS >= holeS,
    });
  }

  function lift(gear: number): void {
    const startN = powers!.at(-1)! / speeds!.at(-1)!;
    const endN = (-car.engineBrakingNm * rpmPerMps(car, gear) * Math.PI) / 30;
    go({
      gear,
      clutch: 'locked',
      rpm: lockedRpm(gear),
      force: (sinceS) => startN + (endN - startN) * smoothStep(sinceS / 0.2),
      pedal: (sinceS) => 1 - smoothStep(sinceS / 0.08),
      over: (sinceS) => sinceS >= 1.2,
    });
  }

  function pull(phase: Pull): void {
    const { gear, fromRpm, toRpm, scale = 1, tilt = 0, leadS = 1.5, tipInS = 0.3 } = phase;
    if (!(toRpm > fromRpm)) throw new RangeError(`a pull must end above its start, got ${fromRpm} to ${toRpm} rpm`);
    approach(fromRpm / rpmPerMps(car, gear), gear);
    hold(gear, state[0]!, leadS);
    const startS = now();
    const tipInCount = count + Math.ceil(tipInS / stepS);
    const leadN = roadLoadN(car, around, state[0]!);
    const factor = (rpm: number): number => scale * (1 + (tilt * (2 * rpm - fromRpm - toRpm)) / (toRpm - fromRpm));
    fullLoad(
      gear,
      factor,
      (sinceS) => smoothStep(sinceS / tipInS),
      leadN,
      (_sinceS, _speed, rpm) => rpm >= toRpm,
    );
    const fullAt = Math.min(tipInCount, count - 1);
    let last = gear;
    for (const next of phase.then ?? []) {
      shift(next.gear, next.holeS);
      fullLoad(
        next.gear,
        factor,
        (sinceS) => smoothStep(sinceS / 0.08),
        0,
        (_sinceS, _speed, rpm) => rpm >= next.toRpm,
      );
      last = next.gear;
    }
    const endS = now();
    lift(last);
    const fullFromRpm = rpms![fullAt]!;
    marks.push({ kind: 'pull', startS, endS, gear, fromRpm, toRpm, fullFromS: fullAt * stepS, fullFromRpm, scale, tilt });
  }

  function pass(phase: Pass): void {
    const { scale = 1, launchRpm, shiftRpm, holeS, gripShare, rolloutM, lengthM } = phase;
    approach(0, 1);
    standing(2, () => launchRpm, 0.4);
    const startS = now();
    const startM = state[1]!;
    const finished = (distanceM: number): boolean => distanceM - startM >= lengthM + rolloutM;
    const grip = gripShare * weightN;
    const first = rpmPerMps(car, 1);
    go({
      gear: 1,
      clutch: 'slipping',
      rpm: (_sinceS, speed) => Math.max(launchRpm, first * speed),
      force: (_sinceS, speed) => {
        const rpm = Math.max(launchRpm, first * speed);
        // A slipping clutch passes the engine's torque; locked, the same expression is power over speed.
        return Math.min(grip, (scale * engine.fullLoadWheelPowerW(rpm) * first) / rpm);
      },
      pedal: () => 1,
      over: (_sinceS, speed) => first * speed >= shiftRpm,
    });
    let gear = 1;
    while (!finished(state[1]!) && gear < car.gearRatios.length) {
      gear++;
      shift(gear, holeS);
      fullLoad(
        gear,
        () => scale,
        (sinceS) => smoothStep(sinceS / 0.08),
        0,
        (_sinceS, _speed, rpm, distanceM) => finished(distanceM) || (rpm >= shiftRpm && gear < car.gearRatios.length),
      );
    }
    const endS = now();
    lift(gear);
    marks.push({
      kind: 'pass',
      startS,
      endS,
      gear,
      fromRpm: launchRpm,
      toRpm: shiftRpm,
      fullFromS: null,
      fullFromRpm: null,
      scale,
      tilt: null,
    });
  }

  function plain(kind: Phase['kind'], startS: number, gear: number | null): void {
    marks.push({
      kind,
      startS,
      endS: now(),
      gear,
      fromRpm: null,
      toRpm: null,
      fullFromS: null,
      fullFromRpm: null,
      scale: null,
      tilt: null,
    });
  }

  for (const phase of phases) {
    if (phase.kind === 'pull') pull(phase);
    else if (phase.kind === 'pass') pass(phase);
    else if (phase.kind === 'key-on') {
      const startS = now();
      standing(phase.durationS, () => 0);
      plain(phase.kind, startS, null);
    } else if (phase.kind === 'idle') {
      approach(0, car.gearRatios.length);
      const startS = now();
      standing(phase.durationS, idleRpm);
      plain(phase.kind, startS, null);
    } else if (phase.kind === 'cruise') {
      approach(phase.speedMps, phase.gear);
      const startS = now();
      hold(phase.gear, phase.speedMps, phase.durationS, phase.wanderMps);
      plain(phase.kind, startS, phase.gear);
    } else {
      approach(phase.fromSpeedMps, car.gearRatios.length);
      const startS = now();
      go({
        gear: 0,
        clutch: 'slipping',
        rpm: idleRpm,
        force: () => 0,
        pedal: () => 0,
        over: (_sinceS, speed) => speed <= phase.toSpeedMps,
      });
      plain(phase.kind, startS, 0);
    }
  }
  const channels = new Map(Object.entries(columns).map(([name, values]) => [name, Float64Array.from(values)]));
  return { stepS, samples: count, channels, marks };
}

/** One full-load pull by itself: steady driving, pedal down, pull, lift. Same arguments as {@link drive}, one phase. */
export function simulatePull(
  car: Car,
  around: Surroundings,
  engine: Engine,
  pull: Omit<Pull, 'kind'>,
  options: { stepS?: number } = {},
): Drive {
  return drive(car, around, engine, [{ kind: 'pull', ...pull }], options);
}
