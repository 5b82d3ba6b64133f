import type { RoutePair, RouteVia } from '../../result/index.js';
import { nullable } from '../../result/index.js';
import { bandOf } from '../../uncertainty/index.js';
import { numberText, rpmText } from '../../units/index.js';
import type { OpenRoute } from './openRoute.js';
import { routeOf, routeWords, usualMeanings } from './routeMeanings.js';

/** So many points of the grid in a row must lie beyond the band. */
const leastPoints = 4;

/** Every two open routes held against each other; those of one setup, on one grid. */
export function routePairs(routes: readonly OpenRoute[]): RoutePair[] {
  const held = routes.flatMap((first, i) => routes.slice(i + 1).map((second) => heldTogether(first, second)));
  const apart = oddOne(held);
  return held.map((pair) => pairResult(pair, apart));
}

interface Held {
  readonly first: OpenRoute;
  readonly second: OpenRoute;
  readonly ratio: RoutePair['ratio'];
  readonly regions: RoutePair['regions'];
  /** Mean of first over second less 1 over all compared points; NaN with none. */
  readonly mean: number;
  readonly meanHalf: number;
}

function heldTogether(first: OpenRoute, second: OpenRoute): Held {
  const { gridRpm } = first;
  const free = (route: OpenRoute, i: number): boolean =>
    Number.isFinite(route.powerW[i]!) && route.powerW[i]! > 0 && (route.bounds[i] ?? null) === null;
  const points = Array.from(gridRpm.keys()).filter((i) => free(first, i) && free(second, i));
  const share = (i: number): number => first.powerW[i]! / second.powerW[i]! - 1;
  const ids = new Set([...first.errors, ...second.errors].map(({ id }) => id));
  const relative = (route: OpenRoute, id: string, i: number): number =>
    (route.errors.find((error) => error.id === id)?.shape[i] ?? 0) / route.powerW[i]!;
  const shared = [...ids].map((id) => ({
    name: id,
    shape: Float64Array.from(points, (i) => (1 + share(i)) * (relative(first, id, i) - relative(second, id, i))),
    degrees: [first, second]
      .flatMap((route) => route.errors.filter((error) => error.id === id))
      .reduce((least, { degrees }) => Math.min(least, degrees), Number.POSITIVE_INFINITY),
  }));
  const band =
    points.length === 0 ? null : bandOf({ shared, covariance: covarianceOf(first, second, points, share) }, points.length, { draws: 1000 });
  const halfAt = new Map(points.map((i, k) => [i, band!.simultaneous[k]!]));
  const at = (value: (i: number) => number): (number | null)[] =>
    Array.from(gridRpm, (_, i) => (halfAt.has(i) ? nullable(value(i)) : null));
  const mean = points.length === 0 ? Number.NaN : points.reduce((sum, i) => sum + share(i), 0) / points.length;
  return {
    first,
    second,
    ratio: {
      engineSpeedRpm: Array.from(gridRpm),
      value: at(share),
      low: at((i) => share(i) - halfAt.get(i)!),
      high: at((i) => share(i) + halfAt.get(i)!),
      level: 0.95,
      simultaneous: true,
      bound: null,
      ...(points.length === 0 ? { status: 'The two routes share no engine speed.' } : {}),
    },
    regions: regionsOf(gridRpm, points, share, halfAt),
    mean,
    meanHalf: band === null ? Number.NaN : band.ofMean(0, points.length),
  };
}

/** Covariance of the ratio from what each route has beside its named errors; null where neither has any. */
function covarianceOf(first: OpenRoute, second: OpenRoute, points: readonly number[], share: (i: number) => number): Float64Array | null {
  if (first.covariance === null && second.covariance === null) return null;
  const out = new Float64Array(points.length ** 2);
  for (const { covariance, powerW, gridRpm } of [first, second]) {
    if (covariance === null) continue;
    points.forEach((i, a) => {
      points.forEach((j, b) => {
        const relative = covariance[i * gridRpm.length + j]! / (powerW[i]! * powerW[j]!);
        out[a * points.length + b] = out[a * points.length + b]! + (1 + share(i)) * (1 + share(j)) * relative;
      });
    });
  }
  return out;
}

/** Spans of engine speed beyond the band, on one side. */
function regionsOf(
  gridRpm: Float64Array,
  points: readonly number[],
  share: (i: number) => number,
  halfAt: ReadonlyMap<number, number>,
): RoutePair['regions'] {
  const regions: { fromRpm: number; toRpm: number; meanShare: number }[] = [];
  let run: number[] = [];
  const close = (): void => {
    if (run.length >= leastPoints) {
      const meanShare = run.reduce((sum, i) => sum + share(i), 0) / run.length;
      regions.push({ fromRpm: gridRpm[run[0]!]!, toRpm: gridRpm[run.at(-1)!]!, meanShare });
    }
    run = [];
  };
  for (const i of points) {
    const beyond = Math.abs(share(i)) > halfAt.get(i)!;
    const last = run.at(-1);
    if (!beyond || (last !== undefined && (i !== last + 1 || Math.sign(share(i)) !== Math.sign(share(last))))) close();
    if (beyond) run.push(i);
  }
  close();
  return regions;
}

/** The one route that is in every pair that disagrees, while the others agree; null where there is none such. */
function oddOne(held: readonly Held[]): RouteVia | null {
  const apart = held.filter(({ regions }) => regions.length > 0);
  if (apart.length < 2 || apart.length === held.length) return null;
  const common = [apart[0]!.first.via, apart[0]!.second.via].filter((via) =>
    apart.every(({ first, second }) => first.via === via || second.via === via),
  );
  return common.length === 1 ? common[0]! : null;
}

function pairResult({ first, second, ratio, regions, mean, meanHalf }: Held, odd: RouteVia | null): RoutePair {
  const names = [routeWords[first.via], routeWords[second.via]] as const;
  const percent = (share: number): string => `${Math.abs(100 * share).toFixed(0)} %`;
  const side = (share: number): string => (share < 0 ? 'less' : 'more');
  const widest = [...regions].sort((a, b) => b.toRpm - b.fromRpm - (a.toRpm - a.fromRpm))[0];
  const sentence =
    ratio.status !== undefined
      ? `${capital(names[0])} and ${names[1]} share no engine speed.`
      : widest === undefined
        ? `${capital(names[0])} and ${names[1]} agree within their bands: ${names[0]} says ${percent(mean)} ${side(mean)} on average, and ${percent(meanHalf)} either way could be chance and inputs.`
        : `${capital(names[0])} says ${percent(widest.meanShare)} ${side(widest.meanShare)} power than ${names[1]} from ${numberText(widest.fromRpm, 0)} to ${rpmText(widest.toRpm)}, beyond what both bands allow.`;
  const low = widest === undefined ? null : widest.meanShare < 0 ? first.via : second.via;
  return {
    first: { route: routeOf[first.via], via: first.via },
    second: { route: routeOf[second.via], via: second.via },
    ratio,
    agrees: regions.length === 0 && ratio.status === undefined,
    regions,
    sentence,
    usuallyMeans: low === null ? [] : usualMeanings({ low, high: low === first.via ? second.via : first.via, odd }),
  };
}

function capital(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1);
}
