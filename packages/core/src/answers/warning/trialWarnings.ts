import { injectorDutyOf, pullWarnings, readingsAt, type WatchedPull } from '../../fuel/index.js';
import { type LambdaDoubt, lambdaDoubts } from '../../knownTwice/index.js';
import { type Channel, channelsOf, findChannel, freshSamples, type Log, type Quantity } from '../../log/index.js';
import { fuelRailOfRuns, type Question, question, type TrialPull } from '../../pulls/index.js';
import type { WarningLine } from '../../result/index.js';
import { joinableGapS, rowsOf, valueAt } from '../../stretches/index.js';

/** Holds every pull, used or not, against the car's limits. */
export const trialWarnings: Question<WarningLine> = question((evidence) => {
  const { setups } = evidence;
  const pulls = setups.flatMap((setup) => setup.pulls);
  const doubts = lambdaDoubts(evidence).answer;
  const watched = pulls.map((pull) =>
    watchedPull(
      pull,
      doubts.filter(({ run }) => run === pull.run),
    ),
  );
  const limits = pulls[0]?.run.inputs;
  const { level, sentence, details, findings, assumptions } = pullWarnings(watched, {
    targetLambda: limits?.targetLambda ?? null,
    leanestLambda: limits?.leanestLambda ?? null,
    maxRotorSpeedRpm: limits?.blower?.maxRotorSpeedRpm ?? null,
    fuelRail: fuelRailOfRuns(setups.flatMap(({ runs }) => runs))?.rail ?? null,
  });
  return { answer: { level, sentence, details }, findings, assumptions };
});

/** A wide-open manifold holds at least this much of the air's pressure. Common practice, no source. */
const fullLoadShare = 0.85;

/** The recording of a pull as the watchers take it: on the log's own rows, with readings that the logger only repeats left out. */
function watchedPull({ run, log, pull, signals }: TrialPull, doubts: readonly LambdaDoubt[]): WatchedPull {
  const { inputs } = run;
  const { from, to } = rowsOf(log, pull);
  const timeS = log.timeS.slice(from, to);
  const engine = signals.engine!;
  const gapS = joinableGapS(engine);
  const engineSpeedRpm = timeS.map((t) => valueAt(engine, t, gapS));
  const first = (quantity: Quantity): Channel | null => findChannel(log, quantity);
  const manifold = first('manifold-pressure');
  const absolute =
    manifold === null
      ? null
      : manifold.reference === 'gauge'
        ? freshOnly(log, manifold, from, to).map((pressurePa) => pressurePa + inputs.stationPressurePa.value)
        : freshOnly(log, manifold, from, to);
  const onRows = absolute === null ? null : readingsAt(timeS, absolute, timeS);
  // Limits are those of full load: where the manifold is well below the air around, the throttle is not open.
  const atFullLoad = (values: Float64Array): Float64Array =>
    onRows === null ? values : values.map((value, i) => (onRows[i]! < fullLoadShare * inputs.stationPressurePa.value ? Number.NaN : value));
  const rows = (channel: Channel | null): Float64Array | null => (channel === null ? null : atFullLoad(freshOnly(log, channel, from, to)));
  const trusted = channelsOf(log, 'lambda').filter(({ name }) => !doubts.some(({ channel }) => channel === name));
  const banks = trusted.map((channel) => atFullLoad(freshOnly(log, channel, from, to)));
  const narrowband = log.findings.find(({ code }) => code === 'W_NARROWBAND')?.where.channel;
  const doubt =
    doubts[0]?.sentence ?? (narrowband === undefined || banks.length > 0 ? null : `column ${narrowband} is a narrowband voltage`);
  return {
    name: `${inputs.log} at ${pull.startS.toFixed(1)} s`,
    setup: inputs.setup,
    path: inputs.log,
    outing: inputs.outing,
    timeS,
    engineSpeedRpm,
    stationPressurePa: inputs.stationPressurePa.value,
    manifoldPressurePa: absolute,
    lambda: banks.length === 0 ? null : banks,
    lambdaDoubt: doubt,
    commandedLambda: rows(first('commanded-lambda')),
    knockRetardDeg: rows(first('knock-retard')),
    chargeTemperatureK: rows(first('charge-temperature') ?? first('intake-temperature')),
    fuelPressurePa: rows(first('fuel-pressure')),
    injectorDuty: rows(first('injector-duty')) ?? dutyFromPulses(rows(first('injector-pulse-width')), engineSpeedRpm),
    rotorSpeedRpm: rows(first('rotor-speed')),
    driveRatio: inputs.blower?.driveRatio ?? null,
  };
}

/** Duty by pulse width and engine speed, where the log has no duty of its own. */
function dutyFromPulses(pulsesS: Float64Array | null, engineSpeedRpm: Float64Array): Float64Array | null {
  return pulsesS === null ? null : pulsesS.map((pulseS, i) => injectorDutyOf(pulseS, engineSpeedRpm[i]!));
}

/** The channel on the log's rows, NaN where the row brings no new reading. */
function freshOnly(log: Log, channel: Channel, from: number, to: number): Float64Array {
  const out = new Float64Array(to - from).fill(Number.NaN);
  const { rows, values } = freshSamples(log, channel, from, to);
  rows.forEach((row, i) => {
    out[row - from] = values[i]!;
  });
  return out;
}
