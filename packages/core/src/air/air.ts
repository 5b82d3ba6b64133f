import { PullproofError } from '../findings/index.js';

/** The air of one place and time. */
export interface Air {
  readonly temperatureK: number;
  /** Absolute pressure where the air is, not reduced to sea level. */
  readonly stationPressurePa: number;
  /** 0–1. */
  readonly relativeHumidity: number;
}

const limits: readonly {
  readonly key: keyof Air;
  readonly low: number;
  readonly high: number;
  readonly text: string;
  readonly fix: string;
}[] = [
  {
    key: 'temperatureK',
    low: 223.15,
    high: 333.15,
    text: 'temperature must lie between 223.15 K (−50 °C) and 333.15 K (60 °C)',
    fix: 'Check the unit.',
  },
  {
    key: 'stationPressurePa',
    low: 50e3,
    high: 115e3,
    text: 'station pressure must lie between 50000 Pa and 115000 Pa',
    fix: 'Check the unit; it is an absolute pressure.',
  },
  { key: 'relativeHumidity', low: 0, high: 1, text: 'relative humidity must lie between 0 and 1', fix: 'Check the unit: 45 % is 0.45.' },
];

/** Refuses air that no road has, NaN included. */
export function requireAir(air: Air): void {
  for (const { key, low, high, text, fix } of limits) {
    const value = air[key];
    if (!(value >= low && value <= high)) throw new PullproofError('E_AIR', `${text}, given ${value}.`, {}, fix);
  }
}
