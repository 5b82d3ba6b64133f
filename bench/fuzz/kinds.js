import {
  calculateChannels,
  checkLog,
  compileFormulas,
  loadFormulaParser,
  PullproofError,
  parseTrial,
  readLog,
  resolveTrial,
  slipsFromCsv,
} from '@pullproof/core';
import { checkError, checkFinite, must } from './checks.js';
import { formulasByRule } from './formulas.js';
import { hostileText, mutateBytes, mutateText, oneOf } from './mutate.js';
import { relationKind } from './relations.js';
import { changeSamples, changeSlips } from './samples.js';
import { changedTrial } from './trials.js';

/** @typedef {import('./mutate.js').Random} Random */
/** @typedef {import('./material.js').Material} Material */
/** @typedef {string} Reached  How far a case came, in a word or two. */
/** `usualMs`: what the same job takes with sound inputs. @typedef {{ make: (random: Random) => unknown, run: (made: any) => Reached | Promise<Reached>, usualMs?: (made: any) => Promise<number> }} Kind */

/** Runs a reader: it gives a value, or the one error that Pullproof throws on purpose. @template T @param {() => T} read @returns {T | null} */
function refusedOr(read) {
  try {
    return read();
  } catch (problem) {
    if (!(problem instanceof PullproofError)) throw problem;
    checkError({ code: problem.code, message: problem.what, where: problem.where, fix: problem.fix });
    return null;
  }
}

/** @param {Material} material @param {Random} random @returns {Record<string, string>} */
function changedFormulas(material, random) {
  const kind = random.uniform();
  if (kind < 0.6) return formulasByRule(random);
  if (kind < 0.75)
    return Object.fromEntries(Object.entries(formulasByRule(random)).map(([name, text]) => [name, mutateText(random, text, 1)]));
  const one = mutateText(random, oneOf(random, material.formulas), 6);
  return kind < 0.95 ? { one } : { one, [random.uniform() < 0.5 ? 'two' : hostileText(random)]: mutateText(random, 'one * 2', 3) };
}

/** @param {Material} material @param {Random} random @returns {Uint8Array} */
function changedLog(material, random) {
  const kind = random.uniform();
  const text = oneOf(random, [...material.logs.values()]);
  if (kind < 0.55) return new TextEncoder().encode(changeSamples(random, text));
  if (kind < 0.6) return new TextEncoder().encode(mutateText(random, changeSamples(random, text)));
  const small = random.uniform() < 0.8 ? material.smallLog : text;
  return kind < 0.85 ? new TextEncoder().encode(mutateText(random, small)) : mutateBytes(random, new TextEncoder().encode(small));
}

/**
 * The readers, each fed with changed texts, and what works with what they read.
 * @param {Material} material @returns {Promise<Record<'formula' | 'yaml' | 'slips' | 'log' | 'relation', Kind>>}
 */
export async function readerKinds(material) {
  const parser = await loadFormulaParser();
  const file = parseTrial(material.trialText, 'trial.yaml');
  const log = readLog(new TextEncoder().encode(material.smallLog), { path: 'log.csv' });
  const entered = { 'barometric-pressure': 98_900, 'ambient-temperature': 294.65 };
  return {
    relation: relationKind(material),
    formula: {
      make: (random) => changedFormulas(material, random),
      run: (formulas) => {
        const made = refusedOr(() => compileFormulas(formulas, parser));
        if (made === null) return 'refused';
        for (const { compiled, unit } of made) {
          checkFinite(compiled.constant ?? 0, 'constant');
          must(unit !== '', 'a formula without a unit');
        }
        const worked = refusedOr(() => calculateChannels(log, made, { entered }));
        if (worked === null) return 'too much work';
        for (const { channel, formula } of worked)
          must(!(channel?.values ?? []).some((value) => Math.abs(value) === Number.POSITIVE_INFINITY), `${formula.name} is infinite`);
        return worked.every(({ channel }) => channel === null) ? 'without value' : 'calculated';
      },
    },
    yaml: {
      make: (random) => changedTrial(random, random.uniform() < 0.1 ? material.trial : oneOf(random, material.smallTrials)),
      run: (text) => {
        const made = refusedOr(() => parseTrial(text, 'trial.yaml'));
        if (made === null) return 'refused';
        checkFinite(made, 'trial');
        const resolved = refusedOr(() => resolveTrial(made));
        if (resolved === null) return 'not resolved';
        checkFinite(resolved.setups, 'setups');
        return 'resolved';
      },
    },
    slips: {
      make: (random) => {
        const changed = random.uniform() < 0.5 ? changeSlips(random, material.slipsCsv) : material.slipsCsv;
        if (changed !== material.slipsCsv && random.uniform() < 0.7) return changed;
        return mutateText(random, random.uniform() < 0.3 ? changed.replaceAll(',', oneOf(random, [';', '\t'])) : changed);
      },
      run: (text) => {
        const slips = refusedOr(() => slipsFromCsv(text, 'slips.csv', file));
        checkFinite(slips, 'slips');
        return slips === null ? 'refused' : 'read';
      },
    },
    log: {
      make: (random) => changedLog(material, random),
      run: (bytes) => {
        const read = refusedOr(() => readLog(bytes, { path: 'log.csv' }));
        if (read === null) return 'refused';
        const checked = refusedOr(() => checkLog(read));
        checkFinite(checked, 'check');
        if (checked === null) return 'not checked';
        return checked.stretches.some(({ kind }) => kind === 'pull' || kind === 'pass') ? 'with a pull' : 'without a pull';
      },
    },
  };
}
