import { type DriftCell, evenEdges, lambdaDrift, measuredErrorTable, type TableAxis } from '../../fuel/index.js';
import { type FittedSetup, type FoundCeiling, oneSetup, type Question, question } from '../../pulls/index.js';
import type { FuelAxis, FuelTableResult, MixtureCell, MixtureComparison, MixtureResult, TrialResult } from '../../result/index.js';
import { numberText, rpmText } from '../../units/index.js';
import { type MixtureReadings, mixtureReadings } from './mixtureReadings.js';

/** Steps of the cells. */
const stepRpm = 500;
const stepPa = 20000;

/** Mixture of a setup, and its measured error table. */
export interface MixtureParts {
  readonly readings: MixtureReadings | null;
  readonly mixture: MixtureResult | null;
  readonly fuelTable: FuelTableResult;
}

/** Mixture of each setup. */
export const mixtures: Question<readonly MixtureParts[]> = question((evidence) => {
  const { setups, options } = evidence;
  const answer = setups.map((setup) =>
    mixtureParts(setup, {
      ceilings: evidence.ceilings().found,
      axis: options.fuelAxis ?? 'pressure',
      hashOf: (run) => evidence.sha256Of(run.inputs),
    }),
  );
  const assumptions = mixtureAssumptions(setups, answer);
  if (answer.some(({ mixture }) => mixture !== null)) return { answer, assumptions };
  return { answer, assumptions, status: { is: 'not logged', channels: ['lambda'] } };
});

/** How far the mixture moved, for each pair. */
export const mixtureMoves: Question<readonly (MixtureComparison | null)[]> = question((evidence) => {
  const { answer: parts, status } = mixtures(evidence);
  const answer = evidence.pairs.map(([before, after]) => compareMixture(parts[before]!.readings, parts[after]!.readings));
  return { answer, status: answer.length === 0 ? oneSetup : status };
});

/**
 * Lambda of a setup's pulls with the delay removed, and the measured error of its fuelling.
 *
 * @param setup with its pulls
 * @param options ceilings of its logs, what the table's rows run along, and the hash of each log
 */
function mixtureParts(
  setup: FittedSetup,
  options: {
    readonly ceilings: readonly FoundCeiling[];
    readonly axis: FuelAxis;
    readonly hashOf: (run: FittedSetup['runs'][number]) => string;
  },
): MixtureParts {
  const readings = mixtureReadings(setup, options.ceilings);
  const inputs = setup.runs[0]?.inputs;
  const logs = new Map(setup.runs.map((run) => [run.log.path, options.hashOf(run)]));
  const provenance = {
    setup: setup.name,
    logs: [...logs].map(([path, sha256]) => ({ path, sha256 })),
    calibration: inputs?.calibration ?? null,
    gaugeStoich: inputs?.gaugeStoich.value ?? 14.7,
  };
  const none = (status: string): FuelTableResult => ({ axis: options.axis, table: null, provenance, status });
  return {
    readings,
    mixture: readings?.result ?? null,
    fuelTable: readings === null ? none('Lambda was not logged in the pulls used.') : tableOf(readings, options.axis, provenance, none),
  };
}

function tableOf(
  readings: MixtureReadings,
  axis: FuelAxis,
  provenance: FuelTableResult['provenance'],
  none: (status: string) => FuelTableResult,
): FuelTableResult {
  if (!readings.commandedLambda.some(Number.isFinite)) {
    return none('No wanted lambda is known: log commanded lambda, or give targets: { lambda } in the trial.');
  }
  const rows = axisOf(readings, axis);
  const columns: TableAxis = {
    quantity: 'engine speed',
    unit: 'rpm',
    unitSi: 1,
    values: readings.engineSpeedRpm,
    edges: evenEdges(readings.engineSpeedRpm, stepRpm),
  };
  if (rows.edges.length < 2) return none(`${rows.quantity} was not logged in the pulls used: choose another axis.`);
  const { other } = readings;
  const table = measuredErrorTable(
    {
      timeS: readings.timeS,
      pull: readings.pull,
      steady: new Uint8Array(readings.timeS.length).fill(1),
      lambda: readings.lambda,
      commandedLambda: readings.commandedLambda,
      shortTermTrim: other['short-term-fuel-trim'],
      longTermTrim: other['long-term-fuel-trim'],
      chargeTemperatureK: other['charge-temperature'],
      sparkAdvanceDeg: other['spark-advance'],
      knockRetardDeg: other['knock-retard'],
      fuelPressurePa: other['fuel-pressure'],
      injectorDuty: other['injector-duty'],
      delayS: readings.delayS,
    },
    rows,
    columns,
  );
  if (table.cells.length === 0) return none('No cell holds three steady readings with a wanted lambda.');
  return { axis, table, provenance, status: null };
}

