import type { Quantity } from '../words/quantities.js';
import type { ValueRange } from './valueRange.js';

export interface GuessedUnit {
  /** Unit text for the closed table, or null where the range allows more than one. */
  readonly unit: string | null;
  readonly evidence: string;
}

interface Rule {
  readonly unit: string;
  readonly fits: (range: ValueRange) => boolean;
  readonly because: string;
}

const percentOrRatio: readonly Rule[] = [
  { unit: '%', fits: ({ max }) => max > 1.5, because: 'it passes 1.5' },
  { unit: '1', fits: ({ max, min }) => max <= 1.02 && max > 0.05 && min >= -1, because: 'it stays within 1' },
];

/**
 * Units that a range settles when none is written. Each unit's rule excludes the others; where none or two fit, nothing is guessed.
 * Common practice, no source: what engines and their sensors can read.
 */
const rules: Readonly<Partial<Record<Quantity, readonly Rule[]>>> = {
  'engine-speed': [{ unit: 'rpm', fits: ({ max }) => max > 300 && max < 20000, because: 'its numbers are those of an engine in rpm' }],
  'rotor-speed': [{ unit: 'rpm', fits: ({ max }) => max > 300, because: 'its numbers are rpm' }],
  'converter-slip': [{ unit: 'rpm', fits: ({ max }) => max > 20, because: 'its numbers are rpm' }],
  'manifold-pressure': [
    {
      unit: 'kPa',
      fits: ({ min, max, median }) => max > 60 && max < 450 && min >= 5 && median > 15,
      because: 'an engine stays between 5 and 450 kPa absolute',
    },
    {
      unit: 'mbar',
      fits: ({ max, min }) => max > 600 && max < 4500 && min >= 50,
      because: 'an engine stays between 50 and 4500 mbar absolute',
    },
  ],
  'barometric-pressure': [
    { unit: 'kPa', fits: ({ min, max }) => min > 55 && max < 110, because: 'air pressure lies between 55 and 110 kPa' },
    { unit: 'hPa', fits: ({ min, max }) => min > 550 && max < 1100, because: 'air pressure lies between 550 and 1100 hPa' },
    { unit: 'inHg', fits: ({ min, max }) => min > 16.5 && max < 32.5, because: 'air pressure lies between 16.5 and 32.5 inHg' },
    { unit: 'bar', fits: ({ min, max }) => min > 0.55 && max < 1.1, because: 'air pressure lies between 0.55 and 1.1 bar' },
  ],
  'coolant-temperature': [
    { unit: '°C', fits: ({ max, median }) => median > 60 && max < 125, because: 'a warm engine has 60 to 125 °C' },
    { unit: '°F', fits: ({ max, median }) => median > 140 && max < 260, because: 'a warm engine has 140 to 260 °F' },
    { unit: 'K', fits: ({ min, max }) => min > 250 && max > 320 && max < 400, because: 'a warm engine has 320 to 400 K' },
  ],
  lambda: [
    {
      unit: 'λ',
      fits: ({ median, max, min }) => median > 0.6 && median < 1.5 && max < 4 && min >= 0.4,
      because: 'its numbers are those of lambda',
    },
    {
      unit: 'AFR',
      fits: ({ median, min, max }) => median > 8 && median < 22 && min > 5 && max < 40,
      because: 'its numbers are those of an air-fuel ratio',
    },
  ],
  'commanded-lambda': [
    { unit: 'λ', fits: ({ median }) => median > 0.6 && median < 1.5, because: 'its numbers are those of lambda' },
    { unit: 'AFR', fits: ({ median }) => median > 8 && median < 22, because: 'its numbers are those of an air-fuel ratio' },
  ],
  throttle: percentOrRatio,
  pedal: percentOrRatio,
  load: percentOrRatio,
  'injector-duty': percentOrRatio,
  'bypass-duty': percentOrRatio,
  'wastegate-duty': percentOrRatio,
  'ethanol-share': percentOrRatio,
  'short-term-fuel-trim': [{ unit: '%', fits: ({ max, min }) => max > 1.5 || min < -1.5, because: 'it passes 1.5' }],
  'long-term-fuel-trim': [{ unit: '%', fits: ({ max, min }) => max > 1.5 || min < -1.5, because: 'it passes 1.5' }],
  'spark-advance': [{ unit: 'deg', fits: () => true, because: 'ignition is logged in degrees' }],
  'knock-retard': [{ unit: 'deg', fits: () => true, because: 'ignition is logged in degrees' }],
  'battery-voltage': [{ unit: 'V', fits: ({ max }) => max > 5 && max < 70, because: 'its numbers are volts' }],
  latitude: [{ unit: 'deg', fits: ({ max, min }) => max <= 90 && min >= -90, because: 'positions are logged in degrees' }],
  longitude: [{ unit: 'deg', fits: ({ max, min }) => max <= 180 && min >= -180, because: 'positions are logged in degrees' }],
};

export function guessUnit(quantity: Quantity, range: ValueRange): GuessedUnit {
  if (range.count === 0) return { unit: null, evidence: 'no unit is written and there are no numbers' };
  const fitting = (rules[quantity] ?? []).filter((rule) => rule.fits(range));
  const span = `${number(range.min)} to ${number(range.max)}`;
  if (fitting.length === 1)
    return { unit: fitting[0]!.unit, evidence: `no unit is written; taken as ${fitting[0]!.unit}, as ${fitting[0]!.because} (${span})` };
  return { unit: null, evidence: `no unit is written, and ${span} could be more than one` };
}

function number(value: number): string {
  return String(Number(value.toPrecision(4)));
}
