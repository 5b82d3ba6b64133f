import type { Finding } from '../findings/index.js';
import { cutOffShare } from '../power/index.js';
import { readingsBetween } from '../stretches/index.js';
import type { MeasurableNumber, RunInputs } from '../trial/index.js';
import { defaults } from '../trial/index.js';
import { type CoastDownFit, type CoastRun, type Estimate, fitCoastDown } from '../vehicle/index.js';
import type { LoadedRun } from './loadedRun.js';

/** What a trial leaves to the coast-downs in its logs. */
export type CoastDownAsked = 'drag-area' | 'rolling-coefficient';

/** A trial's runs with the road load that their coast-downs gave. */
export interface CoastDownRuns {
  readonly runs: readonly LoadedRun[];
  /** What was found, and so is not assumed any more. */
  readonly found: readonly CoastDownAsked[];
  readonly findings: readonly Finding[];
}

/** Left off a coast's ends: the clutch still opens, or closes again. */
const trimmedS = 0.5;
const leastReadings = 20;
/** Middle of a coast-down, m/s; common practice, no source. */
const usualCoastMps = 20;
/** Car in neutral: what its spinning wheels add to its mass (Gillespie 1992: 4 % at overall ratio 0). */
const wheelShare = 0.04;
/** The car's own road speed: its scale within about 1 %; drag area goes inversely with it. Common practice, no source. */
const speedScaleSpread = 0.01;

/**
 * Fits drag area and rolling coefficient to the neutral coast-downs of a trial's logs where its car asks for them, outing by outing in
 * that outing's air, and puts the weighted mean into every run.
 *
 * @param runs Every run, read and searched.
 * @param asked Fields that say `from coast-downs`.
 * @param path Trial file, for findings.
 * @returns The runs; where no coast serves, as they were, with the finding W_COAST_NONE.
 *
 * Validity: as {@link fitCoastDown}. Runs without `direction` count as driven one way.
 */
export function withCoastDowns(runs: readonly LoadedRun[], asked: readonly CoastDownAsked[], path: string): CoastDownRuns {
  if (asked.length === 0) return { runs, found: [], findings: [] };
  const findings: Finding[] = [];
  const fits: CoastDownFit[] = [];
  for (const outing of outingsOf(runs)) {
    const coasts = coastsOf(outing);
    if (coasts.length === 0) continue;
    const fit = fitCoastDown(coasts, { headwindMps: alongHeadingOne(outing, 'windMps'), grade: alongHeadingOne(outing, 'grade') });
    const where = { path, field: `car.${asked[0]!}` };
    const outingName = outing[0]!.inputs.outing;
    const message = (text: string): string => (outingName === null ? text : `Outing ${outingName}: ${text}`);
    for (const finding of fit.findings) findings.push({ ...finding, message: message(finding.message), where });
    if (fit.dragAreaM2.value > 0 && fit.rollingCoefficient.value > 0) fits.push(fit);
  }
  if (fits.length === 0) {
    return { runs, found: [], findings: [...findings, ...asked.map((key) => nothingFound(key, path))] };
  }
  const { drag, rolling, covarianceM2 } = meanOfFits(fits);
  const halfStep = Math.max(...runs.map(halfStepShare));
  const source = `coast-downs in the logs (${fits.reduce((sum, fit) => sum + fit.samples, 0)} readings of speed)`;
  const changed = (inputs: RunInputs): RunInputs => {
    const mass = inputs.massKg.spread / inputs.massKg.value;
    const air = inputs.airDensityKgPerM3.spread / inputs.airDensityKgPerM3.value;
    const stated = (estimate: Estimate, share: number): MeasurableNumber => ({
      value: estimate.value,
      spread: Math.hypot(estimate.spread, estimate.value * share),
      standing: 'measured',
      source,
    });
    return {
      ...inputs,
      ...(asked.includes('drag-area') ? { dragAreaM2: stated(drag, Math.hypot(mass, air, speedScaleSpread, halfStep)) } : {}),
      ...(asked.includes('rolling-coefficient') ? { rollingCoefficient: stated(rolling, Math.hypot(speedScaleSpread, halfStep)) } : {}),
      // The scale of the speed moves both, and what mass and air do to the drag area is its own: neither is in this.
      ...(asked.length === 2 ? { roadLoadCovarianceM2: covarianceM2 } : {}),
    };
  };
  findings.push({
    code: 'COAST_DOWNS_FITTED',
    severity: 'note',
    message: `Coast-downs give a drag area of ${drag.value.toFixed(3)} ± ${drag.spread.toFixed(3)} m² and a rolling coefficient of ${rolling.value.toFixed(5)} ± ${rolling.spread.toFixed(5)}.`,
    where: { path },
    fix: '',
  });
  return { runs: runs.map((run) => ({ ...run, inputs: changed(run.inputs) })), found: asked, findings };
}

