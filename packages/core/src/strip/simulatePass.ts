import { PullproofError } from '../findings/index.js';
import { STANDARD_GRAVITY } from '../vehicle/index.js';
import type { PassCar, PassDay } from './passCar.js';
import { type StripMark, speedTrapM, stripMarkM, stripMarks } from './stripGeometry.js';

/** One mark of a simulated pass. */
export interface PassMark {
  readonly mark: StripMark;
  /** From the start of the clock, s. */
  readonly timeS: number;
  /** Mean over the 66 ft that end at the mark, m/s. */
  readonly trapMps: number;
}

/** A simulated pass. */
export interface Pass {
  /** From the first movement to the start of the clock, s. */
  readonly clockStartS: number;
  readonly marks: readonly PassMark[];
  /** Speed at the end of the quarter mile, m/s. */
  readonly terminalMps: number;
  /** Time that the driving force was held by grip, s. */
  readonly gripLimitedS: number;
  /** Start of each shift after the clock's start, s. */
  readonly shiftsS: readonly number[];
  /** Highest and, once the clutch is locked, lowest engine speed at full load. */
  readonly lowestRpm: number;
  readonly highestRpm: number;
  /** Time from the clock's start (negative before it), s; distance from that point, m; speed, m/s. One point for each step of integration. */
  readonly trace: { readonly timeS: readonly number[]; readonly distanceM: readonly number[]; readonly speedMps: readonly number[] };
}

/**
 * Simulates a pass from a standing start: m k_r dv/dt = F − ½ρ CdA (v+w)|v+w| − m g (C_rr + grade), RK4 in time.
 *
 * F is the wheel-power curve over speed (through a slipping clutch or converter: engine torque through the gear, and the engine's own inertia counts only
 * as far as it speeds up). The force at the tyre's contact, m a + load, is limited by grip: ≤ μ (m g s + m a h/L). Between gears there is no force for a while. The clock starts after the roll-out; times are to distances from
 * there; speeds are means over the last 66 ft. Steps end on every change of gear, so the order of the method is kept.
 *
 * @param car mass, drag, gears, power, grip, launch, shifts
 * @param day air, wind, grade, roll-out
 * @param options `stepS`, 0.02 unless given; `shiftAtMps`: shift at these road speeds instead of at an engine speed
 * @returns times and speeds at the marks, and the whole motion
 * @throws E_STRIP_INPUT for inputs that are not finite or a car that does not reach the end within 120 s
 *
 * Validity: no wheelspin beyond the grip limit, no lift of an axle; the curve holds while engine speed changes fast.
 * Source: [GILLESPIE1992] ch. 2 (traction-limited acceleration with weight transfer) and eq. 4-12.
 *
 * @example
 * ```ts
 * import { powerTable, simulatePass } from '@pullproof/core';
 * const car = {
 *   massKg: 1600, dragAreaM2: 0.65, rollingCoefficient: 0.012, neutralRotatingFactor: 1,
 *   gears: [{ rpmPerMps: 100, rotatingFactor: 1 }], power: powerTable([1, 9000], [250e3, 250e3]),
 *   grip: { frictionCoefficient: 0.9, drivenShare: 1, transfer: 0 },
 *   launch: { engineSpeedRpm: 1, riseS: 0, stallTorqueRatio: null }, shift: { engineSpeedRpm: 9000, holeS: 0, returnS: 0 },
 * };
 * const pass = simulatePass(car, { airDensityKgPerM3: 1.2, windMps: 0, grade: 0, rollOutM: 0 });
 * pass.marks.at(-1)!.timeS.toFixed(2); // => '11.72'
 * ```
 */
