import type { TrialPull } from '../../pulls/index.js';
import { meanOfCurves } from '../../stretches/index.js';
import { rpmText } from '../../units/index.js';
import type { AirflowCase, HeadroomPull } from './headroom.js';
import { type ModelledCurve, pullCurves } from './pullCurves.js';

/** A cold, dense day against a mild one. Common practice, no source. */
const densestDay = 1.1;
/** The trend of duty is taken over so much, and carried on at most as far. */
const trendRpm = 1000;

/** The airflow that the injectors should be ready for. */
export interface AirflowForecast {
  readonly airflow: AirflowCase;
  /** Engine speed that the pulls are carried on to; null where they reach it, or it is too far. */
  readonly redlineRpm: number | null;
}

/**
 * The forecast: on to the red line, with the lambda that was aimed at, in the densest air of the trial's slips or that of a cold day.
 *
 * Each part is a factor on the air or the fuel; a mixture richer than the target is left as it is.
 */
export function airflowForecast(from: {
  readonly pulls: readonly TrialPull[];
  readonly gridRpm: Float64Array;
  readonly redlineRpm: number | null;
  readonly targetLambda: number | null;
  readonly slipAirKgPerM3: number | null;
  readonly duty: ModelledCurve;
}): AirflowForecast {
  const { pulls, gridRpm, targetLambda, slipAirKgPerM3 } = from;
  const reached = lastFinite(from.duty.mean, gridRpm);
  const ahead = from.redlineRpm === null || reached === null ? 0 : from.redlineRpm - reached;
  const redlineRpm = ahead > 0 && ahead <= trendRpm ? from.redlineRpm : null;
  const pullAir = pulls.reduce((sum, pull) => sum + pull.run.inputs.airDensityKgPerM3.value, 0) / pulls.length;
  const slipFactor = slipAirKgPerM3 === null ? 0 : slipAirKgPerM3 / pullAir;
  const airFactor = Math.max(densestDay, slipFactor);
  const lambda = targetLambda === null ? null : meanLambda(pulls, gridRpm);
  const factorAt = (rpm: number): number => {
    if (lambda === null) return 1;
    const index = Math.min(gridRpm.length - 1, Math.max(0, Math.round((rpm - gridRpm[0]!) / (gridRpm[1]! - gridRpm[0]!))));
    const read = lambda[index]!;
    return Number.isFinite(read) ? Math.max(1, read / targetLambda!) : 1;
  };
  const leanest = lambda === null ? 1 : Math.max(1, ...Array.from(gridRpm, factorAt));
  const factors: AirflowCase['factors'] = [
    slipFactor > densestDay
      ? { name: 'the densest air of the slips', factor: airFactor, standing: 'entered', source: 'air of the slips over that of the pulls' }
      : { name: 'denser air, as on a cold day', factor: airFactor, standing: 'assumed', source: 'common practice, no source' },
    ...(leanest > 1
      ? [
          {
            name: `lambda brought down to ${targetLambda}`,
            factor: leanest,
            standing: 'measured' as const,
            source: 'lambda of the pulls over targets.lambda, at the leanest point',
          },
        ]
      : []),
  ];
  const parts = [
    redlineRpm === null ? '' : `on to the red line at ${rpmText(redlineRpm)} by the trend of the last ${rpmText(trendRpm)}`,
    ...factors.map(({ name, factor }) => `${name} (+${(100 * (factor - 1)).toFixed(0)} %)`),
  ].filter((part) => part !== '');
  return {
    airflow: { at: 'forecast', description: `The same pulls ${parts.join(', ')}.`, factors, airFactor, fuelFactor: factorAt },
    redlineRpm,
  };
}

function meanLambda(pulls: readonly TrialPull[], gridRpm: Float64Array): Float64Array | null {
  const curves = pullCurves(pulls, ['lambda'], gridRpm).filter((curve) => curve !== null);
  return curves.length === 0 ? null : meanOfCurves(curves, gridRpm).mean;
}

function lastFinite(values: Float64Array, gridRpm: Float64Array): number | null {
  for (let i = values.length - 1; i >= 0; i--) if (Number.isFinite(values[i]!)) return gridRpm[i]!;
  return null;
}

/** Each pull carried on to an engine speed by the straight trend of its duty over the last 1,000 rpm; what else holds there stays as it was at the top. */
export function toRedline(pulls: readonly HeadroomPull[], redlineRpm: number | null): readonly HeadroomPull[] {
  if (redlineRpm === null) return pulls;
  return pulls.map(({ gridRpm, duty, manifoldOverAcross }) => {
    const known = Array.from(duty.keys()).filter((i) => Number.isFinite(duty[i]!));
    const last = known.at(-1);
    const used = last === undefined ? [] : known.filter((i) => gridRpm[i]! >= gridRpm[last]! - trendRpm);
    const meanRpm = used.reduce((sum, i) => sum + gridRpm[i]!, 0) / used.length;
    const meanDuty = used.reduce((sum, i) => sum + duty[i]!, 0) / used.length;
    const spanned = used.reduce((sum, i) => sum + (gridRpm[i]! - meanRpm) ** 2, 0);
    const slope = used.reduce((sum, i) => sum + (gridRpm[i]! - meanRpm) * (duty[i]! - meanDuty), 0) / spanned;
    return {
      gridRpm: Float64Array.of(...gridRpm, redlineRpm),
      duty: Float64Array.of(...duty, meanDuty + slope * (redlineRpm - meanRpm)),
      manifoldOverAcross: Float64Array.of(...manifoldOverAcross, last === undefined ? Number.NaN : manifoldOverAcross[last]!),
    };
  });
}
