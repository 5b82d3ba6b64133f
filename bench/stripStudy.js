// How well one slip foretells the next: random cars, inertia and launch drawn too, driven by the simulator of packages/simulation, learned from by the product. Seeded.
//   node bench/stripStudy.js [--cars 2000] [--first 1]
// The next pass has 5 % more power and other air. "Same as last slip" is the forecast to beat.
import { parseArgs } from 'node:util';
import { checkSlip, forecastPass, learnFromSlips, powerFromTrap, powerTable, randomStream, usualPassSpreads } from '@pullproof/core';
import { drive, effectiveMassKg, rpmPerMps, studyCar, studyPowerW, timeSlip } from '@pullproof/simulation';

const mph = 0.44704;
const grid = Array.from({ length: 131 }, (_, i) => 1000 + 50 * i);
const round = (value, step) => Math.round(value / step) * step;

/** Drives a pass of the true car and reads it as a strip would print it. */
function printedSlip(car, day, powerW, pass) {
  const driven = drive(car, day, { fullLoadWheelPowerW: powerW }, [{ kind: 'pass', lengthM: 402.4, ...pass }], { stepS: 0.005 });
  const { times, speeds } = timeSlip(driven, driven.marks[0], pass.rolloutM);
  return {
    timesS: Object.fromEntries(times.map(({ mark, timeS }) => [mark, round(timeS, 0.001)])),
    trapsMps: Object.fromEntries(speeds.map(({ mark, speedMps }) => [mark, round(speedMps / mph, 0.01) * mph])),
  };
}

/** One random car: what its owner knows, and what is true. With `exactPower` the measured curve is the true one. Every truth lies about the known value by the spread that the product assumes. */
function randomCar(seed, { exactPower = false } = {}) {
  const stream = randomStream(seed);
  const between = (low, high) => low + (high - low) * stream.uniform();
  const massKg = between(1150, 1900);
  const peak = between(0.7, 1.8);
  const grip = between(0.65, 1.05);
  // A 60-ft time that repeats to 0.01 s: it goes with grip to the power of -1/2.
  const sixtyFootS = Math.sqrt((2 * 18.288) / (9.80665 * grip));
  const spreads = { ...usualPassSpreads, gripRepeatShare: (2 * 0.01) / sixtyFootS, powerRepeatShare: 0.004, densityExponent: 0.1 };
  const known = { ...studyCar, massKg };
  const off = (share) => Math.exp(share * stream.normal());
  const trueLaunchRpm = 3500 * off(spreads.launchRpmShare);
  const spinShare = off(spreads.rotatingShare);
  const knownPower = grid.map((rpm) => peak * studyPowerW(rpm));
  const gears = known.gearRatios.map((_, i) => ({
    rpmPerMps: rpmPerMps(known, i + 1),
    rotatingFactor: effectiveMassKg(known, i + 1) / massKg,
  }));
  const model = {
    car: {
      massKg,
      dragAreaM2: known.dragAreaM2,
      rollingCoefficient: known.rollingCoefficient,
      gears,
      neutralRotatingFactor: effectiveMassKg(known, 0) / massKg,
      power: powerTable(grid, knownPower),
      grip: { frictionCoefficient: grip, drivenShare: 1, transfer: 0 },
      launch: { engineSpeedRpm: 3500, riseS: 0.15, stallTorqueRatio: null },
      shift: { engineSpeedRpm: 6600, holeS: 0.3, returnS: 0.08 },
    },
    curveDensityKgPerM3: 1.16,
    densityExponent: 1,
    spreads,
    // The curve was measured in third gear, with the inertias that are believed.
    pulled: gears[2],
  };
  const scale = off(exactPower ? 0 : spreads.powerShare);
  const slope = exactPower ? 0 : spreads.powerSlopeShare * stream.normal();
  const exponent = 1 + spreads.densityExponent * stream.normal();
  const trueGrip = grip * off(spreads.gripShare);
  const riseS = 0.15 * off(spreads.launchShare);
  const holeS = 0.3 * off(spreads.shiftShare);
  const rolloutM = Math.max(0.02, 0.29 + spreads.rollOutM * stream.normal());
  const trueCar = {
    ...known,
    massKg: massKg * off(spreads.massShare),
    dragAreaM2: known.dragAreaM2 * off(spreads.dragShare),
    rollingCoefficient: known.rollingCoefficient * off(spreads.rollingShare),
    wheelInertiaKgM2: known.wheelInertiaKgM2 * spinShare,
    engineInertiaKgM2: known.engineInertiaKgM2 * spinShare,
  };
  // With heavier spinning parts the pulls would have shown more power: what went into speeding up is worked out with their factor.
  const believed = gears[2].rotatingFactor;
  const more = (1 + (believed - 1) * spinShare) / believed - 1;
  const measured = (rpm) => {
    const watts = peak * studyPowerW(rpm);
    const v = rpm / gears[2].rpmPerMps;
    const load = (0.5 * 1.16 * known.dragAreaM2 * v * v + massKg * 9.80665 * known.rollingCoefficient) * v;
    return watts + (watts - load) * more;
  };
  const day = () => {
    const airDensityKgPerM3 = between(1.1, 1.22);
    const known = {
      airDensityKgPerM3,
      windMps: 0,
      grade: 0,
      rollOutM: 0.29,
      windSpreadMps: 0.5,
      gradeSpread: 0.0003,
      densitySpreadShare: 0.004,
      massFactor: 1,
      massSpreadShare: 0.002,
    };
    const massFactor = off(0.002);
    const around = {
      airDensityKgPerM3: airDensityKgPerM3 * off(0.004),
      headwindMps: 0.5 * stream.normal(),
      grade: 0.0003 * stream.normal(),
    };
    const factor = (around.airDensityKgPerM3 / 1.16) ** exponent * scale * off(spreads.powerRepeatShare);
    const pass = { launchRpm: trueLaunchRpm, shiftRpm: 6600, holeS, riseS, rolloutM, gripShare: trueGrip * off(spreads.gripRepeatShare) };
    const power = (more) => (rpm) => more * factor * measured(rpm) * (1 + (slope * (rpm - 4250)) / 3250);
    return { known, slip: (more) => printedSlip({ ...trueCar, massKg: trueCar.massKg * massFactor }, around, power(more), pass) };
  };
  const stronger = {
    ...model,
    car: {
      ...model.car,
      power: powerTable(
        grid,
        knownPower.map((w) => 1.05 * w),
      ),
    },
  };
  return { model, stronger, first: day(), next: day() };
}

