import type {
  ChangeSheetResult,
  CurveResult,
  FuelSupplyResult,
  RoutesResult,
  TopEndAnalysis,
  TopEndCauseResult,
  TopEndObservation,
  TopEndResult,
  TorqueInUnits,
} from '@pullproof/core';

// Invented throughout, see inventedResult.ts. `words` puts one text into every field that may hold text from a log or a trial.

type Words = (text: string) => string;

const speeds = Array.from({ length: 40 }, (_, index) => 2500 + 100 * index);

function curve(at: (rpm: number) => number, half: number): CurveResult {
  const value = speeds.map(at);
  return {
    engineSpeedRpm: speeds,
    value,
    low: value.map((one) => one - half),
    high: value.map((one) => one + half),
    level: 0.95,
    simultaneous: false,
    bound: null,
  };
}

interface Course {
  readonly id: string;
  readonly name: string;
  readonly channel: string;
  readonly unit: string;
  readonly trend: readonly [value: number, spread: number, unit: string];
  readonly at: (rpm: number, after: boolean) => number;
}

const courses: readonly Course[] = [
  {
    id: 'manifold-pressure',
    name: 'Manifold pressure',
    channel: 'MAP (kPa)',
    unit: 'Pa',
    trend: [-0.061, 0.009, '1'],
    at: (rpm, after) => 168_000 + (after ? 9000 - 0.0011 * (rpm - 2500) ** 2 : 0) + rpm,
  },
  {
    id: 'charge-temperature',
    name: 'Charge temperature',
    channel: 'IAT2',
    unit: 'K',
    trend: [5.2, 0.8, 'K'],
    at: (rpm, after) => 312 + (after ? 0.0055 : 0.004) * (rpm - 2500),
  },
  {
    id: 'rotor-ratio',
    name: 'Rotor speed over engine speed',
    channel: 'Rotor',
    unit: '1',
    trend: [-0.002, 0.004, '1'],
    at: (_, after) => (after ? 2.14 : 2.03),
  },
  {
    id: 'spark-advance',
    name: 'Spark advance',
    channel: 'Spark',
    unit: 'deg',
    trend: [-0.4, 0.3, 'deg'],
    at: (rpm, after) => 14 + rpm / 900 - (after ? 0.5 : 0),
  },
  { id: 'throttle', name: 'Throttle angle', channel: 'TPS', unit: '1', trend: [0, 0.002, '1'], at: () => 0.98 },
  {
    id: 'mixture',
    name: 'Lambda over its target',
    channel: 'Lambda',
    unit: '1',
    trend: [0.011, 0.006, '1'],
    at: (rpm, after) => 1.01 + (after ? 0.000004 * (rpm - 2500) : 0),
  },
];

function observation(course: Course, before: string | null, after: string, words: Words): TopEndObservation {
  const setups = before === null ? [after] : [before, after];
  const mean = (at: number, setup: string): number => course.at(at, setup === after);
  const windows = [
    { window: 'low', fromRpm: 2900, toRpm: 3500, startS: 42.1, endS: 43.6 },
    { window: 'top', fromRpm: 5800, toRpm: 6400, startS: 47.2, endS: 48.9 },
  ] as const;
  return {
    id: course.id,
    name: course.name,
    channels: [words(course.channel)],
    unit: course.unit,
    before: before === null ? null : { low: mean(3200, before), top: mean(6100, before) },
    after: { low: mean(3200, after), top: mean(6100, after) },
    trend: course.trend[0],
    trendSpread: course.trend[1],
    trendUnit: course.trend[2],
    samples: setups.flatMap((setup) =>
      [0, 1, 2].flatMap((pull) =>
        windows.map(({ startS, endS, ...rest }) => ({
          setup,
          log: words(`${setup}.csv`),
          startS: startS + 88.4 * pull,
          endS: endS + 88.4 * pull,
          ...rest,
          count: 38 + pull,
          mean: mean((rest.fromRpm + rest.toRpm) / 2, setup) * (1 + 0.002 * (pull - 1)),
        })),
      ),
    ),
    traces: setups.map((setup) => ({ setup, engineSpeedRpm: speeds, value: speeds.map((rpm) => (rpm > 6300 ? null : mean(rpm, setup))) })),
    sentence: words(`${course.name} goes its own way from low to top.`),
  };
}

const shares: readonly (readonly [TopEndCauseResult['cause'], string, number, TopEndCauseResult['words']])[] = [
  ['blower-capacity', 'Blower out of capacity', 0.58, 'supported'],
  ['charge-heat', 'Charge heat', 0.31, 'supported'],
  ['belt-slip', 'Belt slip', 0.07, 'little supports it'],
  ['spark-heat', 'Spark pulled by charge temperature', 0.03, 'little supports it'],
  ['throttle-closing', 'Throttle closing', 0.01, 'the log speaks against it'],
];

