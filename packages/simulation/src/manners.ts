import { effectiveMassKg, gravityMps2, roadLoadN, rpmPerMps } from './car.js';
import type { Manner, Road } from './road.js';

/** Rises from 0 to 1 between 0 and 1, level at both ends. */
export const smoothStep = (x: number): number => (x <= 0 ? 0 : x >= 1 ? 1 : x * x * (3 - 2 * x));

/** Pedal of gentle driving with so much of the full power in use. */
const gentlePedal = (load: number): number => (load > 0 ? 0.08 + 0.5 * load : 0);
const clutchBitesRpm = 1300;
/** Gentle driving: no gear below this engine speed when speeding up, no faster than this. */
const gentleRpm = 1900;
const gentleMps2 = 1.2;

/** Engine speed in a gear with a locked clutch and slipping tyres. */
const lockedRpm = ({ car }: Road, gear: number): Manner['rpm'] => {
  const perMps = rpmPerMps(car, gear);
  const slipPerN = car.slipPerWeight / (car.massKg * gravityMps2);
  return (_sinceS, speed, force) => perMps * speed * (1 + slipPerN * force);
};

/** Steady or slowly wandering speed in a gear. */
export function hold(road: Road, gear: number, speedMps: number, durationS: number, wanderMps = 0): void {
  const { car, around } = road;
  const pace = (2 * Math.PI) / 11;
  const massKg = effectiveMassKg(car, gear);
  road.go({
    gear,
    clutch: 'locked',
    rpm: lockedRpm(road, gear),
    force: (sinceS, speed) => {
      const wanted = speedMps + wanderMps * Math.sin(pace * sinceS);
      const acceleration = wanderMps * pace * Math.cos(pace * sinceS) + (wanted - speed) / 2;
      return massKg * acceleration + roadLoadN(car, around, speed, road.distanceM());
    },
    pedal: (_sinceS, load) => gentlePedal(load),
    over: (sinceS) => sinceS >= durationS,
  });
}

/** From the present speed to another without hurry, in whatever gear suits, none above `top`. A drive that starts rolling starts at once. */
export function approach(road: Road, speedMps: number, top: number): void {
  const { car, around } = road;
  if (road.samples() === 0 && speedMps > 0) road.place(speedMps, rpmPerMps(car, top) * speedMps);
  const gearAt = (speed: number): number => {
    let gear = top;
    while (gear > 1 && rpmPerMps(car, gear) * speed < (speed > speedMps ? clutchBitesRpm : gentleRpm)) gear--;
    return gear;
  };
  const near = speedMps === 0 ? 0.02 : 0.005;
  while (Math.abs(road.speedMps() - speedMps) > near) {
    const slowing = road.speedMps() > speedMps;
    const gear = gearAt(road.speedMps());
    const massKg = effectiveMassKg(car, gear);
    road.go({
      gear,
      clutch: 'slipping',
      rpm: (_sinceS, speed) => Math.max(slowing ? car.idleRpm : clutchBitesRpm, rpmPerMps(car, gear) * speed),
      force: (_sinceS, speed) =>
        massKg * Math.max(-2.6, Math.min(gentleMps2, (speedMps - speed) / 0.7)) + roadLoadN(car, around, speed, road.distanceM()),
      pedal: (_sinceS, load) => (slowing ? 0 : gentlePedal(load)),
      over: (_sinceS, speed) => Math.abs(speed - speedMps) <= near || gearAt(speed) !== gear,
    });
  }
  if (speedMps === 0) road.place(0, car.idleRpm);
}

/** Standing still with the engine at a speed of its own, 0 for off. */
export function stand(road: Road, durationS: number, rpm: (sinceS: number) => number, pedal = 0): void {
  const { car, around } = road;
  road.go({
    gear: 0,
    clutch: 'slipping',
    rpm,
    force: () => roadLoadN(car, around, 0, road.distanceM()),
    pedal: () => pedal,
    over: (sinceS) => sinceS >= durationS,
  });
}

/** Engine speed of a warm engine left alone, hunting a little. */
export function idleRpm(road: Road): (sinceS: number) => number {
  const { idleRpm: rpm } = road.car;
  return (sinceS) => rpm * (1 + 0.012 * Math.sin((2 * Math.PI * sinceS) / 1.7) + 0.007 * Math.sin((2 * Math.PI * sinceS) / 0.43));
}

