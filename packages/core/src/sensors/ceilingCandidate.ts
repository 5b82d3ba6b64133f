/** One recording, or one pull of it, in which to look for a ceiling. Fresh readings only: a held value repeated by the logger would look like a clamp. */
export interface CeilingSeries {
  /** s, never falling. */
  readonly timeS: Float64Array;
  /** Readings; NaN where there is none. */
  readonly values: Float64Array;
  /** Same length; rows where it is below 300 are left out, for a standing engine reads one value all day. */
  readonly engineSpeedRpm?: Float64Array | null;
}

/** Readings of one stretch without gaps. */
export interface Segment {
  readonly series: number;
  /** Row in the series of each reading. */
  readonly rows: readonly number[];
  readonly timeS: readonly number[];
  readonly values: readonly number[];
}

/** Readings in a row at a level, as positions in a segment, both ends counted. */
export interface Run {
  readonly segment: number;
  readonly from: number;
  readonly to: number;
}

const runningAboveRpm = 300;

/** Cuts each series into stretches of running engine without gaps. */
export function ceilingSegments(series: readonly CeilingSeries[]): Segment[] {
  const segments: Segment[] = [];
  for (const [number, one] of series.entries()) {
    const rows: number[] = [];
    for (let i = 0; i < one.values.length; i++) {
      const rpm = one.engineSpeedRpm?.[i] ?? Number.NaN;
      if (Number.isFinite(one.values[i]!) && !(rpm < runningAboveRpm)) rows.push(i);
    }
    if (rows.length < 3) continue;
    const steps = rows.slice(1).map((row, i) => one.timeS[row]! - one.timeS[rows[i]!]!);
    const usual = Float64Array.from(steps).sort()[steps.length >> 1]!;
    let from = 0;
    for (let i = 1; i <= rows.length; i++) {
      if (i < rows.length && steps[i - 1]! <= 3 * usual + 1e-9) continue;
      const part = rows.slice(from, i);
      segments.push({ series: number, rows: part, timeS: part.map((r) => one.timeS[r]!), values: part.map((r) => one.values[r]!) });
      from = i;
    }
  }
  return segments;
}

/** The step of one count: the smallest step between different values that is seen again and again, at most a hundredth of the largest value (of few values the true step may not be seen). */
export function countStep(segments: readonly Segment[]): number {
  const distinct = Float64Array.from(new Set(segments.flatMap((segment) => segment.values))).sort();
  const gaps: number[] = [];
  const span = distinct.at(-1)! - distinct[0]!;
  for (let i = 1; i < distinct.length; i++) {
    const gap = distinct[i]! - distinct[i - 1]!;
    if (gap > 1e-7 * span) gaps.push(gap);
  }
  gaps.sort((a, b) => a - b);
  const most = distinct.length === 0 ? 0 : 0.01 * Math.max(Math.abs(distinct[0]!), Math.abs(distinct.at(-1)!));
  const often = Math.max(2, 0.05 * gaps.length);
  for (const [i, gap] of gaps.entries()) {
    let alike = 0;
    for (let j = i; j < gaps.length && gaps[j]! <= 1.15 * gap; j++) alike += 1;
    if (alike >= often) return Math.min(gap, most);
  }
  return Math.min(gaps[0] ?? most, most);
}

/**
 * Values at the upper end that many readings lie on or one count beside, with next to nothing beyond; the likeliest first.
 *
 * @returns up to two values (heavy jitter makes neighbours look alike); none when the readings end in a lone point
 */
export function upperCandidates(segments: readonly Segment[], count: number): number[] {
  const all = Float64Array.from(segments.flatMap((segment) => segment.values)).sort();
  const seen: { readonly value: number; readonly weight: number }[] = [];
  for (let i = all.length - 1; i >= 0; i--) {
    const value = all[i]!;
    if (i < all.length - 1 && all[i + 1]! - value < 0.25 * count) continue;
    let on = 0;
    let beside = 0;
    let beyond = 0;
    for (let j = all.length - 1; j >= 0 && all[j]! >= value - 1.25 * count; j--) {
      const away = all[j]! - value;
      if (away > 1.25 * count) beyond += 1;
      else if (Math.abs(away) < 0.4 * count) on += 1;
      else beside += 1;
    }
    // A stray reading beyond (a bit error) may be forgiven for every fifty on the level.
    if (beyond <= 0.02 * (on + beside) && on + beside >= 3) seen.push({ value, weight: on + 0.5 * beside });
    else if (beyond > 0.02 * all.length + 1) break;
  }
  seen.sort((a, b) => b.weight - a.weight);
  return seen.filter((one, i) => i === 0 || (i === 1 && one.weight > 0.6 * seen[0]!.weight)).map((one) => one.value);
}

/** Readings in a row within a count and a quarter of the level, three or more, without the ones at either end that are still below it (unless the recording ends there). */
export function runsAt(segments: readonly Segment[], level: number, count: number): Run[] {
  const runs: Run[] = [];
  for (const [number, segment] of segments.entries()) {
    let from = -1;
    for (let i = 0; i <= segment.values.length; i++) {
      const inside = i < segment.values.length && Math.abs(segment.values[i]! - level) <= 1.25 * count;
      if (inside && from < 0) from = i;
      if (inside || from < 0) continue;
      let first = from;
      let last = i - 1;
      while (first > 0 && first < last && segment.values[first]! < level - 0.4 * count) first += 1;
      while (last < segment.values.length - 1 && last > first && segment.values[last]! < level - 0.4 * count) last -= 1;
      if (last - first >= 2) runs.push({ segment: number, from: first, to: last });
      from = -1;
    }
  }
  return runs;
}

/** Stretches that reach up to a level: the curve from a quarter below it (or twelve counts, where that is more) up. Lower down, throttle and spool-up bend the curve, and between two pulls it is left. */
export function visitsTo(segments: readonly Segment[], level: number, count: number): Segment[] {
  const lowest = level - Math.max(0.25 * Math.abs(level), 12 * count);
  const visits: Segment[] = [];
  for (const segment of segments) {
    let from = -1;
    for (let i = 0; i <= segment.values.length; i++) {
      const above = i < segment.values.length && segment.values[i]! >= lowest;
      if (above && from < 0) from = i;
      if (above || from < 0) continue;
      if (i - from >= 3) {
        visits.push({
          series: segment.series,
          rows: segment.rows.slice(from, i),
          timeS: segment.timeS.slice(from, i),
          values: segment.values.slice(from, i),
        });
      }
      from = -1;
    }
  }
  return visits;
}