function analysis(before: string | null, after: string, words: Words): TopEndAnalysis {
  return {
    before,
    after,
    fade: {
      kind: before === null ? 'power' : 'gain',
      lowRpm: [2900, 3500],
      topRpm: [5800, 6400],
      peakRpm: before === null ? [5100, 5300] : null,
      endRpm: before === null ? [6200, 6400] : null,
      lowShare: 0.054,
      topShare: 0.011,
      fade: 0.043,
      fadeSpread: 0.009,
    },
    answer: 'cannot tell',
    sentence: words(
      'The gain fades from 5.4 to 1.1 % of the power before. The log does not tell a blower out of capacity from charge heat.',
    ),
    leading: ['blower-capacity', 'charge-heat'],
    margin: 1,
    causes: shares.map(([cause, name, weight, found], index) => ({
      cause,
      name,
      rank: index + 1,
      points: Math.log(weight / 0.58),
      weight,
      words: found,
      speaksFor: [
        {
          observation: 'manifold-pressure',
          speaks: 'for',
          points: 1.8 - index * 0.3,
          sentence: words('Manifold pressure fades by 6.1 ± 0.9 % towards the top, as it would here.'),
        },
        {
          observation: 'charge-temperature',
          speaks: 'for',
          points: 0.9 - index * 0.1,
          sentence: words('The charge heats by 5.2 K more than before.'),
        },
      ],
      speaksAgainst: [
        {
          observation: 'rotor-ratio',
          speaks: 'against',
          points: -0.2 - index,
          sentence: words('The rotors keep their ratio within 0.4 %.'),
        },
      ],
      notLogged: [words('inlet pressure')],
      wouldDecide: words('Log the pressure before the blower, and repeat a pull cold and hot.'),
    })),
    observations: courses.map((course) => observation(course, before, after, words)),
    leftOut: [{ cause: 'fuel-pressure', name: 'Fuel pressure sag', reason: words('the fuel pressure is not logged') }],
    notLogged: [words('inlet pressure'), 'exhaust back pressure'],
    next: [words('Log the pressure before the blower.')],
  };
}

/** What limits the top end of each setup and each comparison. The first setup by itself fades nowhere. */
export function inventedTopEnd(
  setups: readonly string[],
  pairs: readonly (readonly [string, string])[],
  words: Words = String,
): TopEndResult {
  return {
    setups: setups.map((name, index) =>
      index > 0
        ? analysis(null, name, words)
        : {
            ...analysis(null, name, words),
            answer: 'nothing fades',
            sentence: words('Torque holds to the top of the pulls.'),
            leading: [],
            causes: [],
            observations: [],
            leftOut: [],
            next: [],
          },
    ),
    comparisons: pairs.map(([before, after]) => analysis(before, after, words)),
  };
}

const banded = (value: number, half: number, unit: string) =>
  ({ value, low: value - half, high: value + half, unit, standing: 'model' }) as const;

/** Fuel supply of a setup, with a forecast; without duty where `known` is false. */
export function inventedSupply(known: boolean, words: Words = String): FuelSupplyResult {
  const inputs = [
    { name: 'dead time of the injectors', source: words('plain default'), value: 0.0009, spread: 0.0002, unit: 's', standing: 'assumed' },
    {
      name: 'flow of one injector',
      source: words('car.injectors'),
      value: 550 / 60e6,
      spread: 0.02 * (550 / 60e6),
      unit: 'm³/s',
      standing: 'entered',
    },
  ] as const;
  if (!known) {
    return {
      sentence: words('Nothing can be said of the injectors.'),
      status: words('Log injector duty, or pulse width with engine speed.'),
      duty: null,
      pressureAcross: null,
      fuelFlowKgPerS: null,
      pulls: [],
      headroom: [],
      sag: null,
      sagStatus: words('fuel pressure was not logged'),
      inputs,
    };
  }
  const headroom = (at: 'measured' | 'forecast', duty: number): FuelSupplyResult['headroom'][number] => ({
    at,
    description: words(at === 'measured' ? 'as measured in the pulls' : 'in the densest air of the trial'),
    engineSpeedRpm: 6300,
    duty: banded(duty, 0.03, '1'),
    factors: at === 'measured' ? [] : [{ name: 'denser air', factor: 1.042, standing: 'model', source: words('ratio of densities') }],
    limits: [0.85, 1].map((limitDuty) => ({
      limitDuty,
      moreAir: banded(limitDuty / duty - 1, 0.04, '1'),
      wheelPowerW: banded(226_000 * (limitDuty / duty), 9000, 'W'),
    })),
    sentence: words(`At 6,300 rpm the injectors are open ${Math.round(100 * duty)} % of the time.`),
  });
  return {
    sentence: words('Injectors are open up to 79 % of the time: 8 % more air until 85 %.'),
    status: null,
    duty: {
      from: 'pulse width and engine speed',
      channel: words('Inj PW'),
      curve: curve((rpm) => 0.42 + 0.00009 * (rpm - 2500), 0.02),
      deadShare: speeds.map(() => 0.04),
      highest: banded(0.79, 0.02, '1'),
      highestAtRpm: 6300,
    },
    pressureAcross: {
      from: 'logged fuel pressure',
      how: words('rail pressure less manifold pressure'),
      curve: curve((rpm) => 300_000 - 4 * (rpm - 2500), 4000),
    },
    fuelFlowKgPerS: { from: 'injectors', curve: curve((rpm) => 0.009 + 0.0000022 * (rpm - 2500), 0.0004) },
    pulls: [],
    headroom: [headroom('measured', 0.79), headroom('forecast', 0.823)],
    sag: {
      channel: words('Fuel press'),
      steady: 'pressure across the injector',
      railStanding: 'entered',
      expectedPa: banded(300_000, 3000, 'Pa'),
      shortfallPa: curve((rpm) => -4 * (rpm - 2500), 4000),
      slopePaPerKrpm: banded(-4000, 900, 'Pa'),
      atTop: banded(-0.05, 0.012, '1'),
      flowAtTop: banded(-0.025, 0.006, '1'),
      verdict: 'falls',
      sentence: words('Fuel pressure across the injectors falls by 16 kPa (5 %) towards the top.'),
    },
    sagStatus: null,
    inputs,
  };
}

