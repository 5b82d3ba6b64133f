/** Small changes to texts, data and arguments, drawn from a seeded stream. */

/** @typedef {{ uniform: () => number }} Random */

/** @param {Random} random @param {number} below @returns {number} */
export const whole = (random, below) => Math.floor(random.uniform() * below);

/** @template T @param {Random} random @param {readonly T[]} from @returns {T} */
export const oneOf = (random, from) => /** @type {T} */ (from[whole(random, from.length)]);

/** Texts that upset readers. */
const hostileTexts = [
  ...[
    '',
    ' ',
    '\t',
    '\n',
    '\r',
    '\r\n',
    '\u0000',
    '\u001b[31m',
    '\u001b]0;x\u0007',
    '\u202e',
    '\u2028',
    '\ufeff',
    '\ud800',
    '\u{1f600}',
    'é',
    'e\u0301',
    'Â°C',
  ],
  ...[
    '-',
    '--',
    '- ',
    ': ',
    '#',
    '&a',
    '*a',
    '!!js/function',
    '!!binary',
    '<<: *a',
    '|',
    '>',
    '%YAML 1.1',
    '---',
    '...',
    '{',
    '}',
    '[',
    ']',
    '"',
    "'",
    '`',
    ',',
    ';',
  ],
  ...[
    '__proto__',
    'constructor',
    'prototype',
    'toString',
    'hasOwnProperty',
    'length',
    'null',
    '~',
    'true',
    'no',
    'NaN',
    '.nan',
    '.inf',
    'undefined',
  ],
  ...[
    '0',
    '-0',
    '-1',
    '1e9',
    '1e308',
    '1e309',
    '-1e-324',
    '0x1F',
    '0o17',
    '1_000',
    '9007199254740993',
    '٣',
    '½',
    '1,5',
    '1.5.5',
    '00',
    '+',
  ],
  ...[
    '5 kPa',
    '20 degC',
    '-300 degC',
    '1e300 kg',
    '0 m',
    '720 deg',
    '45 %',
    '3 parsec',
    'kPa',
    '%',
    '°',
    '14.7 psi gauge',
    '1 ft',
    "60'",
    '5"',
  ],
  ...[
    '<script>alert(1)</script>',
    '</script>',
    '<!--',
    '$\\href{javascript:alert(1)}$',
    '=cmd|x',
    '@x',
    '../../x',
    '/etc/passwd',
    'CON',
    'a.csv',
    'C:\\x',
  ],
  ...[
    '2026-05-02T18:20',
    '2026-99-99',
    '12:60:61',
    '23:59:59.9',
    'FILL IN',
    'from coast-downs',
    'base',
    'engine_speed',
    'rate(',
    'log(',
    '^',
    '/ 0',
  ],
];

/** @param {Random} random @returns {string} */
export function hostileText(random) {
  const text = oneOf(random, hostileTexts);
  const kind = whole(random, 20);
  if (kind === 0) return text.repeat(1 + whole(random, 400));
  if (kind === 1) return text + hostileText(random);
  if (kind === 2) return String.fromCodePoint(1 + whole(random, 0xd7ff));
  if (kind === 3) return String((random.uniform() - 0.5) * 10 ** whole(random, 30));
  return text;
}

/** Changes a text in up to four places. @param {Random} random @param {string} text @param {number} [most] @returns {string} */
export function mutateText(random, text, most = 4) {
  let out = text;
  for (let times = 1 + whole(random, most); times > 0; times--) out = changeOnce(random, out);
  return out.length > 200_000 ? out.slice(0, 200_000) : out;
}

/** @param {Random} random @param {string} text @returns {string} */
function changeOnce(random, text) {
  const at = whole(random, text.length + 1);
  const length = 1 + whole(random, random.uniform() < 0.8 ? 8 : 200);
  const word = wordAt(random, text);
  switch (whole(random, 12)) {
    case 0:
      return text.slice(0, at) + hostileText(random) + text.slice(at);
    case 1:
      return text.slice(0, at) + text.slice(at + length);
    case 2:
      return text.slice(0, at);
    case 3:
      return text.slice(0, at) + text.slice(at, at + length) + text.slice(at);
    case 4:
      return text.slice(0, at) + String.fromCharCode(text.charCodeAt(at) ^ (1 << whole(random, 7))) + text.slice(at + 1);
    case 5:
    case 6:
    case 7:
      return text.slice(0, word.from) + hostileText(random) + text.slice(word.to);
    case 8:
      return text.slice(0, word.from) + wordAt(random, text).word + text.slice(word.to);
    case 9:
    case 10:
      return changeLines(random, text);
    default:
      return (
        text.slice(0, word.from) +
        String(Number(word.word) * oneOf(random, [0, -1, 10, 1e3, 1e-3, 1e12, 1e-12, Number.NaN])) +
        text.slice(word.to)
      );
  }
}

