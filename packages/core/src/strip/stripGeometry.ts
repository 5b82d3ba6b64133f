/** Marks of a strip that a slip may show a time for, from the start. */
export type StripMark = '60ft' | '330ft' | '660ft' | '1000ft' | '1320ft';

/** Distance of each mark from the point where the clock starts, m. Source: strip layouts as published by sanctioning bodies; 1 ft = 0.3048 m exactly. */
export const stripMarkM: Readonly<Record<StripMark, number>> = {
  '60ft': 18.288,
  '330ft': 100.584,
  '660ft': 201.168,
  '1000ft': 304.8,
  '1320ft': 402.336,
};

export const stripMarks: readonly StripMark[] = ['60ft', '330ft', '660ft', '1000ft', '1320ft'];

/** Length over which a strip takes its mean speed, ending at the mark, m: 66 ft. */
export const speedTrapM = 20.1168;

/** How far a car rolls before the front tyre leaves the stage beam, m: a chord of 11.3 in for a 22-in tyre to 1 ft for a large one, less when staged deep. */
export const usualRollOutM: { readonly value: number; readonly spread: number } = { value: 0.29, spread: 0.04 };