/** What it leaves open whether steps are cut off or rounded, as a share of a usual speed of coasting. */
function halfStepShare({ found }: LoadedRun): number {
  const { road } = found.signals;
  if (road === null) return 0;
  const share = cutOffShare(found.signals);
  return (Math.sqrt(share * (1 - share)) * road.channel.quantum) / 2 / usualCoastMps;
}

/** Assumptions and their findings that coast-downs have made needless. */
export function stillAssumed<T extends { readonly quantity: string }>(assumptions: readonly T[], found: readonly CoastDownAsked[]): T[] {
  const needless = found.map((key) => defaults[key === 'drag-area' ? 'dragArea' : 'rolling'].quantity);
  return assumptions.filter(({ quantity }) => !needless.includes(quantity));
}

/** The same for findings. */
export function stillTold(findings: readonly Finding[], found: readonly CoastDownAsked[]): Finding[] {
  const needless = found.map((key): string => (key === 'drag-area' ? 'ASSUMED_DRAG_AREA' : 'ASSUMED_ROLLING'));
  return findings.filter(({ code }) => !needless.includes(code));
}

/** Runs by outing; a log of unknown outing stands by itself. Runs that share a log give its coasts once. */
function outingsOf(runs: readonly LoadedRun[]): LoadedRun[][] {
  const groups = new Map<string, LoadedRun[]>();
  for (const run of runs) {
    const key = run.inputs.outing === null ? `log ${run.inputs.log}` : `outing ${run.inputs.outing}`;
    groups.set(key, [...(groups.get(key) ?? []), run]);
  }
  return [...groups.values()];
}

/** 1 for the direction that is named first (and for none), −1 for any other. */
function headingOf(run: LoadedRun, outing: readonly LoadedRun[]): 1 | -1 {
  const first = outing.find(({ inputs }) => inputs.direction !== null)?.inputs.direction ?? null;
  return run.inputs.direction === null || run.inputs.direction === first ? 1 : -1;
}

function coastsOf(outing: readonly LoadedRun[]): CoastRun[] {
  const seen = new Set<string>();
  return outing.flatMap((run): CoastRun[] => {
    const { inputs, log, found } = run;
    const { road } = found.signals;
    if (road === null) return [];
    const from = inputs.fromTimeS ?? Number.NEGATIVE_INFINITY;
    const to = inputs.toTimeS ?? Number.POSITIVE_INFINITY;
    return found.others.flatMap((stretch): CoastRun[] => {
      const key = `${inputs.log} ${stretch.startS}`;
      if (stretch.kind !== 'coast' || stretch.startS < from || stretch.endS > to || seen.has(key)) return [];
      seen.add(key);
      const { timeS, values } = readingsBetween(log, road.channel, stretch.startS + trimmedS, stretch.endS - trimmedS);
      const offsetMps = cutOffShare(found.signals) * (road.channel.quantum / 2);
      const kept = Array.from(timeS.keys()).filter((i) => values[i]! > 0 && (i === 0 || timeS[i]! > timeS[i - 1]!));
      if (kept.length < leastReadings || !(values[kept[kept.length - 1]!]! < 0.9 * values[kept[0]!]!)) return [];
      return [
        {
          timeS: kept.map((i) => timeS[i]!),
          // Whole steps that are cut off read half a step low at every speed.
          speedMps: kept.map((i) => values[i]! + offsetMps),
          massKg: inputs.massKg.value,
          rotatingMassKg: wheelMassKg(inputs),
          airDensityKgPerM3: inputs.airDensityKgPerM3.value,
          heading: headingOf(run, outing),
        },
      ];
    });
  });
}

