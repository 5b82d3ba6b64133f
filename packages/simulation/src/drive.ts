import { type Car, roadLoadN, rpmPerMps, type Surroundings } from './car.js';
import type { Engine } from './engine.js';
import { approach, fullLoad, hold, idleRpm, launch, lift, roll, shift, stand } from './manners.js';
import type { Mark, Pass, Phase, Pull } from './phases.js';
import { openRoad, type Road } from './road.js';

/** The true motion of a drive on an even grid of time, with every further channel the engine reports. */
export interface Drive {
  readonly stepS: number;
  /** Samples of each channel; sample i is at i · stepS. */
  readonly samples: number;
  readonly channels: ReadonlyMap<string, Float64Array>;
  readonly marks: readonly Mark[];
}

function pull(road: Road, phase: Pull): Mark {
  const { gear, fromRpm, toRpm, scale = 1, tilt = 0, leadS = 1.5, tipInS = 0.3 } = phase;
  if (!(toRpm > fromRpm)) throw new RangeError(`a pull must end above its start, got ${fromRpm} to ${toRpm} rpm`);
  const { stepS } = road;
  approach(road, fromRpm / rpmPerMps(road.car, gear), gear);
  hold(road, gear, road.speedMps(), leadS);
  const start = road.samples();
  const leadN = roadLoadN(road.car, road.around, road.speedMps(), road.distanceM());
  const factor = (rpm: number): number => scale * (1 + (tilt * (2 * rpm - fromRpm - toRpm)) / (toRpm - fromRpm));
  fullLoad(road, gear, factor, { durationS: tipInS, leadN, pedalUp: true }, (_sinceS, _speed, rpm) => rpm >= toRpm);
  const full = start + Math.ceil(tipInS / stepS);
  if (full >= road.samples()) throw new RangeError(`gear ${gear}: the tip-in of ${tipInS} s is not over at ${toRpm} rpm`);
  let last = gear;
  for (const next of phase.nextGears ?? []) {
    shift(road, next.gear, next.holeS);
    fullLoad(road, next.gear, factor, { durationS: 0.08, leadN: 0, pedalUp: false }, (_sinceS, _speed, rpm) => rpm >= next.toRpm);
    last = next.gear;
  }
  const endS = road.samples() * stepS;
  lift(road, last);
  const fullFromRpm = road.at('engineSpeedRpm', full);
  return { kind: 'pull', startS: start * stepS, endS, gear, fromRpm, toRpm, fullFromS: full * stepS, fullFromRpm, scale, tilt };
}

function pass(road: Road, phase: Pass): Mark {
  const { scale = 1, launchRpm, shiftRpm, holeS, gripShare, riseS = 0, rolloutM, lengthM } = phase;
  approach(road, 0, 1);
  stand(road, 2, () => launchRpm, 0.4);
  const startS = road.samples() * road.stepS;
  const endM = road.distanceM() + rolloutM + lengthM;
  const gears = road.car.gearRatios.length;
  launch(road, scale, { launchRpm, shiftRpm, gripShare, riseS }, endM);
  let gear = 1;
  while (road.distanceM() < endM && gear < gears) {
    gear++;
    shift(road, gear, holeS);
    const over = (_sinceS: number, _speed: number, rpm: number, distanceM: number): boolean =>
      distanceM >= endM || (rpm >= shiftRpm && gear < gears);
    fullLoad(road, gear, () => scale, { durationS: 0.08, leadN: 0, pedalUp: false }, over, gripShare);
  }
  const endS = road.samples() * road.stepS;
  lift(road, gear);
  return { ...plainMark('pass', startS, endS, gear), fromRpm: launchRpm, toRpm: shiftRpm, scale };
}

function plainMark(kind: Phase['kind'], startS: number, endS: number, gear: number | null): Mark {
  return { kind, startS, endS, gear, fromRpm: null, toRpm: null, fullFromS: null, fullFromRpm: null, scale: null, tilt: null };
}

function plainPhase(road: Road, phase: Exclude<Phase, Pull | Pass>): Mark {
  const top = road.car.gearRatios.length;
  if (phase.kind === 'idle') approach(road, 0, top);
  else if (phase.kind === 'cruise') approach(road, phase.speedMps, phase.gear);
  else if (phase.kind === 'coast') approach(road, phase.fromSpeedMps, top);
  const startS = road.samples() * road.stepS;
  if (phase.kind === 'key-on') stand(road, phase.durationS, () => 0);
  else if (phase.kind === 'idle') stand(road, phase.durationS, idleRpm(road));
  else if (phase.kind === 'cruise') hold(road, phase.gear, phase.speedMps, phase.durationS, phase.wanderMps);
  else roll(road, phase.toSpeedMps);
  return plainMark(phase.kind, startS, road.samples() * road.stepS, phase.kind === 'cruise' ? phase.gear : null);
}

/**
 * Drives a car through phases and returns its true motion: m_eff dv/dt = F − drag − rolling − slope, integrated by RK4.
 *
 * At full load F · v is the engine's wheel power (times the pull's own scale and tilt), so wheel power read back by
 * (m k_r a + drag + rolling + slope) v is exactly what was put in. Channels: `speedMps` (over ground), `drivenWheelSpeedMps`,
 * `accelerationMps2`, `distanceM`, `altitudeM` (above the start), `engineSpeedRpm`, `wheelPowerW`, `load`, `pedal`, `gear` (0 is neutral) and the engine's own.
 *
 * @param phases in order; driving from one to the next is added.
 * @param options `stepS` grid and integration step, 5 ms when left out.
 * @throws RangeError for a gear the car does not have, a pull that cannot reach its end or a step out of 0–20 ms.
 */
export function drive(car: Car, around: Surroundings, engine: Engine, phases: readonly Phase[], options: { stepS?: number } = {}): Drive {
  const stepS = options.stepS ?? 0.005;
  if (!(stepS > 0 && stepS <= 0.02)) throw new RangeError(`stepS must be above 0 and at most 0.02 s, got ${stepS}`);
  const road = openRoad(car, around, engine, stepS);
  const marks: Mark[] = [];
  for (const phase of phases) {
    if (phase.kind === 'pull') marks.push(pull(road, phase));
    else if (phase.kind === 'pass') marks.push(pass(road, phase));
    else marks.push(plainPhase(road, phase));
  }
  return { stepS, samples: road.samples(), channels: road.recorded(), marks };
}

/** One full-load pull by itself: steady driving, pedal down, pull, lift. Same arguments as {@link drive}, one phase. */
export function simulatePull(
  car: Car,
  around: Surroundings,
  engine: Engine,
  phase: Omit<Pull, 'kind'>,
  options: { stepS?: number } = {},
): Drive {
  return drive(car, around, engine, [{ kind: 'pull', ...phase }], options);
}
