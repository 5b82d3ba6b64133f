// A sound trial: what the owner enters is true within what a careful owner can know. Mistakes are then made in it, one at a time.
import {
  baseSetup,
  blownEngine,
  drive,
  moistAirDensity,
  sampleCar,
  sampleEngine,
  sampleLog,
  sampleLogger,
  seededRandom,
} from '@pullproof/simulation';

/** Entered of the car; the simulated car is the same but for what `car` below draws. */
const entries = {
  scaleMassKg: 1467,
  scaleFuelL: 25,
  driverKg: 78,
  cargoKg: 5,
  tankL: 62,
  fuelKgPerL: 0.748,
  crankPulleyMm: 160,
  injectorCcPerMin: 420,
};

/** Setups of the trial: the change is a part that shows in power alone, or a smaller blower pulley, whose power is the change that is asked for and whose pressure is the pulley's. */
const order = [
  ['before', 'north', 0],
  ['after', 'north', 14],
  ['after', 'south', 22],
  ['before', 'south', 37],
];

/**
 * Everything about a trial before anything is driven: the trial file as an object, and for each log the world that it is driven in.
 *
 * @param seed draws all that is random
 * @param gain truth: power of `after` over `before`, less 1
 */
export function soundSpec(seed, gain) {
  const random = seededRandom(seed);
  const off = (spread) => spread * random.normal();
  const round = (value, decimals) => Number(value.toFixed(decimals));
  const day = {
    temperatureC: 12 + 16 * random.uniform(),
    pressureKPa: 97.5 + 3 * random.uniform(),
    humidity: 0.3 + 0.4 * random.uniform(),
    windNorth: off(0.8),
    grade: 0.002 * random.normal(),
  };
  const startFuelL = 34 + 14 * random.uniform();
  const hour = 8 + Math.floor(10 * random.uniform());
  const own = sampleCar(0);
  const car = {
    tyreRadiusM: own.tyreRadiusM * (1 + off(0.006)),
    dragAreaM2: own.dragAreaM2 * (1 + off(0.03)),
    rollingCoefficient: own.rollingCoefficient * (1 + off(0.05)),
    massOffKg: off(5),
  };
  const speedGain = 1 + off(0.006);
  const rateHz = [10, 20, 25][Math.floor(3 * random.uniform())];
  const pulls = 2;
  const trial = {
    trial: 1,
    title: 'Study',
    units: 'metric',
    car: {
      weighed: { mass: `${entries.scaleMassKg} kg`, 'fuel-in-tank': `${entries.scaleFuelL} L`, driver: 'out' },
      driver: `${entries.driverKg} kg`,
      cargo: `${entries.cargoKg} kg`,
      tank: `${entries.tankL} L`,
      'fuel-density': `${entries.fuelKgPerL} kg/L`,
      'fuel-type': { 'stoich-afr': 14.1 },
      'drag-area': `${own.dragAreaM2} m^2`,
      'rolling-coefficient': own.rollingCoefficient,
      'tyre-radius': `${own.tyreRadiusM} m`,
      'gear-ratios': [...own.gearRatios],
      'final-drive': own.finalDrive,
      transmission: 'manual',
      driven: 'rear',
      'wheel-inertia': `${own.wheelInertiaKgM2} kg m^2`,
      'engine-inertia': `${own.engineInertiaKgM2} kg m^2`,
      displacement: '2.8 L',
      cylinders: 6,
      redline: '6800 rpm',
      'boost-control': 'fixed-ratio',
      blower: { displacement: '1.25 L', 'crank-pulley': `${entries.crankPulleyMm} mm`, 'max-rotor-speed': '16500 rpm' },
      injectors: { count: 6, flow: `${entries.injectorCcPerMin} cc/min`, 'at-pressure': '3 bar', rail: 'referenced' },
      targets: { lambda: 0.81, 'leanest-lambda': 0.86 },
    },
    setups: ['before', 'after'].map((name) => ({ name, 'blower-pulley': `${baseSetup.pulleyMm} mm`, runs: [] })),
  };
  const worlds = new Map();
  for (const [setup, direction, minutes] of order) {
    const log = `${setup}-${direction}.csv`;
    const sign = direction === 'north' ? 1 : -1;
    const fuelL = startFuelL - 0.18 * minutes;
    const warmth = 0.01 * minutes;
    const world = {
      fuelL,
      extraKg: car.massOffKg,
      car: { ...car },
      temperatureC: day.temperatureC - warmth,
      pressureKPa: day.pressureKPa,
      humidity: day.humidity,
      headwindMps: sign * day.windNorth + off(0.25),
      grade: sign * day.grade,
      engine: baseSetup,
      power: setup === 'after' ? 1 + gain : 1,
      lambdaShift: 1,
      speedGain,
      rateHz,
      idleS: 8,
      cruiseS: 9,
      coast: true,
      pulls: Array.from({ length: pulls }, () => ({
        gear: 3,
        fromRpm: 2450 + Math.abs(off(60)),
        toRpm: 6550 - Math.abs(off(60)),
        scale: 1 + off(0.004),
        tilt: 0,
      })),
      seed: Math.floor(random.uniform() * 2 ** 48),
      slip: 0,
      channels: (list) => list,
      text: (text) => text,
    };
    worlds.set(log, world);
    trial.setups
      .find(({ name }) => name === setup)
      .runs.push({
        log,
        when: `2026-05-16T${String(hour + Math.floor(minutes / 60)).padStart(2, '0')}:${String(minutes % 60).padStart(2, '0')}`,
        outing: 'saturday',
        direction,
        'fuel-in-tank': `${round(fuelL + off(0.7), 0)} L`,
        air: {
          temperature: `${round(world.temperatureC + off(0.6), 1)} degC`,
          pressure: `${round(world.pressureKPa + off(0.08), 1)} kPa`,
          humidity: `${round(100 * (world.humidity + off(0.03)), 0)} %`,
        },
        wind: `${round(sign * day.windNorth + off(0.25), 1)} m/s`,
        grade: `${round(100 * (sign * day.grade + off(0.0004)), 2)} %`,
      });
  }
  return { trial, worlds, random, gain, day };
}

