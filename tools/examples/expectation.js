/**
 * Says how a value differs from what was expected; null when it does not.
 * @param {unknown} value
 * @param {import('./pattern.js').Pattern} pattern
 * @param {string} [at]
 * @returns {string | null}
 */
export function difference(value, pattern, at = 'value') {
  switch (pattern.kind) {
    case 'number': {
      const met = typeof value === 'number' && Math.abs(value - pattern.value) <= pattern.tolerance;
      return met ? null : `${at} is ${show(value)}, the example says ${pattern.value}`;
    }
    case 'special':
      return Object.is(value, { NaN: Number.NaN, Infinity: Infinity, '-Infinity': -Infinity, undefined: undefined }[pattern.value])
        ? null
        : `${at} is ${show(value)}, the example says ${pattern.value}`;
    case 'exact':
      return Object.is(value, pattern.value) ? null : `${at} is ${show(value)}, the example says ${show(pattern.value)}`;
    case 'list': {
      if (!Array.isArray(value) && !ArrayBuffer.isView(value)) return `${at} is ${show(value)}, the example says a list`;
      const items = Array.from(/** @type {ArrayLike<unknown>} */ (/** @type {unknown} */ (value)));
      if (pattern.more ? items.length < pattern.items.length : items.length !== pattern.items.length) {
        return `${at} has ${items.length} items, the example says ${pattern.items.length}`;
      }
      return firstDifference(pattern.items.map((item, index) => difference(items[index], item, `${at}[${index}]`)));
    }
    case 'object': {
      if (typeof value !== 'object' || value === null) return `${at} is ${show(value)}, the example says an object`;
      const held = new Map(Object.entries(value));
      const extra = [...held.keys()].filter((key) => !pattern.entries.some(([name]) => name === key));
      if (!pattern.more && extra.length > 0) return `${at} also has ${extra.join(', ')}`;
      return firstDifference(
        pattern.entries.map(([name, item]) =>
          held.has(name) ? difference(held.get(name), item, `${at}.${name}`) : `${at} has no ${name}`,
        ),
      );
    }
    case 'throws':
      return `${at} is ${show(value)}, the example says that it throws ${pattern.code}`;
  }
}

/**
 * Runs the expression of an example and notes whether it gave what stands behind its arrow.
 * @param {{ line: number, problem: string | null }[]} results
 * @param {number} line
 * @param {import('./pattern.js').Pattern} pattern
 * @param {() => unknown} expression
 */
export async function expectValue(results, line, pattern, expression) {
  if (pattern.kind !== 'throws') {
    results.push({ line, problem: difference(await expression(), pattern) });
    return;
  }
  try {
    results.push({ line, problem: difference(await expression(), pattern) });
  } catch (error) {
    const code = /** @type {{ code?: unknown }} */ (error).code;
    results.push({ line, problem: code === pattern.code ? null : `it throws ${show(code)} (${error}), the example says ${pattern.code}` });
  }
}

/** @param {(string | null)[]} found */
function firstDifference(found) {
  return found.find((text) => text !== null) ?? null;
}

/** @param {unknown} value */
function show(value) {
  if (typeof value === 'number' || value === undefined || typeof value === 'function') return String(value);
  return (
    JSON.stringify(ArrayBuffer.isView(value) ? Array.from(/** @type {Float64Array} */ (value)) : value)?.slice(0, 300) ?? String(value)
  );
}
