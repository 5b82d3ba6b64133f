/** Bounds on one formula and on its work; far above what a formula for people needs. */
export const formulaLimits = {
  /** Characters of one formula. */
  characters: 1000,
  /** Numbers, names and signs of one formula. */
  tokens: 250,
  /** Brackets inside brackets. */
  depth: 30,
  /** Formulas of one trial. */
  formulas: 100,
  /** Steps of the evaluation of one formula over one log. */
  steps: 2e8,
} as const;