export function simulatePass(
  car: PassCar,
  day: PassDay,
  options: { readonly stepS?: number; readonly shiftAtMps?: readonly number[] } = {},
): Pass {
  const { stepS = 0.02, shiftAtMps } = options;
  requireInputs(car, day, stepS);
  const { massKg, gears, power, grip, launch, shift } = car;
  const weightN = massKg * STANDARD_GRAVITY;
  const slope = Math.hypot(1, day.grade);
  const steadyN = (weightN * (car.rollingCoefficient + day.grade)) / slope;
  const dragKgPerM = 0.5 * day.airDensityKgPerM3 * car.dragAreaM2;
  const loadN = (v: number): number => steadyN + dragKgPerM * (v + day.windMps) * Math.abs(v + day.windMps);

  let gear = 0;
  let phase: 'drive' | 'hole' | 'return' = 'drive';
  let phaseStartS = 0;
  let gripped = false;

  /** What engine and gear offer without the limit of grip: force, and the factor of what spins up with the car. */
  const offered = (t: number, v: number): { readonly force: number; readonly factor: number } => {
    const wheels = car.neutralRotatingFactor;
    if (phase === 'hole') return { force: 0, factor: wheels };
    const perMps = gears[gear]!.rpmPerMps;
    const engine = gears[gear]!.rotatingFactor - wheels;
    const lockedRpm = perMps * v;
    let force: number;
    let factor: number;
    if (launch.stallTorqueRatio !== null) {
      const engineRpm = converterRpm(launch.engineSpeedRpm, lockedRpm);
      const ratio = lockedRpm / engineRpm;
      const multiplied = Math.max(1, launch.stallTorqueRatio - ((launch.stallTorqueRatio - 1) * ratio) / converterCoupling);
      force = (multiplied * power.at(engineRpm) * perMps) / engineRpm;
      // The engine speeds up only as far as the converter lets it follow, and what that takes is multiplied like its torque.
      factor = wheels + engine * multiplied * converterFollow * (converterFollow * ratio) ** 5;
    } else {
      const slipping = gear === 0 && lockedRpm < launch.engineSpeedRpm;
      const engineRpm = slipping ? launch.engineSpeedRpm : lockedRpm;
      force = (power.at(engineRpm) * perMps) / engineRpm;
      // Behind a slipping clutch the engine keeps its speed.
      factor = slipping ? wheels : wheels + engine;
    }
    if (gear === 0 && launch.riseS > 0) force *= 1 - Math.exp(-t / launch.riseS);
    if (phase === 'return') force *= Math.min(1, (t - phaseStartS) / shift.returnS);
    return { force, factor };
  };
  const acceleration = (t: number, v: number): number => {
    const load = loadN(v);
    const { force, factor } = offered(t, v);
    // What spins takes its share before the tyre: the force at the road is m a + load, and grip limits that one.
    const free = (force - load) / (massKg * factor);
    const limit =
      (grip.frictionCoefficient * weightN * grip.drivenShare - load) / (massKg * (1 - grip.frictionCoefficient * grip.transfer));
    gripped = free > limit;
    const net = Math.min(free, limit);
    // At rest the load only holds as much as pushes.
    return v <= 0 && net < 0 ? 0 : net;
  };
  const shiftDue = (v: number): boolean => {
    if (phase === 'hole' || gear + 1 >= gears.length) return false;
    const atMps = shiftAtMps === undefined ? shift.engineSpeedRpm / gears[gear]!.rpmPerMps : (shiftAtMps[gear] ?? Number.POSITIVE_INFINITY);
    return v >= atMps;
  };

  const times: number[] = [0];
  const distances: number[] = [0];
  const speeds: number[] = [0];
  const shiftsS: number[] = [];
  const endM = day.rollOutM + stripMarkM['1320ft'];
  let t = 0;
  let x = 0;
  let v = 0;
  let gripLimitedS = 0;
  let highestRpm = 0;
  let lowestRpm = Number.POSITIVE_INFINITY;
  let nextV = 0;
  let nextX = 0;
  const advance = (h: number): void => {
    const a1 = acceleration(t, v);
    const v2 = v + (h / 2) * a1;
    const a2 = acceleration(t + h / 2, v2);
    const v3 = v + (h / 2) * a2;
    const a3 = acceleration(t + h / 2, v3);
    const v4 = v + h * a3;
    const a4 = acceleration(t + h, v4);
    nextX = x + (h / 6) * (v + 2 * v2 + 2 * v3 + v4);
    nextV = v + (h / 6) * (a1 + 2 * a2 + 2 * a3 + a4);
  };
  while (x < endM) {
    if (t > 120)
      throw new PullproofError('E_STRIP_INPUT', 'the car does not reach the end within 120 s.', {}, 'Check power, mass and gears.');
    let h = stepS;
    const phaseEndS = phaseStartS + (phase === 'hole' ? shift.holeS : shift.returnS);
    if (phase !== 'drive') h = Math.min(h, phaseEndS - t);
    if (h > 1e-9) {
      advance(h);
      if (shiftDue(nextV)) {
        // The speed of the shift lies inside this step: end the step on it.
        let low = 0;
        let high = h;
        for (let i = 0; i < 40 && high - low > 1e-10; i++) {
          const middle = (low + high) / 2;
          advance(middle);
          if (shiftDue(nextV)) high = middle;
          else low = middle;
        }
        h = high;
        advance(h);
      }
      const wasGripped = gripped;
      t += h;
      x = nextX;
      v = nextV;
      if (wasGripped) gripLimitedS += h;
      if (phase !== 'hole') {
        const locked = gears[gear]!.rpmPerMps * v;
        highestRpm = Math.max(highestRpm, locked);
        lowestRpm = Math.min(lowestRpm, gear === 0 ? Math.max(locked, launch.engineSpeedRpm) : locked);
      }
      times.push(t);
      distances.push(x);
      speeds.push(v);
    }
    if (phase !== 'drive' && t >= phaseEndS - 1e-9) {
      phase = phase === 'hole' ? 'return' : 'drive';
      phaseStartS = t;
    }
    if (shiftDue(v)) {
      shiftsS.push(t);
      gear++;
      phase = 'hole';
      phaseStartS = t;
    }
  }

  let at = 0;
  /** When a distance from the first movement is reached, asked for in rising order; within a step the acceleration is constant. */
  const reachedS = (wantedM: number): number => {
    while (distances[at + 1]! < wantedM) at++;
    const gap = wantedM - distances[at]!;
    const span = times[at + 1]! - times[at]!;
    const a = (speeds[at + 1]! - speeds[at]!) / span;
    const v0 = speeds[at]!;
    return times[at]! + (gap <= 0 ? 0 : (2 * gap) / (v0 + Math.sqrt(Math.max(0, v0 * v0 + 2 * a * gap))));
  };
  const clockStartS = reachedS(day.rollOutM);
  const marks = stripMarks.map((mark): PassMark => {
    const fromS = reachedS(day.rollOutM + Math.max(0, stripMarkM[mark] - speedTrapM));
    const toS = reachedS(day.rollOutM + stripMarkM[mark]);
    return { mark, timeS: toS - clockStartS, trapMps: Math.min(speedTrapM, stripMarkM[mark]) / (toS - fromS) };
  });
  const last = times.length - 1;
  const share = (endM - distances[last - 1]!) / (distances[last]! - distances[last - 1]!);
  return {
    clockStartS,
    marks,
    terminalMps: speeds[last - 1]! + share * (speeds[last]! - speeds[last - 1]!),
    gripLimitedS,
    shiftsS: shiftsS.map((s) => s - clockStartS),
    lowestRpm,
    highestRpm,
    trace: { timeS: times.map((s) => s - clockStartS), distanceM: distances.map((m) => m - day.rollOutM), speedMps: speeds },
  };
}