/** Every run of a setup, as it stands in the trial. */
export const runsOf = ({ trial }, setup) => trial.setups.find(({ name }) => name === setup).runs;

/** The worlds of the runs of a setup. */
export const worldsOf = (spec, setup) => runsOf(spec, setup).map(({ log }) => spec.worlds.get(log));

const usual = sampleLogger('point');

/** Engine speed that runs ahead of the car's along each pull: from locked to `growth` at its end, or, below zero, the other way round. */
function withSlip({ samples, stepS, channels, marks }, growth) {
  if (growth === 0) return channels;
  const rpm = Float64Array.from(channels.get('engineSpeedRpm'));
  for (const { kind, startS, endS } of marks) {
    if (kind !== 'pull') continue;
    for (let i = Math.ceil(startS / stepS); i < Math.min(samples, endS / stepS); i++) {
      const along = (i * stepS - startS) / (endS - startS);
      rpm[i] *= 1 + (growth > 0 ? growth * along : -growth * (1 - along));
    }
  }
  return new Map([...channels, ['engineSpeedRpm', rpm]]);
}

/** Logs that were driven already: most mistakes are made in the file or the export, and the drive is the same. */
const remembered = new Map();

/** Drives and records one log, as the logger writes it. */
function recording(world) {
  const channels = world.channels(
    usual.channels.map((channel) => (channel.source === 'speedMps' ? { ...channel, gain: world.speedGain } : channel)),
  );
  const key = JSON.stringify([world, channels]);
  if (!remembered.has(key)) {
    const car = sampleCar(world.fuelL);
    const engine = sampleEngine(world.engine, world.temperatureC + 273.15, 1000 * world.pressureKPa);
    const around = {
      airDensityKgPerM3: moistAirDensity(world.temperatureC + 273.15, 1000 * world.pressureKPa, world.humidity),
      headwindMps: world.headwindMps,
      grade: world.grade,
    };
    const phases = [
      { kind: 'key-on', durationS: 4 },
      { kind: 'idle', durationS: world.idleS },
      ...world.pulls.flatMap((pull) => [
        { kind: 'cruise', durationS: world.cruiseS, speedMps: 21, gear: 4, wanderMps: 0.15 },
        { kind: 'pull', leadS: 1.5, ...pull, scale: pull.scale * world.power },
      ]),
      ...(world.coast ? [{ kind: 'coast', fromSpeedMps: 32, toSpeedMps: 20 }] : []),
    ];
    const motion = drive(
      {
        ...car,
        massKg: car.massKg + world.extraKg,
        tyreRadiusM: world.car.tyreRadiusM,
        dragAreaM2: world.car.dragAreaM2,
        rollingCoefficient: world.car.rollingCoefficient,
      },
      around,
      blownEngine({ ...engine, lambdaError: (rpm) => engine.lambdaError(rpm) * world.lambdaShift }),
      phases,
      { stepS: 0.02 },
    );
    const logger = { ...usual, rateHz: world.rateHz, channels };
    remembered.set(key, sampleLog({ ...motion, channels: withSlip(motion, world.slip) }, logger, seededRandom(world.seed)));
    if (remembered.size > 60) remembered.delete(remembered.keys().next().value);
  }
  return remembered.get(key);
}

/** Drives every log of a spec: the text of the trial file, and bytes by path. A world that is a function makes its log of another's. */
export function made({ trial, worlds }) {
  const encoder = new TextEncoder();
  const texts = new Map();
  for (const [log, world] of worlds) if (typeof world !== 'function') texts.set(log, world.text(recording(world)));
  for (const [log, world] of worlds)
    if (typeof world === 'function')
      texts.set(
        log,
        world((path) => texts.get(path)),
      );
  return { text: JSON.stringify(trial), logs: new Map([...texts].map(([log, text]) => [log, encoder.encode(text)])) };
}
