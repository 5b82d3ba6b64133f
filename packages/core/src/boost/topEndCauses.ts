/** What may limit power towards the top. */
export type TopEndCause =
  | 'belt-slip'
  | 'blower-capacity'
  | 'charge-heat'
  | 'restriction-before'
  | 'restriction-after'
  | 'bypass-or-leak'
  | 'sensor-ceiling'
  | 'throttle-closing'
  | 'torque-limit'
  | 'spark-knock'
  | 'spark-heat'
  | 'mixture'
  | 'fuel-pressure'
  | 'own-breathing'
  | 'too-few-data';

/** What can be looked at: how it goes from the low to the top window of engine speed. */
export type TopEndSign =
  | 'torque'
  | 'manifold-pressure'
  | 'sensor-ceiling'
  | 'charge-temperature'
  | 'intake-temperature'
  | 'rotor-ratio'
  | 'inlet-pressure'
  | 'air-per-turn'
  | 'air-by-fuel'
  | 'exhaust-pressure'
  | 'spark-advance'
  | 'knock-retard'
  | 'mixture'
  | 'fuel-pressure'
  | 'throttle'
  | 'bypass'
  | 'pressure-level'
  | 'sweep-rate'
  | 'torque-cuts';

/** A cause in words, and what decides it. */
export interface TopEndCauseWords {
  readonly name: string;
  /** What the cause is, as the end of "the cause is …". */
  readonly means: string;
  /** Signs that tell it from the causes that look alike, best first. */
  readonly decidedBy: readonly TopEndSign[];
  /** Signs whose channels would decide it. */
  readonly toLog: readonly TopEndSign[];
  /** What to know of those channels, or what to do without them; may be empty. */
  readonly besides: string;
  /** What to try once its channels are logged. */
  readonly proof: string;
}

/** Every cause that is weighed. */
export const topEndCauses: Readonly<Record<TopEndCause, TopEndCauseWords>> = {
  'belt-slip': {
    name: 'Belt slip',
    means: 'a belt that slips on a pulley, so that the rotors fall behind',
    decidedBy: ['rotor-ratio', 'sweep-rate'],
    toLog: ['rotor-ratio'],
    besides: 'Without it: repeat the pull one gear lower; a belt slips more in a faster sweep, a blower that is out of capacity does not.',
    proof:
      'Look for polish and dust at the pulleys, check tension and wrap, and repeat the pull: a belt that holds brings the rotor ratio back.',
  },
  'blower-capacity': {
    name: 'Blower out of capacity',
    means: 'a blower that delivers less with each turn as it is turned faster',
    decidedBy: ['rotor-ratio', 'sweep-rate'],
    toLog: ['rotor-ratio'],
    besides: 'Pressure that fades while the rotors keep their ratio is the blower; charge temperature after it then rises steeply.',
    proof: 'Hold rotor speed against the maker’s map. Another pulley brings little here; a freer inlet or a larger blower does.',
  },
  'charge-heat': {
    name: 'Charge heat',
    means: 'hot charge: air heated before the blower is thinner, and boost does not show it',
    decidedBy: ['intake-temperature', 'charge-temperature'],
    toLog: ['intake-temperature'],
    besides: 'It is taken before the blower: behind a good cooler its heat hardly shows. Repeat a pull cold and hot.',
    proof: 'Repeat a pull cold, and with the inlet fed from outside the engine bay: a loss that follows the inlet’s temperature is heat.',
  },
  'restriction-before': {
    name: 'Restriction before the blower',
    means: 'an inlet that throttles: filter, pipe, throttle body, a hose that collapses',
    decidedBy: ['inlet-pressure'],
    toLog: ['inlet-pressure'],
    besides: 'It is absolute, before the blower, or before the engine without one. Or repeat a pull with the filter off.',
    proof: 'Repeat a pull with the filter off, then with the pipe off: the part whose absence brings the pressure back is the one.',
  },
  'restriction-after': {
    name: 'Restriction after the blower',
    means: 'an engine that swallows less: exhaust, head, cams',
    decidedBy: ['exhaust-pressure', 'air-per-turn', 'manifold-pressure'],
    toLog: ['exhaust-pressure', 'air-per-turn'],
    besides: 'Pressure that rises while air does not is the engine’s side.',
    proof: 'Repeat a pull with the exhaust opened: manifold pressure that falls while power rises was exhaust.',
  },
  'bypass-or-leak': {
    name: 'Bypass open or boost leak',
    means: 'air that is made and lost: a bypass that opens, a hose or joint that leaks',
    decidedBy: ['bypass', 'pressure-level'],
    toLog: ['bypass'],
    besides: 'Pressure-test the system.',
    proof: 'Pressure-test the system, clamp the bypass shut for one pull, and repeat.',
  },
  'sensor-ceiling': {
    name: 'Sensor ceiling',
    means: 'a pressure sensor at the end of its range: the reading fades, not the boost',
    decidedBy: ['sensor-ceiling'],
    toLog: [],
    besides: '',
    proof: 'Fit a sensor of a larger range: what the engine did not lose need not be looked for.',
  },
  'throttle-closing': {
    name: 'Throttle closing',
    means: 'an electronic throttle that closes while the pedal is down',
    decidedBy: ['throttle'],
    toLog: ['throttle'],
    besides: 'Beside the pedal it tells the control from the foot.',
    proof: 'Ask the tuner for the torque and airflow limits of the calibration: it closes the throttle when one is reached.',
  },
  'torque-limit': {
    name: 'Torque management or soft limiter',
    means: 'a control that takes spark away without knock or heat, near a limit of torque or engine speed',
    decidedBy: ['spark-advance', 'torque-cuts'],
    toLog: ['spark-advance', 'knock-retard', 'charge-temperature'],
    besides: 'Look up the limits of the calibration.',
    proof: 'Ask the tuner which limit of torque, engine speed or gear takes the spark, and whether it is meant.',
  },
  'spark-knock': {
    name: 'Spark pulled by knock',
    means: 'a knock control that retards the spark',
    decidedBy: ['knock-retard'],
    toLog: ['knock-retard'],
    besides: '',
    proof:
      'Repeat a pull with a cooler charge or a fuel of higher octane: retard that goes away was knock. Do not take the knock control off.',
  },
  'spark-heat': {
    name: 'Spark pulled by charge temperature',
    means: 'a calibration that retards the spark as the charge gets hot',
    decidedBy: ['spark-advance', 'charge-temperature'],
    toLog: ['spark-advance', 'charge-temperature', 'knock-retard'],
    besides: '',
    proof: 'Repeat a pull from cold: spark that stays where the charge stays cool was taken by its temperature.',
  },
  mixture: {
    name: 'Mixture',
    means: 'a mixture that leaves its best value, rich or lean',
    decidedBy: ['mixture'],
    toLog: ['mixture'],
    besides: '',
    proof: 'Have the fuelling set to its target at these engine speeds, and repeat.',
  },
  'fuel-pressure': {
    name: 'Fuel pressure sag',
    means: 'fuel pressure that sags, so that the injectors deliver less',
    decidedBy: ['fuel-pressure'],
    toLog: ['fuel-pressure'],
    besides: '',
    proof: 'Check pump, filter, supply voltage and regulator under load before the next pull: a lean engine is lost quickly.',
  },
  'own-breathing': {
    name: 'The engine’s own breathing',
    means: 'nothing out of the ordinary: every engine breathes worse beyond some speed',
    decidedBy: ['air-per-turn', 'manifold-pressure'],
    toLog: ['air-per-turn'],
    besides: 'Compare with a setup that is known to be well, pulled over the same engine speeds.',
    proof: 'Nothing needs to be done; a setup to compare with would tell more.',
  },
  'too-few-data': {
    name: 'Too few data',
    means: 'chance: pulls that differ by as much as what seems to fade',
    decidedBy: ['torque'],
    toLog: [],
    besides: '',
    proof: 'Log more pulls of each setup in one outing.',
  },
};

