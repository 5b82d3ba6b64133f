/** Every number of a sentence as written, thousands with a comma, minus signs of either kind; ordinals and fractions of a mile are words. */
export function numbersIn(sentence: string): number[] {
  return [...sentence.replace(/1\/[48] mile|\d+ ft\b|\d+ft\b/g, '').matchAll(/[−-]?\d[\d,]*(?:\.\d+)?/g)].map(([text]) =>
    Number(text.replaceAll(',', '').replace('−', '-')),
  );
}

/** Whether a number of a sentence is a value of the table, rounded as it is written. */
export function isRoundingOf(shown: number, value: number, digits: number): boolean {
  return Math.abs(Math.abs(shown) - Math.abs(value)) <= 0.5 * 10 ** -digits + 1e-9;
}
