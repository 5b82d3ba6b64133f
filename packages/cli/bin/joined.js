// The command line joined into a few files by tools/bundle.js, and the code that the engine made of them kept beside them: a first run compiles, the next ones
// need not. What is kept counts for one build, one Node and one command; where it cannot be written or is not whole, every run compiles, and works as well.
const { createHash } = require('node:crypto');
const { mkdirSync, readFileSync, renameSync, rmSync, writeFileSync } = require('node:fs');
const path = require('node:path');
const v8 = require('node:v8');
const { Script } = require('node:vm');

const packages = path.join(__dirname, '../..');
const folder = path.join(__dirname, '../dist/bundled');
/** What a build of the parts leaves in a checkout; as installed there is none. */
const notes = ['core/dist', 'figures/dist', 'report/dist', 'cli/dist'].map((dist) => path.join(packages, dist, '.tsbuildinfo'));
const digestBytes = 32;

/** @typedef {{ script: import('node:vm').Script, kept: string }} Compiled  A script, and where its code is kept. */

/** @param {Uint8Array} bytes */
const digest = (bytes) => createHash('sha256').update(bytes).digest();

/** The bytes of a file; null where it cannot be read. @param {string} file */
function bytesOf(file) {
  try {
    return readFileSync(file);
  } catch {
    return null;
  }
}

/** Tells one build of the parts from the next; null where there is no note of any, as installed. */
function partsStamp() {
  const found = notes.map(bytesOf);
  return found.every((bytes) => bytes === null) ? null : digest(Buffer.concat(found.map((bytes) => bytes ?? Buffer.of(0)))).toString('hex');
}

/**
 * The joined command line, or null where the parts were built again after they were joined, so that these are to be run.
 *
 * @param {string | undefined} command first word after the program's name
 */
function loadJoined(command) {
  const stamp = bytesOf(path.join(folder, 'stamp.json'));
  if (stamp === null) return null;
  const { parts, code } = JSON.parse(stamp.toString());
  const now = partsStamp();
  if (now !== null && now !== parts) return null;
  const kept = path.join(
    folder,
    'code',
    `${code}-${process.version}-${v8.cachedDataVersionTag()}`,
    /^[a-z]+$/.exec(command ?? '')?.[0] ?? 'any',
  );
  /** @type {Compiled[]} */
  const fresh = [];
  process.once('exit', () => keepCode(kept, fresh));
  /** @type {Map<string, { exports: any }>} */
  const modules = new Map();
  /** @param {string} name @returns {any} */
  const load = (name) => {
    const known = modules.get(name);
    if (known !== undefined) return known.exports;
    const module = { exports: {} };
    modules.set(name, module);
    const filename = path.join(folder, name);
    /** @param {string} id */
    const own = (id) => (id.startsWith('./') ? load(id.slice(2)) : require(id));
    compiled(filename, path.join(kept, name), fresh)(module.exports, own, module, filename, folder);
    return module.exports;
  };
  return load('main.js');
}

/** A file of the bundle as a function, by the code that was kept for it or compiled anew. @param {string} filename @param {string} kept @param {Compiled[]} fresh */
function compiled(filename, kept, fresh) {
  const source = `(function (exports, require, module, __filename, __dirname) {${readFileSync(filename, 'utf8')}\n})`;
  const bytes = bytesOf(kept);
  const whole = bytes !== null && digest(bytes.subarray(digestBytes)).equals(bytes.subarray(0, digestBytes));
  const script = new Script(source, { filename, ...(whole ? { cachedData: bytes.subarray(digestBytes) } : {}) });
  if (!whole || script.cachedDataRejected) fresh.push({ script, kept });
  return script.runInThisContext();
}

/** Writes the code of what was compiled, with the functions that were compiled on use; each file is there whole or not at all. @param {string} kept @param {readonly Compiled[]} fresh */
function keepCode(kept, fresh) {
  if (fresh.length === 0) return;
  try {
    mkdirSync(kept, { recursive: true });
    for (const { script, kept: file } of fresh) {
      const code = script.createCachedData();
      const draft = `${file}.${process.pid}`;
      try {
        writeFileSync(draft, Buffer.concat([digest(code), code]));
        renameSync(draft, file);
      } finally {
        rmSync(draft, { force: true });
      }
    }
  } catch {
    // A folder that cannot be written, or a full disk: the next run compiles again.
  }
}

module.exports = { loadJoined, partsStamp };
