import { densityAltitudeM } from '../air/index.js';
import {
  beyondCurve,
  differenceSpread,
  etAndTrap,
  learnedRows,
  learnFromTrial,
  misfit,
  ruleForecasts,
  simulatedForecast,
  slipCount,
  slipResult,
  stripCautions,
  stripDay,
  stripModel,
  trialSlips,
  usualChanges,
} from '../answers/index.js';
import type { Finding } from '../findings/index.js';
import type { OpenedLog } from '../pulls/index.js';
import type { ForecastResult, SetupForecast, WorthResult } from '../result/index.js';
import { type PassModel, worthOfChange } from '../strip/index.js';
import { parseTrial, type RunInputs, resolveTrial, type TrialFile } from '../trial/index.js';
import { runTrial } from './runTrial.js';

/**
 * The whole job before the strip: a trial file and its logs in, what each setup will run out.
 *
 * @param trial Text of the trial file, or the trial as `parseTrial` gives it.
 * @param trialPath Its path, for messages.
 * @param openLog Opens a log, or a CSV file of slips, by the path that the trial gives it.
 * @returns Forecasts by every method that the trial allows, the worth of changes, what slips taught.
 * @throws PullproofError with the code of what cannot be used.
 */
export function forecastTrial(trial: string | TrialFile, trialPath: string, openLog: (path: string) => OpenedLog): ForecastResult {
  const file = typeof trial === 'string' ? parseTrial(trial, trialPath) : trial;
  const { slips, findings: slipFindings } = trialSlips(file, openLog);
  const compared = runTrial(file, trialPath, openLog, { formulaParser: null });
  const inputs = resolveTrial(file);
  const findings: Finding[] = [...compared.findings.filter(({ code }) => code !== 'ONE_SETUP'), ...slipFindings];
  const dayOf = (setup: string): { inputs: RunInputs; source: string } => {
    const slip = slips.findLast((one) => one.setup === setup) ?? slips.at(-1);
    if (slip !== undefined) return { inputs: slip.inputs, source: `air, wind and load of ${slip.name}` };
    const run = inputs.setups.find(({ name }) => name === setup)!.runs.at(-1)!;
    return { inputs: run, source: `air and load of ${run.log}` };
  };
  // One day for every setup, so that they can be compared.
  const common = dayOf(compared.setups.at(-1)!.name);
  const models = new Map<string, PassModel>();
  let assumed: ForecastResult['assumed'] = [];
  for (const setup of compared.setups) {
    const made = stripModel(file.car, common.inputs, setup);
    if (made.model === null) {
      findings.push({
        code: 'STRIP_NO_SIMULATION',
        severity: 'warning',
        message: `${setup.name} cannot be simulated: ${made.missing} is missing.`,
        where: { path: trialPath, setup: setup.name },
        fix: 'Add it; rules of power and weight are all that can be told until then.',
      });
      continue;
    }
    models.set(setup.name, made.model);
    assumed = made.assumed;
  }
  const learned = learnFromTrial(slips, models);
  if (learned !== null) findings.push(...misfit(learned, trialPath));
  const forecasts: SetupForecast[] = [];
  for (const setup of compared.setups) {
    forecasts.push(...ruleForecasts(setup, common.inputs));
    const model = models.get(setup.name);
    if (model === undefined) continue;
    const day = stripDay(common.inputs, model);
    forecasts.push(simulatedForecast(setup.name, model, day, undefined, common.source));
    if (learned !== null)
      forecasts.push(simulatedForecast(setup.name, model, day, learned, `${common.source}; learned from ${slipCount(slips)}`));
    findings.push(...beyondCurve(setup.name, model, day, trialPath));
  }
  const pairs = compared.comparisons.map((comparison) => ({
    comparison,
    before: models.get(comparison.before),
    after: models.get(comparison.after),
  }));
  const worth: WorthResult[] = [];
  const options = learned === null ? {} : { learned };
  for (const { comparison, before, after } of pairs) {
    if (before === undefined || after === undefined) continue;
    const day = stripDay(common.inputs, before);
    const changed = {
      model: after,
      day,
      powerDifferenceSpread: differenceSpread(comparison.wheelPowerW, compared.setups, comparison.before),
    };
    worth.push({
      change: `${comparison.before} to ${comparison.after}`,
      setup: comparison.before,
      ...etAndTrap(worthOfChange(before, day, changed, options)),
    });
  }
  const basis = compared.setups.at(-1)!.name;
  const model = models.get(basis);
  if (model !== undefined) worth.push(...usualChanges(basis, model, stripDay(common.inputs, model), options));
  const best = forecasts
    .filter(({ method }) => method === (learned === null ? 'simulated' : 'simulated-learned'))
    .map(({ etS }) => etS.low);
  return {
    schema: 'pullproof/forecast@1',
    title: compared.title,
    units: compared.units,
    provenance: compared.provenance,
    day: {
      airDensityKgPerM3: common.inputs.airDensityKgPerM3.value,
      densityAltitudeM: densityAltitudeM(common.inputs.airDensityKgPerM3.value),
      windMps: common.inputs.windMps.value,
      source: common.source,
    },
    forecasts,
    worth,
    slips: slips.map((slip) => slipResult(slip, models.get(slip.setup), learned, common.inputs)),
    learned: learned === null ? [] : learnedRows(learned),
    assumed,
    cautions: stripCautions(best.length === 0 ? null : Math.min(...best)),
    findings,
  };
}
