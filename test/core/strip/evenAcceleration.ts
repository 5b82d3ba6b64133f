import type { AlignOptions, Slip, SpeedLog, StripMark } from '@pullproof/core';

// Source: uniform acceleration. A car gains 4 m/s each second from rest at 5 s; the clock starts when it has rolled 0.32 m, 0.4 s later.
export const acceleration = 4;
export const startS = 5;
export const clockS = 0.4;
export const rolledM = (acceleration / 2) * clockS ** 2;
export const marks: Readonly<Record<StripMark, number>> = {
  '60ft': 18.288,
  '330ft': 100.584,
  '660ft': 201.168,
  '1000ft': 304.8,
  '1320ft': 402.336,
};

/** From the start of the clock to a distance from there, s. */
export const timeTo = (metres: number): number => Math.sqrt((2 * (metres + rolledM)) / acceleration) - clockS;

/** Mean speed over the 66 ft that end at a distance. */
export const trapAt = (metres: number): number => 20.1168 / (timeTo(metres) - timeTo(metres - 20.1168));

/** What the strip prints for it. */
export const slip: Slip = {
  timesS: Object.fromEntries(Object.entries(marks).map(([mark, metres]) => [mark, timeTo(metres)])),
  trapsMps: { '660ft': trapAt(marks['660ft']), '1320ft': trapAt(marks['1320ft']) },
};

/** Its speed: after 20 s, past the stripe, it brakes. */
export const truth = (t: number): number => (t < startS ? 0 : t < 20 ? acceleration * (t - startS) : Math.max(0, 60 - 8 * (t - 20)));

/** Readings of a speed on an even clock. */
export const logOf = (speed: (t: number) => number, options: { hz?: number; fromS?: number; toS?: number } = {}): SpeedLog => {
  const { hz = 20, fromS = 0, toS = 40 } = options;
  const timeS = Float64Array.from({ length: Math.round((toS - fromS) * hz) + 1 }, (_, i) => fromS + i / hz);
  return { timeS, speedMps: timeS.map(speed) };
};

/** Nothing but mass holds the car: the driving force over the weight is the acceleration in g. */
export const groundSpeed: AlignOptions = { forceShare: (_v, a) => a / 9.80665, drivenWheels: false };
