import { PullproofError } from '../findings/index.js';
import type { TopEndCause, TopEndSign } from './topEndCauses.js';
import { type Aspiration, type Expected, type Healthy, healthySigns, type Signature, signatures } from './topEndSignatures.js';

/** A sign as measured. */
export interface MeasuredSign {
  readonly sign: TopEndSign;
  /** Trend from low to top, after less before where there is a before. */
  readonly trend: number;
  /** One standard uncertainty. */
  readonly spread: number;
}

/** What one sign adds to a cause. */
export interface SignPoints {
  readonly sign: TopEndSign;
  /** Natural logarithm of the likelihood under this cause over the mean likelihood of all causes weighed. */
  readonly points: number;
  /** Trend that the cause would show at the loss that fits it best, and its standard deviation with everything that is uncertain. */
  readonly expected: number;
  readonly expectedSpread: number;
}

/** A cause with what the signs say. */
export interface WeighedCause {
  readonly cause: TopEndCause;
  /** Logarithm of prior and likelihood, less that of the best. */
  readonly points: number;
  /** Softmax of the points. */
  readonly weight: number;
  readonly signs: readonly SignPoints[];
}

/** Losses of torque that are tried, as natural logarithms, evenly spread by ratio: common practice, no source. */
const losses: readonly number[] = Array.from({ length: 24 }, (_, i) => 0.01 * 40 ** (i / 23));
/** Share of readings that follow no model: it keeps any one sign from ruling a cause out. Common practice, no source. */
const strayShare = 0.03;
/** Signs lean on the same unknown maps, so their sum counts for less than independent ones would. */
const tempering = 0.7;

/**
 * Weighs causes by how well each foretells the signs.
 *
 * For a cause c with a loss of torque s: y_j ~ (1 − ε) N(μ_j + a_cj s + f_cj, u_j² + τ_j² + (b_cj s)²) + ε/reach_j. The points are the logarithm of the prior times the
 * mean over s (log-uniform from 1 % to 40 %) of the product over the signs, to the power 0.7 because signs share unknowns. A cause with several signatures takes the
 * mean over them. A sign that was not measured takes no part.
 *
 * @param measured the signs
 * @param options causes to weigh; a comparison or one setup; how the engine breathes; logarithm of each prior, 0 where left out
 * @returns causes in order of points, best first
 * @throws E_SIGN for a trend or a spread that is no number, E_NO_CAUSES
 *
 * Validity: points rank the causes of this list under the stated signatures; their softmax is no probability of the real world.
 *
 * Source: Bayes' theorem with a contaminated normal likelihood, [GELMAN2013] ch. 17 (from memory); signatures from the relations of [HEYWOOD1988] ch. 6.
 *
 * @example
 * ```ts
 * import { weighCauses } from '@pullproof/core';
 *
 * const signs = [
 *   { sign: 'torque', trend: -0.06, spread: 0.005 },
 *   { sign: 'manifold-pressure', trend: -0.055, spread: 0.005 },
 *   { sign: 'rotor-ratio', trend: -0.05, spread: 0.003 },
 * ] as const;
 * const causes = ['belt-slip', 'blower-capacity', 'spark-knock'] as const;
 * weighCauses(signs, { causes, kind: 'comparison', aspiration: 'fixed-ratio' })[0]?.cause; // => 'belt-slip'
 * ```
 */
export function weighCauses(
  measured: readonly MeasuredSign[],
  options: {
    readonly causes: readonly TopEndCause[];
    readonly kind: 'comparison' | 'single';
    readonly aspiration: Aspiration;
    readonly logPrior?: Readonly<Partial<Record<TopEndCause, number>>>;
  },
): readonly WeighedCause[] {
  const { causes, kind, aspiration, logPrior = {} } = options;
  for (const { sign, trend, spread } of measured) {
    if (!Number.isFinite(trend) || !(spread >= 0 && Number.isFinite(spread))) {
      throw new PullproofError(
        'E_SIGN',
        `The sign ${sign} has a trend of ${trend} with a spread of ${spread}: that is no measurement.`,
        {},
        'Leave out a sign that was not measured.',
      );
    }
  }
  if (causes.length === 0) throw new PullproofError('E_NO_CAUSES', 'There is no cause to weigh.', {}, 'Name at least one cause.');
  const usual = healthySigns(kind, aspiration);
  const told = causes.map((cause) => ({ cause, ...judged(measured, signatures[cause], usual) }));
  const reference = measured.map((_, j) => logMean(told.map(({ perSign }) => perSign[j]!.logLikelihood)));
  const raw = told.map(({ cause, logLikelihood }) => tempering * logLikelihood + (logPrior[cause] ?? 0));
  const best = Math.max(...raw);
  const sum = raw.reduce((total, value) => total + Math.exp(value - best), 0);
  return told
    .map(
      ({ cause, perSign }, i): WeighedCause => ({
        cause,
        points: raw[i]! - best,
        weight: Math.exp(raw[i]! - best) / sum,
        signs: measured.map(({ sign }, j) => ({
          sign,
          points: tempering * (perSign[j]!.logLikelihood - reference[j]!),
          expected: perSign[j]!.expected,
          expectedSpread: perSign[j]!.expectedSpread,
        })),
      }),
    )
    .sort((a, b) => b.points - a.points);
}

interface SignJudged {
  readonly logLikelihood: number;
  readonly expected: number;
  readonly expectedSpread: number;
}

/** Likelihood of all signs under a cause, and each sign's own at the losses that the whole makes likely. */
function judged(
  measured: readonly MeasuredSign[],
  ways: readonly Signature[],
  usual: Readonly<Record<TopEndSign, Healthy>>,
): { readonly logLikelihood: number; readonly perSign: readonly SignJudged[] } {
  const tried = ways.flatMap((way) =>
    losses.map((loss) => ({
      signs: measured.map((one) => signLikelihood(one, way[one.sign] ?? none, loss, usual[one.sign])),
    })),
  );
  const totals = tried.map(({ signs }) => signs.reduce((sum, { logLikelihood }) => sum + logLikelihood, 0));
  const logLikelihood = logMean(totals);
  const shares = totals.map((total) => Math.exp(total - logLikelihood) / totals.length);
  const best = tried[totals.indexOf(Math.max(...totals))]!;
  return {
    logLikelihood,
    perSign: measured.map((_, j) => ({
      ...best.signs[j]!,
      logLikelihood: tried.reduce((sum, { signs }, i) => sum + shares[i]! * signs[j]!.logLikelihood, 0),
    })),
  };
}

const none: Expected = [0, 0];

function signLikelihood(measured: MeasuredSign, [perLoss, spread, fixed = 0]: Expected, loss: number, healthy: Healthy): SignJudged {
  const expected = healthy.mean + perLoss * loss + fixed;
  // How far a sign moves is uncertain, its direction is not: what moved the other way finds no room in that uncertainty.
  const away = Math.abs(perLoss) >= spread && (measured.trend - healthy.mean) * perLoss < 0;
  const variance = measured.spread ** 2 + healthy.spread ** 2 + (away ? 0 : (spread * loss) ** 2);
  const density = Math.exp(-((measured.trend - expected) ** 2) / (2 * variance)) / Math.sqrt(2 * Math.PI * variance);
  return {
    logLikelihood: Math.log((1 - strayShare) * density + strayShare / (2 * healthy.reach)),
    expected,
    expectedSpread: Math.sqrt(variance),
  };
}

function logMean(values: readonly number[]): number {
  const most = Math.max(...values);
  return most + Math.log(values.reduce((sum, value) => sum + Math.exp(value - most), 0) / values.length);
}
