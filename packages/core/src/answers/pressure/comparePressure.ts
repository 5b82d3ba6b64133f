import { expectedAfterPulleyChange } from '../../boost/index.js';
import { PullproofError } from '../../findings/index.js';
import type { Quantity } from '../../log/index.js';
import type { FittedSetup, FoundCeiling } from '../../pulls/index.js';
import { boostChannel, type ChannelOfRun, channelOf, type PullsCurve, pullsCurve, ratioChannel } from '../../pulls/index.js';
import type { ExpectedRatioResult, PressureComparison } from '../../result/index.js';
import { nullable } from '../../result/index.js';
import { compareCurves } from './compareCurves.js';
import { pulleyParts, pulleySentence } from './pulleyShare.js';

/** Adiabatic efficiency of a blower and the range it may lie in: common practice, no source. */
const efficiency = { usual: 0.6, low: 0.5, high: 0.7 } as const;

/**
 * Boost of two setups beside each other: absolute, gauge, pressure ratio, and what the pulley alone should have made of it.
 *
 * @param before earlier setup
 * @param after later one
 * @param ceilings of the trial's logs
 * @returns null where manifold pressure was not logged in the pulls of both
 */
export function comparePressure(before: FittedSetup, after: FittedSetup, ceilings: readonly FoundCeiling[]): PressureComparison | null {
  if (before.curve === null || after.curve === null) return null;
  const gridRpm = sharedRpm(before.curve.engineSpeedRpm, after.curve.engineSpeedRpm);
  const both = (channel: ChannelOfRun): readonly [PullsCurve | null, PullsCurve | null] => [
    pullsCurve(before.used, channel, gridRpm, ceilings, 'manifold-pressure'),
    pullsCurve(after.used, channel, gridRpm, ceilings, 'manifold-pressure'),
  ];
  const absolute = both(channelOf(['manifold-pressure']));
  if (absolute[0] === null || absolute[1] === null) return null;
  const ratio = both(ratioChannel);
  const weatherPa = Math.hypot(weatherSpread(before), weatherSpread(after));
  const stationPa = before.used[0]!.run.inputs.stationPressurePa.value;
  const usual = absolute[0].curve.mean.reduce((most, pa) => (Number.isNaN(pa) ? most : Math.max(most, pa)), 0);
  return {
    manifoldPressurePa: compareCurves(...absolute),
    boostPa: compareCurves(...both(boostChannel), { common: weatherPa }),
    pressureRatio: compareCurves(...ratio, { common: (usual / stationPa) * (weatherPa / stationPa) }),
    driveRatio: { before: driveRatioOf(before), after: driveRatioOf(after) },
    expectedRatio: expectedRatioOf(before, after, ceilings),
  };
}

function sharedRpm(before: Float64Array, after: Float64Array): Float64Array {
  const inAfter = new Set(after);
  return before.filter((rpm) => inAfter.has(rpm));
}

/** What the pulley change alone should have made of the pressure ratio before; null where a pulley, manifold pressure or pulls are missing, or nothing was changed. */
function expectedRatioOf(before: FittedSetup, after: FittedSetup, ceilings: readonly FoundCeiling[]): ExpectedRatioResult | null {
  const drive = { before: driveRatioOf(before), after: driveRatioOf(after) };
  if (before.curve === null || after.curve === null || drive.before === null || drive.after === null || drive.before === drive.after)
    return null;
  const gridRpm = sharedRpm(before.curve.engineSpeedRpm, after.curve.engineSpeedRpm);
  const curve = (setup: FittedSetup, channel: ChannelOfRun, quantity: Quantity): PullsCurve | null =>
    pullsCurve(setup.used, channel, gridRpm, ceilings, quantity);
  const ratio = [curve(before, ratioChannel, 'manifold-pressure'), curve(after, ratioChannel, 'manifold-pressure')] as const;
  const charge = curve(before, channelOf(['charge-temperature']), 'charge-temperature');
  return expectedRatio(before, ratio, charge, { before: drive.before, after: drive.after });
}

