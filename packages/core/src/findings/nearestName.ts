/**
 * The known name that is closest to a mistyped one, by the fewest letters inserted, deleted, replaced or swapped; null when none is near.
 *
 * @param name as written
 * @param known names to choose from
 * @returns the nearest name, or null when more than two letters in five would have to change
 */
export function nearestName(name: string, known: readonly string[]): string | null {
  const plain = plainName(name);
  let best: string | null = null;
  let fewest = Number.POSITIVE_INFINITY;
  for (const candidate of known) {
    const edits = editDistance(plain, plainName(candidate));
    if (edits < fewest) {
      fewest = edits;
      best = candidate;
    }
  }
  const allowed = Math.max(1, Math.floor(0.4 * Math.max(plain.length, best?.length ?? 0)));
  return fewest <= allowed ? best : null;
}

function plainName(name: string): string {
  return name
    .toLowerCase()
    .replaceAll(/[\s_-]+/g, '-')
    .slice(0, 60);
}

/** Optimal string alignment distance. */
function editDistance(a: string, b: string): number {
  let beforeLast: number[] = [];
  let last = Array.from({ length: b.length + 1 }, (_, j) => j);
  for (let i = 1; i <= a.length; i++) {
    const row = [i];
    for (let j = 1; j <= b.length; j++) {
      const same = a[i - 1] === b[j - 1];
      let least = Math.min(last[j]! + 1, row[j - 1]! + 1, last[j - 1]! + (same ? 0 : 1));
      if (i > 1 && j > 1 && a[i - 1] === b[j - 2] && a[i - 2] === b[j - 1]) least = Math.min(least, beforeLast[j - 2]! + 1);
      row.push(least);
    }
    beforeLast = last;
    last = row;
  }
  return last[b.length]!;
}