/** What each sign is called. */
export const topEndSigns: Readonly<Record<TopEndSign, string>> = {
  torque: 'Torque',
  'manifold-pressure': 'Manifold pressure',
  'sensor-ceiling': 'Ceiling of the pressure sensor',
  'charge-temperature': 'Charge temperature',
  'intake-temperature': 'Intake air temperature',
  'rotor-ratio': 'Rotor speed over engine speed',
  'inlet-pressure': 'Inlet pressure over the weather’s',
  'air-per-turn': 'Air for each engine cycle, by the air meter',
  'air-by-fuel': 'Air for each engine cycle, by fuel and lambda',
  'exhaust-pressure': 'Exhaust back pressure',
  'spark-advance': 'Spark advance',
  'knock-retard': 'Knock retard',
  mixture: 'Lambda over its target',
  'fuel-pressure': 'Fuel pressure across the injectors',
  throttle: 'Throttle angle',
  bypass: 'Bypass position',
  'pressure-level': 'Pressure ratio low down against what the pulleys should make',
  'sweep-rate': 'Manifold pressure of fast sweeps against slow ones',
  'torque-cuts': 'Pulls with a torque cut in their upper half',
};

/** Causes that need a blower driven at a fixed ratio, and those that need boost of any kind. */
export const needsBelt: ReadonlySet<TopEndCause> = new Set<TopEndCause>(['belt-slip']);
export const needsBoost: ReadonlySet<TopEndCause> = new Set<TopEndCause>(['belt-slip', 'blower-capacity', 'bypass-or-leak']);

/** What must be logged or entered for a sign, in words. */
export const topEndSignNeeds: Readonly<Record<TopEndSign, string>> = {
  torque: 'road speed',
  'manifold-pressure': 'manifold pressure',
  'sensor-ceiling': 'manifold pressure',
  'charge-temperature': 'charge temperature',
  'intake-temperature': 'intake air temperature',
  'rotor-ratio': 'rotor speed',
  'inlet-pressure': 'inlet pressure',
  'air-per-turn': 'air mass flow',
  'air-by-fuel': 'injector pulse width with lambda',
  'exhaust-pressure': 'exhaust back pressure',
  'spark-advance': 'spark advance',
  'knock-retard': 'knock retard',
  mixture: 'lambda',
  'fuel-pressure': 'fuel pressure',
  throttle: 'throttle angle',
  bypass: 'bypass position',
  'pressure-level': 'both pulleys, beside manifold pressure',
  'sweep-rate': 'pulls in two gears',
  'torque-cuts': 'engine speed at 8 readings a second or more',
};
