import {
  compareSlips,
  likelyScaleShare,
  notTogether,
  passInLog,
  reasonsOf,
  stripCautions,
  stripDay,
  stripModel,
  trialSlips,
  withoutLog,
} from '../answers/index.js';
import type { Finding } from '../findings/index.js';
import { readLog } from '../log/index.js';
import type { OpenedLog } from '../pulls/index.js';
import type { ReconciledSlip, ReconcileResult, TrialResult } from '../result/index.js';
import { carrySlip, powerFromTrap } from '../strip/index.js';
import { parseTrial, type TrialFile } from '../trial/index.js';
import { runTrial } from './runTrial.js';

/**
 * The whole job after the strip: each slip beside the log of its pass and beside the pulls.
 *
 * @param trial Text of the trial file, or the trial as `parseTrial` gives it.
 * @param trialPath Its path, for messages.
 * @param openLog Opens a log, or a CSV file of slips, by the path that the trial gives it.
 * @returns Splits of slip and log, speed scale, wheelspin, the power that the trap speed asks for, and setups compared by their slips.
 * @throws PullproofError with the code of what cannot be used.
 */
export function reconcileTrial(trial: string | TrialFile, trialPath: string, openLog: (path: string) => OpenedLog): ReconcileResult {
  const file = typeof trial === 'string' ? parseTrial(trial, trialPath) : trial;
  const { slips, findings: slipFindings } = trialSlips(file, openLog);
  const compared = runTrial(file, trialPath, openLog, { formulaParser: null });
  const findings: Finding[] = [...compared.findings.filter(({ code }) => code !== 'ONE_SETUP'), ...slipFindings];
  if (slips.length === 0)
    findings.push({
      code: 'NO_SLIPS',
      severity: 'warning',
      message: 'The trial has no slips, so there is nothing to lay beside the logs.',
      where: { path: trialPath, field: 'slips' },
      fix: 'Add slips, or slips: slips.csv.',
    });
  const inputs: TrialResult['provenance']['inputs'][number][] = [...compared.provenance.inputs];
  const models = slips.map((slip) => {
    const setup = compared.setups.find(({ name }) => name === slip.setup)!;
    return stripModel(file.car, slip.inputs, setup).model;
  });
  const done = slips.map((slip, s): ReconciledSlip => {
    const model = models[s]!;
    const powerScale = model === null ? null : powerFromTrap(slip.usable, model, stripDay(slip.inputs, model));
    const base = { name: slip.name, setup: slip.setup, log: slip.log, powerScaleFromTrap: powerScale };
    if (slip.log === null) return { ...base, ...withoutLog(slip), reasons: reasonsOf(slip, null, powerScale) };
    const { chunks, sha256 } = openLog(slip.log);
    const { reading, channels, gaugeStoich } = slip.inputs;
    const log = readLog(chunks, { ...reading, path: slip.log, channels, gaugeStoich: gaugeStoich.value });
    inputs.push({ path: slip.log, sha256: sha256?.() ?? '', rows: log.rows, rowsDropped: log.rowsDropped });
    findings.push(...log.findings);
    const seen = passInLog(log, slip);
    if (seen === null) {
      findings.push({
        code: 'PASS_NOT_FOUND',
        severity: 'warning',
        message: `No pass of the length of ${slip.name} starts from rest in the log.`,
        where: { path: slip.log, setup: slip.setup },
        fix: 'Check that this log belongs to the slip, and that it holds road speed from before the launch.',
      });
      return { ...base, ...withoutLog(slip), reasons: reasonsOf(slip, null, powerScale) };
    }
    const { aligned, pass, launchSpin, topGrowth, liftS, shiftsS } = seen;
    if (Math.abs(Math.log(aligned.speedScale.value)) > Math.log(1 + likelyScaleShare)) {
      const apart = notTogether(slip, aligned.speedScale.value);
      findings.push(apart);
      return { ...base, ...withoutLog(slip), reasons: [apart.message, ...reasonsOf(slip, null, powerScale)] };
    }
    const facts = { ...seen, aligned };
    return {
      ...base,
      launchS: aligned.clockStartS.value,
      offsetS: aligned.offsetS,
      speedScale: aligned.speedScale,
      splits: aligned.splits,
      shiftsS,
      liftS: liftS !== null && liftS < pass.endS ? liftS : null,
      launchSpin,
      topGrowth,
      reasons: reasonsOf(slip, facts, powerScale),
      motion: { distanceM: aligned.motion.distanceM, speedMps: aligned.motion.speedMps },
    };
  });
  const carried = slips.map((slip, s) => {
    const model = models[s]!;
    if (model === null)
      return { setup: slip.setup, etS: slip.usable.timesS['1320ft'] ?? null, trapMps: slip.usable.trapsMps['1320ft'] ?? null };
    const to = { airDensityKgPerM3: slips[0]!.inputs.airDensityKgPerM3.value };
    const { elapsedTimeS, trapMps } = carrySlip(slip.usable, model, stripDay(slip.inputs, model), to);
    return { setup: slip.setup, etS: elapsedTimeS, trapMps };
  });
  const quickest = Math.min(...slips.map(({ usable }) => usable.timesS['1320ft'] ?? Number.POSITIVE_INFINITY));
  return {
    schema: 'pullproof/reconcile@1',
    title: compared.title,
    units: compared.units,
    provenance: { ...compared.provenance, inputs },
    slips: done,
    comparisons: compared.comparisons.flatMap(({ before, after }) => compareSlips(before, after, carried)),
    cautions: stripCautions(Number.isFinite(quickest) ? quickest : null, 'slips'),
    findings,
  };
}