function wheelMassKg({ rotating, tyreRadiusM, massKg }: RunInputs): number {
  return rotating.kind === 'inertia' ? rotating.wheelsKgM2.value / tyreRadiusM.value ** 2 : wheelShare * massKg.value;
}

/** Wind or grade against heading 1: mean over the outing's runs, each turned into that direction. */
function alongHeadingOne(outing: readonly LoadedRun[], name: 'windMps' | 'grade'): Estimate {
  const values = outing.map((run) => headingOf(run, outing) * run.inputs[name].value);
  return {
    value: values.reduce((sum, value) => sum + value, 0) / values.length,
    spread: Math.max(...outing.map((run) => run.inputs[name].spread)),
  };
}

/**
 * Mean of several fits, each weighted by the inverse of its own covariance. Outings that differ by more than their spreads widen it
 * (Birge's ratio, on both unknowns together).
 */
function meanOfFits(fits: readonly CoastDownFit[]): { readonly drag: Estimate; readonly rolling: Estimate; readonly covarianceM2: number } {
  const weights = fits.map((fit) => inverse({ a: fit.dragAreaM2.spread ** 2, b: fit.covarianceM2, c: fit.rollingCoefficient.spread ** 2 }));
  const sum = (of: (i: number) => number): number => fits.reduce((total, _, i) => total + of(i), 0);
  const total = { a: sum((i) => weights[i]!.a), b: sum((i) => weights[i]!.b), c: sum((i) => weights[i]!.c) };
  const covariance = inverse(total);
  const right = [
    sum((i) => weights[i]!.a * fits[i]!.dragAreaM2.value + weights[i]!.b * fits[i]!.rollingCoefficient.value),
    sum((i) => weights[i]!.b * fits[i]!.dragAreaM2.value + weights[i]!.c * fits[i]!.rollingCoefficient.value),
  ] as const;
  const drag = covariance.a * right[0] + covariance.b * right[1];
  const rolling = covariance.b * right[0] + covariance.c * right[1];
  const chi = sum((i) => {
    const d = fits[i]!.dragAreaM2.value - drag;
    const r = fits[i]!.rollingCoefficient.value - rolling;
    return weights[i]!.a * d * d + 2 * weights[i]!.b * d * r + weights[i]!.c * r * r;
  });
  const widening = Math.max(1, fits.length < 2 ? 1 : chi / (2 * (fits.length - 1)));
  return {
    drag: { value: drag, spread: Math.sqrt(widening * covariance.a) },
    rolling: { value: rolling, spread: Math.sqrt(widening * covariance.c) },
    covarianceM2: widening * covariance.b,
  };
}

/** A symmetric matrix of two rows: a and c on its diagonal, b beside it. */
interface Symmetric {
  readonly a: number;
  readonly b: number;
  readonly c: number;
}

function inverse({ a, b, c }: Symmetric): Symmetric {
  const determinant = a * c - b * b;
  return { a: c / determinant, b: -b / determinant, c: a / determinant };
}

function nothingFound(key: CoastDownAsked, path: string): Finding {
  return {
    code: 'W_COAST_NONE',
    severity: 'warning',
    message: `car.${key} is to come from coast-downs, but the logs hold none that serves; the default is assumed, and moves both setups alike.`,
    where: { path, field: `car.${key}` },
    fix: `Roll in neutral from a high to a low speed, both ways, engine running and logger on; or give ${key} as a number if you know it.`,
  };
}