/** @param {Random} random @param {string} text */
function wordAt(random, text) {
  const at = whole(random, text.length + 1);
  const before = /[^\s,;:{}[\]()"']*$/.exec(text.slice(Math.max(0, at - 60), at))?.[0].length ?? 0;
  const after = /^[^\s,;:{}[\]()"']*/.exec(text.slice(at, at + 60))?.[0].length ?? 0;
  return { from: at - before, to: at + after, word: text.slice(at - before, at + after) };
}

/** @param {Random} random @param {string} text @returns {string} */
function changeLines(random, text) {
  const lines = text.split('\n');
  const i = whole(random, lines.length);
  const k = whole(random, lines.length);
  const line = /** @type {string} */ (lines[i]);
  switch (whole(random, 6)) {
    case 0:
      lines.splice(i, 1);
      break;
    case 1:
      lines.splice(k, 0, line);
      break;
    case 2:
      lines[i] = /** @type {string} */ (lines[k]);
      lines[k] = line;
      break;
    case 3:
      lines[i] = ' '.repeat(whole(random, 12)) + line.trimStart();
      break;
    case 4:
      lines.splice(i, 0, hostileText(random));
      break;
    default:
      return lines.join(oneOf(random, ['\r\n', '\r', '\n\n', '\n']));
  }
  return lines.join('\n');
}

/** A copy of plain data with a few things in it replaced, taken out, renamed, doubled or moved. @param {Random} random @param {unknown} data @returns {unknown} */
export function mutateData(random, data) {
  const copy = structuredClone(data);
  for (let times = 1 + whole(random, 3); times > 0; times--) {
    const holders = holdersOf(copy);
    const holder = oneOf(random, holders);
    const keys = Object.keys(holder);
    if (keys.length === 0) continue;
    const key = oneOf(random, keys);
    const other = oneOf(random, holders);
    switch (whole(random, 8)) {
      case 0:
        if (Array.isArray(holder)) holder.splice(Number(key), 1);
        else delete holder[key];
        break;
      case 1:
        if (!Array.isArray(holder)) define(holder, hostileText(random), holder[key]);
        break;
      case 2:
        if (Array.isArray(holder)) holder.push(structuredClone(holder[Number(key)]));
        else define(holder, `${key}${oneOf(random, ['s', ' ', '-', '_', 'x'])}`, holder[key]);
        break;
      case 3:
        holder[key] = structuredClone(other);
        break;
      case 4:
        holder[key] = oneOf(random, [null, [], {}, true, 0, -1, 1e308, '', [[]], [null], { a: {} }, Number.NaN]);
        break;
      case 5:
        holder[key] = typeof holder[key] === 'string' ? mutateText(random, holder[key], 2) : hostileText(random);
        break;
      default:
        holder[key] = hostileText(random);
    }
  }
  return copy;
}

/** Sets a key without setting a prototype. @param {any} holder @param {string} key @param {unknown} value */
function define(holder, key, value) {
  Object.defineProperty(holder, key, { value, enumerable: true, configurable: true, writable: true });
}

/** Every object and list in data. @param {unknown} data @returns {any[]} */
function holdersOf(data) {
  if (typeof data !== 'object' || data === null) return [{}];
  return [data, ...Object.values(data).flatMap((value) => (typeof value === 'object' && value !== null ? holdersOf(value) : []))];
}

/** Bytes with a few changed, taken out, doubled or put in. @param {Random} random @param {Uint8Array} bytes @returns {Uint8Array} */
export function mutateBytes(random, bytes) {
  let out = bytes;
  for (let times = 1 + whole(random, 4); times > 0; times--) {
    const at = whole(random, out.length + 1);
    const length = whole(random, random.uniform() < 0.8 ? 8 : 2000);
    const [head, span, tail] = [out.subarray(0, at), out.subarray(at, at + length), out.subarray(at + length)];
    switch (whole(random, 6)) {
      case 0:
        out = Buffer.concat([head, tail]);
        break;
      case 1:
        out = Buffer.concat([head, span, span, tail]);
        break;
      case 2:
        out = Buffer.concat([head, Uint8Array.from(span, () => whole(random, 256)), tail]);
        break;
      case 3:
        out = Buffer.concat([head, new Uint8Array(length), tail]);
        break;
      case 4:
        out = head;
        break;
      default:
        out = Buffer.concat([
          Uint8Array.from(oneOf(random, [[0xef, 0xbb, 0xbf], [0xff, 0xfe], [0xfe, 0xff], [0x1f, 0x8b], [0x50, 0x4b, 3, 4], [0xc3]])),
          out,
        ]);
    }
  }
  return out;
}
