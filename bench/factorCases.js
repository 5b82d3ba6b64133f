// Cases of the factor study: each varies one thing about a usual log and keeps the rest. See bench/factorStudy.js.
import { makeLog, plainLogger, rpmPerMps, studyAir, studyCar, studyPowerW } from '@pullproof/simulation';
import { seededRandom } from '../packages/simulation/dist/random.js';
import { studyTrialYaml } from '../packages/simulation/dist/studyCar.js';

/** The usual log that every case starts from. */
const usual = {
  rateHz: 25,
  rpmNoise: 4,
  rpmStep: 1,
  /** km/h. */
  speedStep: 0.1,
  /** Readings per second of both channels where rows repeat them; null where every row is new. */
  heldHz: null,
  pulls: 3,
  /** m/s along the first direction, entered nowhere. */
  windMps: 0,
  ways: 1,
  grade: 0,
  /** Whether the log holds a receiver's altitude. */
  altitude: false,
  gear: 3,
  gainShare: 0,
};
/** Standard deviation of a pull's own factor. */
const pullSpread = 0.005;
const [fromRpm, toRpm] = [2400, 6600];

const vary = (factor, values, nameOf = (change) => Object.values(change).join(', ')) =>
  values.map((change) => ({ factor, name: nameOf(change), ...usual, ...change }));

const receiver = {
  header: 'GPS altitude (m)',
  source: 'altitudeM',
  lagS: 0.2,
  noise: 0.15,
  wander: { spread: 1.5, timeS: 120 },
  step: 0.1,
  rateHz: 5,
  decimals: 1,
};

export const factorCases = [
  ...vary('the usual log', [{}], () => '–'),
  ...vary('rows a second', [{ rateHz: 5 }, { rateHz: 10 }, { rateHz: 50 }, { rateHz: 100 }]),
  ...vary('noise of engine speed, rpm', [{ rpmNoise: 1 }, { rpmNoise: 12 }, { rpmNoise: 30 }]),
  ...vary('step of engine speed, rpm', [{ rpmStep: 10 }, { rpmStep: 25 }, { rpmStep: 50 }]),
  ...vary('step of road speed, km/h', [{ speedStep: 0.01 }, { speedStep: 0.5 }, { speedStep: 1 }]),
  ...vary(
    'both steps coarse: rpm, km/h',
    [
      { rpmStep: 25, rpmNoise: 0, speedStep: 1 },
      { rpmStep: 25, rpmNoise: 0, speedStep: 1, rateHz: 10 },
    ],
    ({ rateHz = 25 }) => `25 and 1 at ${rateHz} Hz`,
  ),
  ...vary(
    'new readings a second in rows of 50',
    [{ heldHz: 25 }, { heldHz: 10 }, { heldHz: 5 }, { heldHz: 2 }].map((change) => ({ ...change, rateHz: 50 })),
    ({ heldHz }) => `${heldHz}`,
  ),
  ...vary('pulls of each setup', [{ pulls: 2 }, { pulls: 5 }, { pulls: 8 }]),
  ...vary('wind of 3 m/s, not entered', [{ windMps: 3 }, { windMps: 3, ways: 2, pulls: 4 }], ({ ways }) =>
    ways === 2 ? 'two pulls each way' : 'one way',
  ),
  ...vary('grade of 1 %, not entered', [{ grade: 0.01 }, { grade: 0.01, altitude: true }], ({ altitude }) =>
    altitude ? 'altitude logged' : 'nothing tells it',
  ),
  ...vary('gear', [{ gear: 2 }, { gear: 4 }]),
];

/** Change and pulls for the power of detection. */
export const powerCases = [2, 3, 5, 8].flatMap((pulls) =>
  [0, 0.005, 0.01, 0.02, 0.03, 0.05].map((gainShare) => ({
    factor: 'power',
    name: `${pulls} pulls, ${100 * gainShare} %`,
    ...usual,
    pulls,
    gainShare,
  })),
);

/** Standard deviations of a reading for the bound, engine speed in rpm and road speed as engine speed. */
export function channelsOf({ rateHz, heldHz, rpmNoise, rpmStep, speedStep, gear }) {
  const hz = heldHz ?? rateHz;
  const kappa = rpmPerMps(studyCar, gear);
  return [
    { rateHz: hz, sigmaRpm: Math.sqrt(rpmNoise ** 2 + rpmStep ** 2 / 12) },
    { rateHz: hz, sigmaRpm: (kappa / 3.6) * Math.sqrt(speedNoise(speedStep) ** 2 + speedStep ** 2 / 12) },
  ];
}

/** A finer road speed has noise enough that its steps are not met at the same places by every pull, km/h. */
function speedNoise(step) {
  return step < 0.5 ? 0.05 : 0;
}

function loggerOf({ rateHz, heldHz, rpmNoise, rpmStep, speedStep, altitude }) {
  const held = heldHz === null ? {} : { rateHz: heldHz };
  return plainLogger({
    rateHz,
    engineSpeed: { noise: rpmNoise, step: rpmStep, ...held },
    roadSpeed: { step: speedStep, noise: speedNoise(speedStep), decimals: speedStep < 0.1 ? 2 : speedStep < 1 ? 1 : 0, ...held },
    further: altitude ? [receiver] : [],
    timing: { jitterS: 0.2 / rateHz },
  });
}

/** One trial of a case: the trial file, its logs, and the factors that its pulls had. */
export function factorTrial(one, seed) {
  const random = seededRandom(seed);
  const logs = new Map();
  const factors = {};
  const { gear, pulls, ways, windMps, grade } = one;
  const setups = ['before', 'after'].map((name) => {
    factors[name] = [];
    const runs = ['north', 'south'].slice(0, ways).map((direction, w) => {
      const phases = Array.from({ length: pulls / ways }, (_, p) => {
        const scale = 1 + pullSpread * random.normal();
        factors[name].push(scale);
        return { kind: 'pull', gear, fromRpm, toRpm, scale, leadS: 2 + 0.017 * p };
      });
      const log = `${name}-${direction}.csv`;
      const sign = w === 0 ? 1 : -1;
      const gain = name === 'after' ? one.gainShare : 0;
      const { text } = makeLog({
        car: studyCar,
        around: { ...studyAir, headwindMps: sign * windMps, grade: sign * grade },
        engine: { fullLoadWheelPowerW: (rpm) => studyPowerW(rpm) * (1 + gain) },
        phases,
        logger: loggerOf(one),
        seed: Math.floor(random.uniform() * 2 ** 48),
        stepS: 0.01,
      });
      logs.set(log, text);
      return { log, outing: ways === 2 ? `saturday, direction: ${direction}` : 'saturday' };
    });
    return { name, runs };
  });
  let trial = studyTrialYaml('factors', setups);
  if (windMps !== 0) trial = trial.replaceAll(', wind: 0 m/s', '');
  if (grade !== 0) trial = trial.replaceAll(', grade: 0 %', '');
  return { trial, logs, factors };
}