/** Rolling with the clutch open and the engine idling until the car is slow enough. */
export function roll(road: Road, toSpeedMps: number): void {
  road.go({
    gear: 0,
    clutch: 'slipping',
    rpm: idleRpm(road),
    force: () => 0,
    pedal: () => 0,
    over: (_sinceS, speed) => speed <= toSpeedMps,
  });
}

/**
 * Full load with a locked clutch: F = F_lead + share · (factor · P(n) / v − F_lead), where n depends on F through the tyres' slip
 * (fixed point, four rounds: each shrinks the error by more than ten for slips of a few per cent). `gripShare` limits F to that share of the weight.
 */
export function fullLoad(
  road: Road,
  gear: number,
  factor: (rpm: number) => number,
  tipIn: { readonly durationS: number; readonly leadN: number; readonly pedalUp: boolean },
  over: Manner['over'],
  gripShare: number = Number.POSITIVE_INFINITY,
): void {
  const { car, engine } = road;
  const perMps = rpmPerMps(car, gear);
  const gripN = gripShare * car.massKg * gravityMps2;
  const slipPerN = car.slipPerWeight / (car.massKg * gravityMps2);
  const { durationS, leadN, pedalUp } = tipIn;
  road.go({
    gear,
    clutch: 'locked',
    rpm: lockedRpm(road, gear),
    force: (sinceS, speed) => {
      const share = smoothStep(sinceS / durationS);
      let rpm = perMps * speed;
      let force = leadN + share * ((factor(rpm) * engine.fullLoadWheelPowerW(rpm)) / speed - leadN);
      for (let i = 0; slipPerN > 0 && i < 4; i++) {
        rpm = perMps * speed * (1 + slipPerN * force);
        force = leadN + share * ((factor(rpm) * engine.fullLoadWheelPowerW(rpm)) / speed - leadN);
      }
      return force;
    },
    ...(Number.isFinite(gripN) ? { gripN } : {}),
    pedal: (sinceS) => (pedalUp ? 0.12 + 0.88 * smoothStep(sinceS / 0.12) : 1),
    over,
  });
}

/** Clutch open and pedal up on the way to another gear. */
export function shift(road: Road, toGear: number, holeS: number): void {
  const perMps = rpmPerMps(road.car, toGear);
  road.go({
    gear: 0,
    clutch: 'slipping',
    rpm: (_sinceS, speed) => perMps * speed,
    force: () => 0,
    pedal: (sinceS) => 1 - smoothStep(sinceS / 0.05) + smoothStep((sinceS - holeS + 0.05) / 0.05),
    over: (sinceS) => sinceS >= holeS,
  });
}

/** Pedal up, the engine holding the car back. */
export function lift(road: Road, gear: number): void {
  const startN = road.last('wheelPowerW') / road.last('speedMps');
  const endN = (-road.car.engineBrakingNm * rpmPerMps(road.car, gear) * Math.PI) / 30;
  road.go({
    gear,
    clutch: 'locked',
    rpm: lockedRpm(road, gear),
    force: (sinceS) => startN + (endN - startN) * smoothStep(sinceS / 0.2),
    pedal: (sinceS) => 1 - smoothStep(sinceS / 0.08),
    over: (sinceS) => sinceS >= 1.2,
  });
}

/** From a stand in first gear: the tyres' grip or the engine's torque through a slipping clutch, whichever is less, until the shift or the end. */
export function launch(
  road: Road,
  scale: number,
  how: { readonly launchRpm: number; readonly shiftRpm: number; readonly gripShare: number; readonly riseS: number },
  endM: number,
): void {
  const { car, engine } = road;
  const { launchRpm, shiftRpm, gripShare, riseS } = how;
  const gripN = gripShare * car.massKg * gravityMps2;
  const perMps = rpmPerMps(car, 1);
  road.go({
    gear: 1,
    clutch: 'slipping',
    rpm: (_sinceS, speed) => Math.max(launchRpm, perMps * speed),
    force: (sinceS, speed) => {
      const rpm = Math.max(launchRpm, perMps * speed);
      const built = riseS > 0 ? 1 - Math.exp(-sinceS / riseS) : 1;
      // Torque through the gears; with the clutch locked (rpm = perMps · speed) the same as power over speed.
      return (built * scale * engine.fullLoadWheelPowerW(rpm) * perMps) / rpm;
    },
    gripN,
    // Behind a slipping clutch the engine keeps its speed.
    engineFollows: (speed) => perMps * speed >= launchRpm,
    pedal: () => 1,
    over: (_sinceS, speed, _rpm, distanceM) => perMps * speed >= shiftRpm || distanceM >= endM,
  });
}
