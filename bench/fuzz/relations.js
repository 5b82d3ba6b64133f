import { PullproofError, runTrial } from '@pullproof/core';
import { parse } from 'yaml';
import { checkError, must } from './checks.js';
import { oneOf, whole } from './mutate.js';
import { changeSamples } from './samples.js';
import { changeTrial } from './trials.js';

/**
 * What must hold between the answers to two trials, whatever was changed in both: one is made from the other in a way that leaves the car
 * what it was, or turns it round.
 */

/** @typedef {import('./mutate.js').Random} Random */
/** @typedef {{ trial: any, logs: Map<string, string> }} Asked */
/** @typedef {{ first: Asked, second: Asked, relation: keyof typeof relations }} Pair */
/** @typedef {{ result: any, code: string }} Answer */

/** @param {string} text @param {(line: string, row: number) => string} change */
const eachLine = (text, change) => `${text.trimEnd().split(/\r*\n/).map(change).join('\n')}\n`;

/** @param {Asked} asked @param {(text: string) => string} change @returns {Asked} */
const withLogs = ({ trial, logs }, change) => ({ trial, logs: new Map([...logs].map(([name, text]) => [name, change(text)])) });

/** @param {string} text */
const delimiterOf = (text) => {
  const header = text.slice(0, text.indexOf('\n'));
  return header.split(';').length > header.split(',').length ? ';' : ',';
};

/** How far two answers may differ: numbers by a share, bands as much as their simulation differs by chance. */
const exactly = { values: 0, bands: 0 };
const nearly = { values: 1e-6, bands: 0.06 };

/**
 * `second`: the other trial; `agree`: how far numbers of the answers must agree; `turned`: before and after change places.
 * @type {Readonly<Record<'twins' | 'order of runs' | 'turned round' | 'line ends' | 'one more column' | 'quoted', { second: (asked: Asked) => Asked, agree: { values: number, bands: number }, turned?: boolean }>>}
 */
const relations = {
  // Both setups have the same runs: nothing may be claimed. The second trial is the first.
  twins: { second: (asked) => asked, agree: exactly },
  'order of runs': {
    second: ({ trial, logs }) => ({
      trial: { ...trial, setups: trial.setups.map((/** @type {any} */ setup) => ({ ...setup, runs: setup.runs?.toReversed() })) },
      logs,
    }),
    agree: nearly,
  },
  'turned round': {
    second: ({ trial, logs }) => ({ trial: { ...trial, setups: trial.setups.toReversed() }, logs }),
    agree: nearly,
    turned: true,
  },
  'line ends': { second: (asked) => withLogs(asked, (text) => text.replace(/\r*\n/g, '\r\n')), agree: exactly },
  'one more column': {
    second: (asked) =>
      withLogs(asked, (text) =>
        eachLine(
          text,
          (line, row) => `${line}${delimiterOf(text)}${/^[-\d]/.test(line) ? row % 7 : row === 0 ? 'Counter of nothing' : ''}`,
        ),
      ),
    agree: exactly,
  },
  quoted: {
    second: (asked) =>
      withLogs(asked, (text) =>
        eachLine(text, (line) =>
          line
            .split(delimiterOf(text))
            .map((cell) => `"${cell}"`)
            .join(delimiterOf(text)),
        ),
      ),
    agree: exactly,
  },
};

/** @param {Asked} asked @returns {Answer} */
function answerTo({ trial, logs }) {
  const openLog = (/** @type {string} */ path) => {
    const text = logs.get(path);
    if (text === undefined) throw new PullproofError('E_INPUT', `${path} is missing.`, { path }, 'Give another path.');
    return { chunks: new TextEncoder().encode(text), sha256: () => path };
  };
  try {
    return { result: runTrial(JSON.stringify(trial), 'trial.yaml', openLog, { formulaParser: null }), code: '' };
  } catch (problem) {
    if (!(problem instanceof PullproofError)) throw problem;
    checkError({ code: problem.code, message: problem.what, where: problem.where, fix: problem.fix });
    return { result: null, code: problem.code };
  }
}

/** @param {number} a @param {number} b @param {number} share @param {number} [least] */
const agree = (a, b, share, least = 0) =>
  Object.is(a, b) || a === b || Math.abs(a - b) <= share * Math.max(Math.abs(a), Math.abs(b), least);

/** @param {any} one @param {any} other @param {{ values: number, bands: number }} within @param {boolean} turned @param {string} what */
function checkComparison(one, other, within, turned, what) {
  const sign = turned ? -1 : 1;
  const [low, high] = turned ? ['high', 'low'] : ['low', 'high'];
  const [a, b] = [one.wheelPowerW, other.wheelPowerW];
  must(JSON.stringify(a.engineSpeedRpm) === JSON.stringify(b.engineSpeedRpm), `${what}: other engine speeds`);
  // Differences are small beside the power that they come from.
  const powerW = 1e5;
  for (const [i, value] of a.difference.entries()) {
    must((value === null) === (b.difference[i] === null), `${what}: a difference appears or goes`);
    if (value === null) continue;
    must(agree(value, sign * b.difference[i], within.values, powerW), `${what}: ${value} W, then ${sign * b.difference[i]} W`);
    const half = a.high[i] - value;
    for (const [own, others] of /** @type {const} */ ([
      ['low', low],
      ['high', high],
    ])) {
      const apartW = Math.abs(a[own][i] - sign * b[others][i]);
      must(apartW <= within.bands * half + within.values * powerW, `${what}: ${own} ${a[own][i]}, then ${sign * b[others][i]}`);
    }
  }
}