/** How often slip and pulls of the identical car are said to agree, everything but the measured curve drawn; and what the slip asks for where power is 10 % less. */
export function reconcileStudy(cars, fromSeed = 1) {
  const told = { cars, agree: 0, lessFound: 0, meanScale: 0, rmsScale: 0, cannotBe: 0 };
  for (let seed = fromSeed; seed < fromSeed + cars; seed++) {
    const { model, first } = randomCar(seed, { exactPower: true });
    const slip = first.slip(1);
    const scale = powerFromTrap(slip, model, first.known);
    if (scale.low <= 1 && 1 <= scale.high) told.agree++;
    told.meanScale += scale.value / cars;
    told.rmsScale += (scale.value - 1) ** 2 / cars;
    const less = powerFromTrap(first.slip(0.9), model, first.known);
    if (less.high < 1) told.lessFound++;
    if (learnFromSlips(model, [{ slip, day: first.known }]).cannotBe) told.cannotBe++;
  }
  return { ...told, rmsScale: Math.sqrt(told.rmsScale) };
}

/** Slips of random cars with and without one cell mistyped by a second or 10 mph: how often a whole one is accused, and the wrong cell named. */
export function mistypedStudy(cars, fromSeed = 1) {
  const told = { cars, accused: 0, times: 0, timesNamed: 0, timesAlone: 0, speeds: 0, speedsNamed: 0, speedsAlone: 0 };
  for (let seed = fromSeed; seed < fromSeed + cars; seed++) {
    const slip = randomCar(seed).first.slip(1);
    const place = (kind, mark) => ({ field: `${kind}.${mark}` });
    const wrong = (one) =>
      checkSlip(one, place)
        .filter(({ severity }) => severity === 'error')
        .map(({ where }) => where.field);
    if (wrong(slip).length > 0) told.accused++;
    const stream = randomStream(seed + 5e6);
    const sign = stream.uniform() < 0.5 ? -1 : 1;
    const marks = Object.keys(slip.timesS);
    const mark = marks[Math.floor(stream.uniform() * marks.length)];
    const late = wrong({ ...slip, timesS: { ...slip.timesS, [mark]: slip.timesS[mark] + sign } });
    told.times++;
    if (late.includes(`times.${mark}`)) told.timesNamed++;
    if (late.length === 1 && late[0] === `times.${mark}`) told.timesAlone++;
    const trap = stream.uniform() < 0.5 ? '660ft' : '1320ft';
    const fast = wrong({ ...slip, trapsMps: { ...slip.trapsMps, [trap]: slip.trapsMps[trap] + sign * 10 * mph } });
    told.speeds++;
    if (fast.includes(`speeds.${trap}`)) told.speedsNamed++;
    if (fast.length === 1 && fast[0] === `speeds.${trap}`) told.speedsAlone++;
  }
  return told;
}

/** Errors and coverage of the next slip's forecast over random cars. */
export function study(cars, draws = 200, fromSeed = 1) {
  const sums = { et: 0, etSame: 0, trap: 0, trapSame: 0, etPrior: 0 };
  let etInside = 0;
  let trapInside = 0;
  let notConverged = 0;
  for (let seed = fromSeed; seed < fromSeed + cars; seed++) {
    const { model, stronger, first, next } = randomCar(seed);
    const last = first.slip(1);
    const learned = learnFromSlips(model, [{ slip: last, day: first.known }]);
    if (!learned.converged) notConverged++;
    const { elapsedTimeS, trapMps } = forecastPass(stronger, next.known, { learned, draws, seed });
    const truth = next.slip(1.05);
    const [et, trap] = [truth.timesS['1320ft'], truth.trapsMps['1320ft']];
    sums.et += (elapsedTimeS.value - et) ** 2;
    sums.etSame += (last.timesS['1320ft'] - et) ** 2;
    sums.trap += (trapMps.value - trap) ** 2;
    sums.trapSame += (last.trapsMps['1320ft'] - trap) ** 2;
    if (elapsedTimeS.low <= et && et <= elapsedTimeS.high) etInside++;
    if (trapMps.low <= trap && trap <= trapMps.high) trapInside++;
  }
  const rms = (sum) => Math.sqrt(sum / cars);
  return {
    cars,
    notConverged,
    etRmsS: rms(sums.et),
    etSameRmsS: rms(sums.etSame),
    trapRmsMph: rms(sums.trap) / mph,
    trapSameRmsMph: rms(sums.trapSame) / mph,
    etCoverage: etInside / cars,
    trapCoverage: trapInside / cars,
  };
}

if (process.argv[1] === new URL(import.meta.url).pathname) {
  const { values } = parseArgs({ options: { cars: { type: 'string', default: '2000' }, first: { type: 'string', default: '1' } } });
  console.log(study(Number(values.cars), 200, Number(values.first)));
  console.log(reconcileStudy(Math.round(Number(values.cars) / 4), Number(values.first)));
  console.log(mistypedStudy(Number(values.cars), Number(values.first)));
}
