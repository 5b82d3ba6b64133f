import { type Finding, type Place, PullproofError } from '../../findings/index.js';
import { calculateChannels, compileFormulas, type Formula, type FormulaParser } from '../../formulas/index.js';
import type { Channel, Log } from '../../log/index.js';
import type { FoundCeiling, LoadedRun } from '../../pulls/index.js';
import { channelCurve, type Question, question } from '../../pulls/index.js';
import type { CalculatedResult } from '../../result/index.js';
import { readingsOnCeiling } from '../../sensors/index.js';
import type { TrialFile } from '../../trial/index.js';
import { trialDocument } from '../../trial/index.js';

/**
 * The formulas of a trial file, read and checked; none where the parser is null, as they are not wanted then.
 *
 * @throws E_FORMULA with line, field and character; E_FORMULA_PARSER where the trial has formulas and no parser was handed over
 */
export function trialFormulas(file: TrialFile, text: string | null, parser: FormulaParser | null | undefined): readonly Formula[] {
  if (file.calculated === undefined || file.calculated.size === 0 || parser === null) return [];
  const { path } = file;
  const document = text === null ? null : trialDocument(text, path);
  const where = (name: string): Place => ({
    path,
    ...(document === null ? {} : { line: document.lineOf(['calculated', name], false) ?? 1 }),
    field: `calculated.${name}`,
  });
  if (parser !== undefined) return compileFormulas(file.calculated, parser, { where });
  const [first = ''] = file.calculated.keys();
  throw new PullproofError(
    'E_FORMULA_PARSER',
    'The trial has calculated quantities, and nothing to read formulas with was handed over.',
    where(first),
    'Pass formulaParser: await loadFormulaParser().',
  );
}

/**
 * Calculated quantities over engine speed, setup by setup. A reading that rests on a sensor's ceiling is left out: it is a bound, and what a formula makes of a
 * bound is unknown.
 */
export const calculatedParts: Question<readonly CalculatedResult[]> = question(({ setups, options, ceilings }) => {
  const { formulas = [] } = options;
  if (formulas.length === 0) return { answer: [], status: { is: 'not applicable', why: 'the trial has no formulas' } };
  const findings: Finding[] = [];
  const ofRun = new Map<LoadedRun, readonly (Channel | null)[]>();
  for (const run of setups.flatMap(({ runs }) => runs)) {
    const { stationPressurePa, temperatureK, setup } = run.inputs;
    const made = calculateChannels(withoutCeilings(run.log, ceilings().found), formulas, {
      entered: { 'barometric-pressure': stationPressurePa.value, 'ambient-temperature': temperatureK.value },
    });
    ofRun.set(
      run,
      made.map(({ channel }) => channel),
    );
    for (const { formula, channel, missing } of made) {
      if (channel !== null) continue;
      findings.push({
        code: 'CALCULATED_MISSING',
        severity: 'warning',
        message: `${formula.name} could not be calculated: ${missing.length > 0 ? `there is no ${missing.join(', no ')}` : 'its formula has a value nowhere in this log'}.`,
        where: { path: run.log.path, setup },
        fix: missing.length > 0 ? 'Log it, state by channels which column it is, or change the formula.' : 'Check the formula.',
      });
    }
  }
  const results = formulas.map(
    ({ name, text, unit }, index): CalculatedResult => ({
      name,
      formula: text,
      unit,
      setups: setups.map((setup) => {
        if (setup.curve === null) return { setup: setup.name, curve: null, status: 'No pull could be used.' };
        // The channel is no sensor's: it has no ceiling of its own.
        const curve = channelCurve(
          setup.used,
          (run) => ofRun.get(run)?.[index] ?? null,
          setup.curve.engineSpeedRpm,
          [],
          'manifold-pressure',
        );
        return { setup: setup.name, curve, status: curve === null ? 'It has no value in the pulls.' : null };
      }),
    }),
  );
  return { answer: results, findings };
});

/** The log with the readings on a ceiling missing. */
function withoutCeilings(log: Log, ceilings: readonly FoundCeiling[]): Log {
  const own = ceilings.filter(({ logs }) => logs.has(log));
  if (own.length === 0) return log;
  const channels = log.channels.map((channel): Channel => {
    const flags = own.filter((one) => one.channel === channel.name).map(({ ceiling }) => readingsOnCeiling(channel.values, ceiling));
    if (flags.length === 0) return channel;
    return { ...channel, values: channel.values.map((value, row) => (flags.some((on) => on[row] === 1) ? Number.NaN : value)) };
  });
  return { ...log, channels };
}

/**
 * True where a trial file may have calculated quantities, told from its text alone, so that their parser is loaded only then.
 *
 * @param text of the trial file
 * @returns false only where no key can be called `calculated`
 *
 * @example
 * ```ts
 * import { mayHaveFormulas } from '@pullproof/core';
 * mayHaveFormulas('calculated: { ratio: manifold_pressure / barometric_pressure }'); // => true
 * mayHaveFormulas('trial: 1'); // => false
 * ```
 */
export function mayHaveFormulas(text: string): boolean {
  // YAML spells a key in other characters only by a backslash.
  return text.includes('calculated') || text.includes('\\');
}
