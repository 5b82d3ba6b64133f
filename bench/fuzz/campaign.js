import { randomStream } from '@pullproof/core';
import { Broken } from './checks.js';

/** @typedef {import('./kinds.js').Kind} Kind */
/** @typedef {{ kind: string, index: number, what: string, made: string }} Failure */

/** How much processor time a case may take beyond what its job takes with sound inputs, ms. */
const patienceMs = 2000;

/** Seed of one case: kind and index say everything that is needed to make it again. @param {string} kind @param {number} index */
function seedOf(kind, index) {
  let seed = 0x811c9dc5;
  for (const letter of `${kind}/${index}`) seed = Math.imul(seed ^ letter.charCodeAt(0), 0x01000193) >>> 0;
  return seed;
}

/**
 * Runs one case.
 * @param {string} name @param {Kind} kind @param {number} index
 * @returns {Promise<{ reached: string, failure: Failure | null }>} how far it came, and what broke
 */
export async function runCase(name, kind, index) {
  const made = kind.make(randomStream(seedOf(name, index)));
  const usualMs = (await kind.usualMs?.(made)) ?? 0;
  const start = performance.now();
  const cpu = process.cpuUsage();
  let [reached, what] = ['broken', ''];
  try {
    reached = await kind.run(made);
  } catch (cause) {
    what = cause instanceof Broken ? cause.message : `thrown: ${cause instanceof Error ? (cause.stack ?? cause.message) : String(cause)}`;
  }
  const { user, system } = process.cpuUsage(cpu);
  // Other threads count in processor time, other processes in the clock's: the smaller one is nearer to the case's own.
  const tookMs = Math.min((user + system) / 1000, performance.now() - start);
  if (what === '' && tookMs > patienceMs + usualMs) what = `took ${Math.round(tookMs)} ms, usually ${Math.round(usualMs)} ms`;
  return { reached, failure: what === '' ? null : { kind: name, index, what, made: shown(made) } };
}

/** A case as text for a report. @param {any} made @returns {string} */
export function shown(made) {
  return JSON.stringify(made, (_, value) =>
    value instanceof Map ? [...value] : value instanceof Uint8Array ? Buffer.from(value).toString('latin1') : value,
  );
}
