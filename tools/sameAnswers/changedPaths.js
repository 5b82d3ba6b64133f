/** @typedef {{ count: number, most: number, before: unknown, after: unknown }} Change */

/**
 * Where two answers differ, one line for each path; places of a list count as one path.
 *
 * @param {unknown} before
 * @param {unknown} after
 * @returns {string[]} path, how often, largest relative change of a number, and the first pair
 */
export function changedPaths(before, after) {
  /** @type {Map<string, Change>} */
  const changes = new Map();
  collect(before, after, '', changes);
  return [...changes].map(([path, { count, most, before: was, after: is }]) => {
    const size = most > 0 ? `, by up to ${most.toPrecision(2)} of it` : '';
    return `${path || 'the whole'}: ${count}${size}; ${shown(was)} → ${shown(is)}`;
  });
}

/** @param {unknown} value */
function shown(value) {
  const text = JSON.stringify(value) ?? 'left out';
  return text.length > 160 ? `${text.slice(0, 160)}…` : text;
}

/** @param {unknown} value @returns {value is Record<string, unknown>} */
const isObject = (value) => typeof value === 'object' && value !== null;

/** @param {unknown} before @param {unknown} after @param {string} path @param {Map<string, Change>} changes */
function collect(before, after, path, changes) {
  if (Object.is(before, after)) return;
  if (isObject(before) && isObject(after) && Array.isArray(before) === Array.isArray(after)) {
    const list = Array.isArray(before);
    if (!list || before.length === after.length) {
      for (const key of new Set([...Object.keys(before), ...Object.keys(after)]))
        collect(before[key], after[key], list ? `${path}[]` : `${path}.${key}`, changes);
      return;
    }
  }
  const known = changes.get(path);
  const relative =
    typeof before === 'number' && typeof after === 'number' ? Math.abs(after - before) / Math.max(Math.abs(before), 1e-300) : 0;
  if (known === undefined) changes.set(path, { count: 1, most: relative, before, after });
  else changes.set(path, { ...known, count: known.count + 1, most: Math.max(known.most, relative) });
}
