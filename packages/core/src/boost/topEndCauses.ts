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
  /** Channel or test that would decide. */
  readonly wouldDecide: string;
}

/** Every cause that is weighed. */
export const topEndCauses: Readonly<Record<TopEndCause, TopEndCauseWords>> = {
  'belt-slip': {
    name: 'Belt slip',
    means: 'a belt that slips on a pulley, so that the rotors fall behind',
    decidedBy: ['rotor-ratio', 'sweep-rate'],
    wouldDecide:
      'Log rotor speed. Without it: repeat the pull one gear lower; a belt slips more in a faster sweep, a blower that is out of capacity does not.',
  },
  'blower-capacity': {
    name: 'Blower out of capacity',
    means: 'a blower that delivers less with each turn as it is turned faster',
    decidedBy: ['rotor-ratio', 'sweep-rate'],
    wouldDecide:
      'Log rotor speed: pressure that fades while the rotors keep their ratio is the blower. Charge temperature after the blower then rises steeply.',
  },
  'charge-heat': {
    name: 'Charge heat',
    means: 'hot charge: air heated before the blower is thinner, and boost does not show it',
    decidedBy: ['charge-temperature', 'intake-temperature', 'spark-advance'],
    wouldDecide: 'Log charge and intake temperature with spark advance, and repeat a pull cold and hot.',
  },
  'restriction-before': {
    name: 'Restriction before the blower',
    means: 'an inlet that throttles: filter, pipe, throttle body, a hose that collapses',
    decidedBy: ['inlet-pressure'],
    wouldDecide: 'Log absolute pressure at the blower’s inlet (before the engine without a blower), or repeat a pull with the filter off.',
  },
  'restriction-after': {
    name: 'Restriction after the blower',
    means: 'an engine that swallows less: exhaust, head, cams',
    decidedBy: ['exhaust-pressure', 'air-per-turn', 'manifold-pressure'],
    wouldDecide:
      'Log exhaust back pressure, or air flow beside manifold pressure: pressure that rises while air does not is the engine’s side.',
  },
  'bypass-or-leak': {
    name: 'Bypass open or boost leak',
    means: 'air that is made and lost: a bypass that opens, a hose or joint that leaks',
    decidedBy: ['bypass', 'pressure-level'],
    wouldDecide:
      'Log the bypass position, pressure-test the system, and give both pulleys, so that boost low down can be held against what they should make.',
  },
  'sensor-ceiling': {
    name: 'Sensor ceiling',
    means: 'a pressure sensor at the end of its range: the reading fades, not the boost',
    decidedBy: ['sensor-ceiling'],
    wouldDecide: 'Log a pressure sensor of a larger range.',
  },
  'throttle-closing': {
    name: 'Throttle closing',
    means: 'an electronic throttle that closes while the pedal is down',
    decidedBy: ['throttle'],
    wouldDecide: 'Log throttle angle beside the pedal.',
  },
  'torque-limit': {
    name: 'Torque management or soft limiter',
    means: 'a control that takes spark away without knock or heat, near a limit of torque or engine speed',
    decidedBy: ['spark-advance', 'torque-cuts'],
    wouldDecide: 'Log spark advance with knock retard and charge temperature, and look up the limits of the calibration.',
  },
  'spark-knock': {
    name: 'Spark pulled by knock',
    means: 'a knock control that retards the spark',
    decidedBy: ['knock-retard'],
    wouldDecide: 'Log knock retard.',
  },
  'spark-heat': {
    name: 'Spark pulled by charge temperature',
    means: 'a calibration that retards the spark as the charge gets hot',
    decidedBy: ['spark-advance', 'charge-temperature'],
    wouldDecide: 'Log spark advance with charge temperature and knock retard.',
  },
  mixture: {
    name: 'Mixture',
    means: 'a mixture that leaves its best value, rich or lean',
    decidedBy: ['mixture'],
    wouldDecide: 'Log lambda with the commanded lambda.',
  },
  'fuel-pressure': {
    name: 'Fuel pressure sag',
    means: 'fuel pressure that sags, so that the injectors deliver less',
    decidedBy: ['fuel-pressure'],
    wouldDecide: 'Log fuel pressure beside lambda.',
  },
  'own-breathing': {
    name: 'The engine’s own breathing',
    means: 'nothing out of the ordinary: every engine breathes worse beyond some speed',
    decidedBy: ['air-per-turn', 'manifold-pressure'],
    wouldDecide: 'Compare with a setup that is known to be well, pulled over the same engine speeds.',
  },
  'too-few-data': {
    name: 'Too few data',
    means: 'chance: pulls that differ by as much as what seems to fade',
    decidedBy: ['torque'],
    wouldDecide: 'Log more pulls of each setup in one outing.',
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