/**
 * Time between two speeds of a pass, such as 60 to 130 mph.
 *
 * @param pass as simulated
 * @param fromMps lower speed, m/s
 * @param toMps higher speed, m/s
 * @returns s; null where the pass does not reach the second speed
 */
export function speedSpanS(pass: Pass, fromMps: number, toMps: number): number | null {
  const from = reachesS(pass, fromMps);
  const to = reachesS(pass, toMps);
  return from === null || to === null ? null : to - from;
}

function reachesS({ trace }: Pass, speedMps: number): number | null {
  const { timeS, speedMps: v } = trace;
  const i = v.findIndex((reached) => reached >= speedMps);
  if (i < 1) return i === 0 ? timeS[0]! : null;
  return timeS[i - 1]! + ((timeS[i]! - timeS[i - 1]!) * (speedMps - v[i - 1]!)) / (v[i]! - v[i - 1]!);
}

/** Share of engine speed at which a converter stops multiplying torque; common practice, no source. */
const converterCoupling = 0.87;

/** Engine speed over that of the turbine once the converter has coupled; common practice, no source. */
const converterFollow = 1.03;

/** Engine speed before a converter: its stall speed at first, later 3 % above the turbine. */
function converterRpm(stallRpm: number, turbineRpm: number): number {
  const followed = converterFollow * turbineRpm;
  return (stallRpm ** 6 + followed ** 6) ** (1 / 6);
}

function requireInputs(car: PassCar, day: PassDay, stepS: number): void {
  const numbers = [car.massKg, car.dragAreaM2, car.rollingCoefficient, car.grip.frictionCoefficient, car.grip.drivenShare, stepS];
  const others = [day.airDensityKgPerM3, day.windMps, day.grade, day.rollOutM, car.shift.holeS, car.launch.riseS, car.grip.transfer];
  const spins = car.gears.every(({ rpmPerMps, rotatingFactor }) => rpmPerMps > 0 && rotatingFactor > 0) && car.neutralRotatingFactor > 0;
  const positive = car.massKg > 0 && car.grip.frictionCoefficient > 0 && stepS > 0 && car.gears.length > 0 && car.launch.engineSpeedRpm > 0;
  const finite = [...numbers, ...others].every(Number.isFinite);
  const stands = car.grip.frictionCoefficient * car.grip.transfer < 1;
  if (positive && spins && finite && stands && car.shift.holeS >= 0 && car.shift.returnS >= 0 && day.rollOutM >= 0) return;
  throw new PullproofError(
    'E_STRIP_INPUT',
    `mass ${car.massKg} kg, grip ${car.grip.frictionCoefficient}, transfer ${car.grip.transfer}, step ${stepS} s, roll-out ${day.rollOutM} m must be finite and positive, and the car must not tip over.`,
    {},
    'Check mass, launch and gears.',
  );
}