/** @param {any} result @param {string} relation */
function checkTwins(result, relation) {
  if (relation !== 'twins') return;
  for (const { verdict, sentence } of result.overall)
    must(verdict === 'no clear change' || verdict === 'cannot tell', `twins: ${sentence}`);
  for (const { wheelPowerW, regions, changedBesides } of result.comparisons) {
    for (const watts of wheelPowerW.difference) must(watts === null || Math.abs(watts) < 1e-3, `twins differ by ${watts} W`);
    for (const { verdict, meanW } of regions) must(verdict === 'no clear change', `twins: ${verdict} of ${meanW} W`);
    for (const { quantity, before, after } of changedBesides)
      must(before === null || after === null || agree(before, after, 1e-9), `twins: ${quantity} from ${before} to ${after}`);
  }
}

/** What was claimed of two answers must not contradict. @param {any} one @param {any} other @param {boolean} turned @param {string} what */
function checkClaims(one, other, turned, what) {
  /** @type {Readonly<Record<string, string>>} */
  const opposite = { gain: 'loss', loss: 'gain' };
  const [a, b] = [one.verdict, turned ? (opposite[other.verdict] ?? other.verdict) : other.verdict];
  must(opposite[a] !== b, `${what}: ${a}, then ${b}`);
  must(a === 'cannot tell' || b !== 'cannot tell' || other.reasons.includes('BAND_TOO_WIDE'), `${what}: ${a}, then ${b}`);
}

/** A trial of these logs, two to each setup. @param {any} trial @param {ReadonlyMap<string, string>} logs @returns {Asked} */
function asked({ slips: _, calculated: __, ...trial }, logs) {
  const names = [...logs.keys()];
  const setups = trial.setups.map((/** @type {any} */ setup, /** @type {number} */ index) => ({
    ...setup,
    runs: names.slice(2 * index, 2 * index + 2).map((log) => ({ ...setup.runs[0], log })),
  }));
  return { trial: { ...trial, setups }, logs: new Map(logs) };
}

/**
 * Trials whose answers must go together.
 * @param {import('./material.js').Material} material @returns {import('./kinds.js').Kind}
 */
export function relationKind(material) {
  const trial = parse(material.trialText);
  const names = [...material.pulls.keys()];
  /** @param {Random} random @returns {Asked} */
  const madeBy = (random) => {
    const logs = new Map(material.pulls);
    for (let times = 1 + whole(random, 2); times > 0; times--) {
      const name = oneOf(random, names);
      logs.set(name, changeSamples(random, logs.get(name) ?? ''));
    }
    const plain = asked(trial, logs);
    return random.uniform() < 0.5 ? plain : { trial: changeTrial(random, plain.trial), logs };
  };
  /** @type {number | undefined} */
  let usualMs;
  return {
    usualMs: () => {
      if (usualMs !== undefined) return Promise.resolve(usualMs);
      const start = process.cpuUsage();
      const { result, code } = answerTo(asked(trial, material.pulls));
      must(result !== null, `the trial is not sound: ${code}`);
      const { user, system } = process.cpuUsage(start);
      usualMs = (2 * (user + system)) / 1000;
      return Promise.resolve(usualMs);
    },
    make: (random) => {
      const relation = /** @type {keyof typeof relations} */ (oneOf(random, Object.keys(relations)));
      const made = madeBy(random);
      const first = relation === 'twins' ? twinsOf(made) : made;
      return { first, second: relations[relation].second(first), relation };
    },
    run: (/** @type {Pair} */ { first, second, relation }) => {
      const { agree: within, turned = false } = relations[relation];
      const one = answerTo(first);
      if (one.result !== null) checkTwins(one.result, relation);
      if (relation === 'twins') return one.result === null ? 'refused' : reached(one.result);
      const other = answerTo(second);
      must((one.result === null) === (other.result === null), `${relation}: ${one.code || 'answered'}, then ${other.code || 'answered'}`);
      if (one.result === null) return 'refused';
      const pairs = one.result.comparisons.length;
      must(pairs === other.result.comparisons.length, `${relation}: other comparisons`);
      if (turned && pairs !== 1) return reached(one.result);
      for (let i = 0; i < pairs; i++) {
        checkComparison(one.result.comparisons[i], other.result.comparisons[i], within, turned, relation);
        checkClaims(one.result.overall[i], other.result.overall[i], turned, relation);
      }
      return reached(one.result);
    },
  };
}

/** @param {any} result */
const reached = (result) =>
  result.comparisons.some((/** @type {any} */ { wheelPowerW }) => wheelPowerW.difference.length > 0) ? 'with a difference' : 'done';

/** The first setup twice, each with logs of its own that are the same. @param {Asked} asked @returns {Asked} */
function twinsOf({ trial, logs }) {
  const [first] = trial.setups;
  if (first === undefined) return { trial, logs };
  const again = (/** @type {string} */ name) => `again-${name}`;
  const runs = first.runs?.map((/** @type {any} */ run) => ({ ...run, log: again(run.log) }));
  return {
    trial: { ...trial, setups: [first, { ...first, name: `${first.name} again`, runs }] },
    logs: new Map([...logs, ...[...logs].map(([name, text]) => /** @type {[string, string]} */ ([again(name), text]))]),
  };
}
