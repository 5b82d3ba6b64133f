/** A reading of a pull, free or on its limit. */
export interface PullReading {
  readonly x: number;
  readonly y: number;
  readonly limit: number;
  readonly on: boolean;
  readonly pull: number;
}

/** Pulls brought to their common level. */
export interface AlignedPulls {
  readonly rows: readonly PullReading[];
  /** Standard deviation of a reading about the curve. */
  readonly spread: number;
  /** Neighbouring readings of one pull wander together: so many of them say what one does. */
  readonly inflation: number;
}

/**
 * Takes from each pull how far it runs above the mean of all, as seen where all are free of the limit, from readings and limits alike.
 *
 * @param rows readings
 * @param first start of the grid
 * @param step of the grid
 * @returns null where the free readings do not show a spread
 */
export function alignedPulls(rows: readonly PullReading[], first: number, step: number): AlignedPulls | null {
  const numbers = [...new Set(rows.map(({ pull }) => pull))];
  const binOf = (x: number): number => Math.round((x - first) / step);
  const bins = new Map<number, PullReading[]>();
  for (const row of rows) {
    const bin = bins.get(binOf(row.x));
    if (bin === undefined) bins.set(binOf(row.x), [row]);
    else bin.push(row);
  }
  const away = new Map<number, number[]>(numbers.map((pull) => [pull, []]));
  for (const bin of bins.values()) {
    if (bin.some((row) => row.on)) continue;
    const means = numbers.map((pull) => mean(bin.filter((row) => row.pull === pull).map(({ y }) => y)));
    if (means.some(Number.isNaN)) continue;
    numbers.forEach((pull, p) => {
      away.get(pull)!.push(means[p]! - mean(means));
    });
  }
  const offsets = new Map(numbers.map((pull) => [pull, mean(away.get(pull)!) || 0]));
  const moved = rows.map((row) => ({ ...row, y: row.y - offsets.get(row.pull)!, limit: row.limit - offsets.get(row.pull)! }));
  // Scatter about a straight line through each three neighbouring bins of one pull, and how alike neighbours are.
  const residuals: number[] = [];
  let product = 0;
  for (const pull of numbers) {
    const own = moved.filter((row) => row.pull === pull && !row.on).sort((a, b) => a.x - b.x);
    let before = Number.NaN;
    for (const row of own) {
      const near = own.filter(({ x }) => Math.abs(x - row.x) <= 1.5 * step);
      const away = near.length < 5 ? Number.NaN : row.y - lineAt(near, row.x);
      if (Number.isNaN(away)) continue;
      residuals.push(away);
      if (!Number.isNaN(before)) product += away * before;
      before = away;
    }
  }
  if (residuals.length < 6) return null;
  const square = residuals.reduce((sum, r) => sum + r * r, 0);
  // Where the curve bends a line misses it: the median knows less of that. A line through so few readings takes some of their scatter with it.
  const sizes = Float64Array.from(residuals, Math.abs).sort();
  const spread = 1.15 * Math.min(1.4826 * sizes[sizes.length >> 1]!, Math.sqrt(square / residuals.length));
  const rho = Math.min(0.8, Math.max(0, product / Math.max(square, 1e-300)));
  return { rows: moved, spread: Math.max(spread, 1e-5), inflation: (1 + rho) / (1 - rho) };
}

function mean(values: readonly number[]): number {
  return values.length === 0 ? Number.NaN : values.reduce((sum, value) => sum + value, 0) / values.length;
}

function lineAt(rows: readonly PullReading[], x: number): number {
  const [mx, my] = [mean(rows.map((row) => row.x)), mean(rows.map((row) => row.y))];
  let xx = 0;
  let xy = 0;
  for (const row of rows) {
    xx += (row.x - mx) ** 2;
    xy += (row.x - mx) * (row.y - my);
  }
  return xx === 0 ? my : my + (xy / xx) * (x - mx);
}