/** Standard uncertainty of the mean pressure of the weather over the runs used; in one outing it is one reading. */
function weatherSpread(setup: FittedSetup): number {
  return Math.max(...setup.used.map((pull) => pull.run.inputs.stationPressurePa.spread));
}

function driveRatioOf(setup: FittedSetup): number | null {
  return setup.runs[0]?.inputs.blower?.driveRatio ?? null;
}

function expectedRatio(
  setup: FittedSetup,
  [before, after]: readonly [PullsCurve | null, PullsCurve | null],
  charge: PullsCurve | null,
  drive: { readonly before: number; readonly after: number },
): ExpectedRatioResult | null {
  if (before === null || after === null) return null;
  const { engineSpeedRpm, mean } = before.curve;
  const inletTemperatureK = setup.used.reduce((sum, pull) => sum + pull.run.inputs.temperatureK.value, 0) / setup.used.length;
  const at = Array.from(engineSpeedRpm.keys()).filter(
    (i) => mean[i]! > 1.02 && !Number.isNaN(after.curve.mean[i]!) && before.bounds[i] === null && after.bounds[i] === null,
  );
  if (at.length < 3) return null;
  const model = (i: number, adiabaticEfficiency: number): number =>
    expectedAt(mean[i]!, charge?.curve.mean[i] ?? Number.NaN, inletTemperatureK, drive.before, drive.after, adiabaticEfficiency);
  const usual = at.map((i) => model(i, efficiency.usual));
  const plain = at.map((i) => (mean[i]! * drive.after) / drive.before);
  // From a charge that stays as cool as it was to one that takes all the heat that is added.
  const ends = at.map((i, k) => [plain[k]!, model(i, efficiency.low), model(i, efficiency.high)]);
  const seen = at.map((i) => after.curve.mean[i]!);
  const was = at.map((i) => mean[i]!);
  const rpm = at.map((i) => engineSpeedRpm[i]!);
  const parts = pulleyParts({
    rpm,
    was,
    expected: usual,
    low: ends.map((pair) => Math.min(...pair)),
    high: ends.map((pair) => Math.max(...pair)),
    seen,
  });
  return {
    engineSpeedRpm: rpm,
    before: was.map(nullable),
    expected: usual.map(nullable),
    low: ends.map((pair) => nullable(Math.min(...pair))),
    high: ends.map((pair) => nullable(Math.max(...pair))),
    withoutHeat: plain.map(nullable),
    seen: seen.map(nullable),
    standing: 'model',
    parts,
    sentence: pulleySentence(drive.after / drive.before, parts),
  };
}

/** Expected ratio at one engine speed; NaN where the model does not reach. The cooler is taken so that the charge temperature before is met. */
function expectedAt(
  pressureRatio: number,
  chargeTemperatureK: number,
  inletTemperatureK: number,
  driveRatioBefore: number,
  driveRatioAfter: number,
  adiabaticEfficiency: number,
): number {
  const outletK = inletTemperatureK * (1 + (pressureRatio ** (0.4 / 1.4) - 1) / adiabaticEfficiency);
  const known = Number.isFinite(chargeTemperatureK);
  const effectiveness = known && outletK > inletTemperatureK ? (outletK - chargeTemperatureK) / (outletK - inletTemperatureK) : 0;
  try {
    return expectedAfterPulleyChange({
      pressureRatio,
      chargeTemperatureK: known ? chargeTemperatureK : outletK,
      inletTemperatureK,
      driveRatioBefore,
      driveRatioAfter,
      adiabaticEfficiency,
      cooler: effectiveness === 0 ? null : { effectiveness, coolantTemperatureK: inletTemperatureK },
    }).expected.pressureRatio;
  } catch (cause) {
    // No balance within the model: no expectation, and none is shown.
    if (cause instanceof PullproofError && (cause.code === 'E_BEYOND_MODEL' || cause.code === 'E_NOT_CONVERGED')) return Number.NaN;
    throw cause;
  }
}
