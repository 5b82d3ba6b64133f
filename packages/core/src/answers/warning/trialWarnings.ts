import { injectorDutyOf, pullWarnings, type WatchedPull } from '../../fuel/index.js';
import { type Channel, channelsOf, findChannel, freshSamples, type Log, type Quantity } from '../../log/index.js';
import { fuelRailOfRuns, type Question, question, type TrialPull } from '../../pulls/index.js';
import type { WarningLine } from '../../result/index.js';
import { joinableGapS, rowsOf, valueAt } from '../../stretches/index.js';

/** Holds every pull, used or not, against the car's limits. */
export const trialWarnings: Question<WarningLine> = question(({ setups }) => {
  const pulls = setups.flatMap((setup) => setup.pulls);
  const watched = pulls.map((pull) => watchedPull(pull));
  const limits = pulls[0]?.run.inputs;
  const { level, sentence, details, findings, assumptions } = pullWarnings(watched, {
    targetLambda: limits?.targetLambda ?? null,
    leanestLambda: limits?.leanestLambda ?? null,
    maxRotorSpeedRpm: limits?.blower?.maxRotorSpeedRpm ?? null,
    fuelRail: fuelRailOfRuns(setups.flatMap(({ runs }) => runs))?.rail ?? null,
  });
  return { answer: { level, sentence, details }, findings, assumptions };
});

/** The recording of a pull as the watchers take it: on the log's own rows, with readings that the logger only repeats left out. */
function watchedPull({ run, log, pull, signals }: TrialPull): WatchedPull {
  const { inputs } = run;
  const { from, to } = rowsOf(log, pull);
  const timeS = log.timeS.slice(from, to);
  const engine = signals.engine!;
  const gapS = joinableGapS(engine);
  const engineSpeedRpm = timeS.map((t) => valueAt(engine, t, gapS));
  const rows = (channel: Channel | null): Float64Array | null => (channel === null ? null : freshOnly(log, channel, from, to));
  const first = (quantity: Quantity): Channel | null => findChannel(log, quantity);
  const manifold = first('manifold-pressure');
  const absolute =
    manifold === null
      ? null
      : manifold.reference === 'gauge'
        ? rows(manifold)!.map((pressurePa) => pressurePa + inputs.stationPressurePa.value)
        : rows(manifold);
  const banks = channelsOf(log, 'lambda').map((channel) => freshOnly(log, channel, from, to));
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
