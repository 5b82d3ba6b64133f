import { logCoverage, logFitness, steadyOf } from '../answers/index.js';
import { findChannel, type Log } from '../log/index.js';
import { logCeilings, sparseFinding } from '../pulls/index.js';
import type { CheckedLog } from '../result/index.js';
import { findStretches, type MotionSignals, quantileOf, rowsOf } from '../stretches/index.js';

/**
 * What is in a log, and whether it is fit for use: channels, refresh, stretches, findings.
 *
 * @param log A log as read.
 * @returns Plain data, the entry of `pullproof/check@1`.
 */
export function checkLog(log: Log): CheckedLog {
  const stretchesFound = findStretches(log);
  const { pulls, others, demand, signals } = stretchesFound;
  const findings = [...log.findings];
  const loggedPa = weatherOf(log);
  const stationPressurePa = loggedPa ?? 101325;
  const ceilings = logCeilings([{ log, signals, pulls, setup: null, stationPressurePa: loggedPa, sensorKey: '' }]);
  findings.push(...ceilings.findings);
  const sources = [{ log, found: stretchesFound, stationPressurePa }];
  const steady = { idle: steadyOf(sources, 'idle'), cruise: steadyOf(sources, 'cruise') };
  if (pulls.length === 0) {
    findings.push({
      code: 'NO_PULLS',
      severity: 'note',
      message: `No full-load pull was found${demand === null ? ': no pedal, throttle, load or manifold pressure tells full load' : ` by ${demand.evidence}`}.`,
      where: { path: log.path },
      fix: 'A pull is full load in one gear for at least 1.5 s while the engine gains speed; log pedal or throttle, engine speed and road speed.',
    });
  }
  findings.push(...sparseFinding(stretchesFound.sparse, { path: log.path }));
  const stretches = [...pulls, ...others].sort((a, b) => a.startS - b.startS);
  return {
    path: log.path,
    dialect: log.dialect,
    rows: log.rows,
    rowsDropped: log.rowsDropped,
    durationS: log.rows < 2 ? null : log.timeS[log.rows - 1]! - log.timeS[0]!,
    channels: log.channels.map(({ name, quantity, unit, reference, standing, evidence, refreshS, missing }) => ({
      name,
      quantity,
      unit,
      reference,
      standing,
      evidence,
      refreshS,
      missing,
    })),
    stretches: stretches.map((stretch) => {
      const { from, to } = rowsOf(log, stretch);
      return {
        kind: stretch.kind,
        startS: stretch.startS,
        endS: stretch.endS,
        fromRpm: stretch.fromRpm,
        toRpm: stretch.toRpm,
        firstRow: log.rowNumbers[from] ?? 0,
        lastRow: log.rowNumbers[Math.max(from, to - 1)] ?? 0,
        gear: null,
        ...(stretch.kind === 'pull' ? { rpmPerMps: ratioOf(log, signals, from, to) } : {}),
        evidence: stretch.evidence,
      };
    }),
    ceilings: ceilings.results,
    steady,
    coverage: logCoverage(log, stationPressurePa),
    fitness: logFitness(log, stretchesFound, steady, ceilings.results),
    findings,
  };
}

/** Engine speed over road speed of a pull, rpm per m/s: the middle over its rows; null where no road speed tells. */
function ratioOf(log: Log, { engine, road }: MotionSignals, from: number, to: number): number | null {
  if (engine === null || road === null) return null;
  const ratios: number[] = [];
  for (let i = from; i < Math.min(to, log.rows); i++) {
    const speedMps = road.channel.values[i]!;
    const ratio = engine.channel.values[i]! / speedMps;
    if (speedMps > 3 && ratio > 0) ratios.push(ratio);
  }
  return ratios.length < 3 ? null : quantileOf(ratios, 0.5);
}

/** The weather's pressure where the log itself has it. */
function weatherOf(log: Log): number | null {
  const channel = findChannel(log, 'barometric-pressure');
  const median = channel === null ? Number.NaN : quantileOf(channel.values, 0.5);
  return median > 50000 && median < 110000 ? median : null;
}
