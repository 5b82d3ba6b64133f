import { evenEdges, loadCoverage, readingsAt } from '../../fuel/index.js';
import { findChannel, freshSamples, type Log } from '../../log/index.js';
import { absoluteValues } from '../../pulls/index.js';
import type { CoverageResult } from '../../result/index.js';
import { engineSpeedOnRows, motionSignals } from '../../stretches/index.js';

const stepRpm = 500;
const stepPa = 20000;
const stepLoad = 0.1;

/** Which cells of engine speed × load a log visited with the engine running; null where either is missing. */
export function logCoverage(log: Log, stationPressurePa: number): CoverageResult | null {
  const load = findChannel(log, 'manifold-pressure') ?? findChannel(log, 'load');
  if (load === null) return null;
  const pressure = load.quantity === 'manifold-pressure';
  const { timeS, values } = freshSamples(log, pressure ? { ...load, values: absoluteValues(load, stationPressurePa) } : load);
  const rpm = engineSpeedOnRows(motionSignals(log)).map((value) => (value < 300 ? Number.NaN : value));
  const onRows = readingsAt(timeS, values, log.timeS).map((value, row) => (Number.isNaN(rpm[row]!) ? Number.NaN : value));
  const rpmEdges = evenEdges(rpm, stepRpm);
  const loadEdges = evenEdges(onRows, pressure ? stepPa : stepLoad);
  if (rpmEdges.length < 2 || loadEdges.length < 2) return null;
  return {
    ...loadCoverage(log.timeS, rpm, onRows, { rpmEdges, loadEdges }),
    load: pressure ? 'manifold-pressure' : 'load',
    unit: pressure ? 'Pa' : '1',
  };
}