/** Routes to power: motion and fuel that disagree, air closed. */
export function inventedRoutes(words: Words = String): RoutesResult {
  const watts = (factor: number) => (rpm: number) => factor * (270_000 * (1 - ((rpm - 6100) / 6100) ** 2));
  const input = {
    name: 'share of power that the driveline takes',
    source: words('plain default'),
    value: 0.15,
    spread: 0.03,
    unit: '1',
    standing: 'assumed',
    contributionW: 8100,
  } as const;
  return {
    routes: [
      {
        route: 'motion',
        via: 'wheel power',
        name: 'Motion, by wheel power and driveline loss',
        equation: 'P = P_wheel / (1 − loss)',
        crankPowerW: curve(watts(1), 11_000),
        status: null,
        channels: [words('Engine Speed')],
        inputs: [input],
      },
      {
        route: 'air',
        via: null,
        name: 'Air, by manifold pressure and charge temperature',
        equation: 'P = air flow × work',
        crankPowerW: null,
        status: words('Enter the displacement.'),
        channels: [],
        inputs: [],
      },
      {
        route: 'fuel',
        via: 'injectors',
        name: 'Fuel, by injectors',
        equation: 'P = fuel flow / specific consumption',
        crankPowerW: curve(watts(1.12), 14_000),
        status: null,
        channels: [words('Inj PW')],
        inputs: [{ ...input, name: 'specific consumption', contributionW: -12_000 }],
      },
    ],
    pairs: [
      {
        first: { route: 'motion', via: 'wheel power' },
        second: { route: 'fuel', via: 'injectors' },
        ratio: curve(() => -0.11, 0.06),
        agrees: false,
        regions: [{ fromRpm: 2500, toRpm: 6400, meanShare: -0.11 }],
        sentence: words('Motion gives 11 % less than fuel.'),
        usuallyMeans: [words('The injectors flow more than entered.'), words('The car is heavier than entered.')],
      },
    ],
    answer: 'disagree',
    sentence: words('Motion and fuel disagree by 11 % from 2,500 to 6,400 rpm.'),
  };
}

const torque = (newtonMetres: number): TorqueInUnits => ({
  newtonMetres,
  footPounds: newtonMetres / 1.3558,
  inchPounds: newtonMetres / 0.11298,
});

/** A change sheet with one fastener of each kind. */
export function inventedSheet(words: Words = String): ChangeSheetResult {
  const fastener = { thread: null, proofLoadN: null, expected: null, unitMeant: null, sentence: null } as const;
  return {
    parts: [words('blower pulley 70 mm')],
    belts: [words('belt 2,140 mm, new')],
    hoses: [],
    notes: [words('tensioner moved one hole')],
    fasteners: [
      {
        ...fastener,
        where: words('blower pulley'),
        size: 'M8x1.25',
        propertyClass: '8.8',
        written: words('25 N m'),
        torque: torque(25),
        thread: { name: 'M8 × 1.25', diameterM: 0.008, pitchM: 0.00125, stressAreaM2: 36.6e-6, source: 'ISO 898-1' },
        proofLoadN: 21_200,
        expected: { low: torque(15), high: torque(34), basis: 'K from 0.12 to 0.20, half to nine tenths of proof load' },
        flag: 'none',
      },
      {
        ...fastener,
        where: words('hose clamp'),
        size: words('band 60 mm'),
        propertyClass: null,
        written: words('4 N m'),
        torque: torque(4),
        flag: 'cannot tell',
        sentence: words('The size is not known here.'),
      },
      {
        ...fastener,
        where: 'cover',
        size: 'M6',
        propertyClass: '8.8',
        written: words('90 lb ft'),
        torque: torque(122),
        expected: { low: torque(6), high: torque(12), basis: 'as above' },
        flag: 'another unit meant',
        unitMeant: 'lb in',
        sentence: words('90 lb ft would break an M6; 90 lb in fits.'),
      },
    ],
    caution: 'The maker’s figure rules.',
  };
}
