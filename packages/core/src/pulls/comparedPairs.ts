/** Each setup against the first, and against the one before where that is another pair. */
export function comparedPairs(count: number): [before: number, after: number][] {
  const pairs: [number, number][] = [];
  for (let after = 1; after < count; after++) {
    pairs.push([0, after]);
    if (after > 1) pairs.push([after - 1, after]);
  }
  return pairs;
}