function axisOf(readings: MixtureReadings, axis: FuelAxis): TableAxis {
  const { other, manifoldPressurePa } = readings;
  const made = {
    pressure: { quantity: 'manifold pressure, absolute', unit: 'kPa', unitSi: 1000, values: manifoldPressurePa, step: stepPa },
    airflow: { quantity: 'air flow', unit: 'g/s', unitSi: 0.001, values: other['air-mass-flow'], step: 0.02 },
    duty: { quantity: 'injector duty', unit: '%', unitSi: 0.01, values: other['injector-duty'], step: 0.1 },
  }[axis];
  const { step, ...rest } = made;
  return { ...rest, edges: evenEdges(made.values, step) };
}

/** What was assumed to read the mixture and to judge it, for the list of assumptions. */
function mixtureAssumptions(setups: readonly FittedSetup[], mixtures: readonly MixtureParts[]): TrialResult['assumptions'] {
  const where = (holds: (parts: MixtureParts) => boolean): string =>
    setups
      .filter((_, index) => holds(mixtures[index]!))
      .map(({ name }) => name)
      .join(', ');
  const delayed = where(({ mixture }) => mixture?.delay.standing === 'assumed');
  const tabled = mixtures.find(({ fuelTable }) => fuelTable.table !== null)?.fuelTable.table ?? null;
  const source = 'common practice, no source';
  return [
    ...(delayed === ''
      ? []
      : [
          {
            quantity: 'delay of the lambda reading',
            value: 0.1,
            unit: 's',
            spread: 0.05,
            source,
            where: delayed,
            field: 'car.targets.lambda-delay',
          },
        ]),
    ...(tabled === null
      ? []
      : [
          {
            quantity: 'error of the lambda sensor, as a share (counts in the measured error table only)',
            value: 0,
            unit: '1',
            spread: tabled.sensorSpread,
            source,
            where: where(({ fuelTable }) => fuelTable.table !== null),
            field: null,
          },
        ]),
  ];
}

/** How far the mixture moved from one setup to another; null where lambda was not logged in the pulls of both. */
function compareMixture(before: MixtureReadings | null, after: MixtureReadings | null): MixtureComparison | null {
  if (before === null || after === null) return null;
  const together = (key: 'engineSpeedRpm' | 'manifoldPressurePa'): Float64Array => Float64Array.of(...before[key], ...after[key]);
  const rpmEdges = evenEdges(together('engineSpeedRpm'), stepRpm);
  if (rpmEdges.length < 2) return null;
  const pressureEdgesPa = evenEdges(together('manifoldPressurePa'), stepPa);
  const bySpeed = lambdaDrift(before, after, { rpmEdges });
  const cells = pressureEdgesPa.length < 2 ? [] : lambdaDrift(before, after, { rpmEdges, pressureEdgesPa }).cells.map(cellResult);
  const told = bySpeed.cells.map(cellResult);
  return { cells, bySpeed: told, level: bySpeed.level, sentence: sentenceFor(told) };
}

function cellResult({ fromRpm, toRpm, fromPa, toPa, before, after, drift, low, high }: DriftCell): MixtureCell {
  return {
    fromRpm,
    toRpm,
    fromPa,
    toPa,
    before: before.mean,
    after: after.mean,
    drift,
    low,
    high,
    readingsBefore: before.count,
    readingsAfter: after.count,
  };
}

function sentenceFor(cells: readonly MixtureCell[]): string {
  if (cells.length === 0) return 'The pulls of both setups share no engine speeds with a steady mixture.';
  const clear = cells.filter(({ low, high }) => low !== null && high !== null && (low > 0 || high < 0));
  if (clear.length === 0) return 'No clear move of the mixture at any engine speed.';
  const most = clear.reduce((a, b) => (Math.abs(b.drift) > Math.abs(a.drift) ? b : a));
  const signed = (value: number): string => `${value < 0 ? '−' : '+'}${Math.abs(value).toFixed(3)}`;
  return `The mixture moved ${most.drift > 0 ? 'leaner' : 'richer'} by up to ${Math.abs(most.drift).toFixed(3)} lambda (${signed(most.low!)} to ${signed(most.high!)}) from ${numberText(most.fromRpm, 0)} to ${rpmText(most.toRpm)}; the move is clear in ${clear.length} of ${cells.length} ranges of engine speed.`;
}
