import { hostileText, oneOf, whole } from './mutate.js';

/** Changes to a log that leave it a log: its samples, its time and its columns change, its form does not, so that most get past the reader. */

/** @typedef {import('./mutate.js').Random} Random */
/** `units`: the row of units below the header, where there is one. @typedef {{ delimiter: string, header: string[], units: string[][], rows: string[][] }} Table */

/** @param {string} text @returns {Table} */
function tableOf(text) {
  const lines = text.trimEnd().split(/\r*\n/);
  const delimiter = lines[0]?.includes(';') ? ';' : ',';
  const [header = [], ...rows] = lines.map((line) => line.split(delimiter));
  const units = /^\D/.test(rows[0]?.[0] ?? '') ? rows.splice(0, 1) : [];
  // Decimal commas become points here, and commas again at the end.
  return { delimiter, header, units, rows: delimiter === ';' ? rows.map((cells) => cells.map((cell) => cell.replace(',', '.'))) : rows };
}

/** Every line of a table, to change a column as a whole. @param {Table} table */
const linesOf = ({ header, units, rows }) => [header, ...units, ...rows];

/** Numbers that a broken sensor, a cut wire or a full register leaves behind. */
const broken = [
  ...['', '', '0', '-40', '255', '65535', '999.9', '-1', '1e300', '-451220913.36', 'NaN', '---', '5.5e-9'],
  ...['-0', '-1e300', '1.7e308', '-1.7e308', '4.9e-324', '1e-300', '-1e-150', '9e8', '-9e8', '1e6', '-1e5', '1e15'],
];

/** What becomes of one column from one row on, row by row. @type {readonly ((random: Random) => (value: number, row: number) => number)[]} */
const columnChanges = [
  (random) => {
    const factor = oneOf(random, [-1, 0, 0.01, 0.5, 0.9, 1.1, 2, 6.894757, 10, 1000, 1e7, -1e-7, 1e160, 1e-160]);
    return (value) => value * factor;
  },
  (random) => {
    const shift = (random.uniform() - 0.5) * 10 ** (whole(random, 7) - 2);
    return (value) => value + shift;
  },
  (random) => {
    const top = 10 ** (random.uniform() * 4);
    return (value) => Math.min(value, top);
  },
  (random) => {
    const step = 10 ** (whole(random, 6) - 2) * oneOf(random, [1, 2.5, 5]);
    return (value) => Math.round(value / step) * step;
  },
  (random) => {
    const size = 10 ** (whole(random, 6) - 3);
    return (value) => value + size * (random.uniform() - 0.5);
  },
  (random) => {
    const every = 2 + whole(random, 30);
    let held = 0;
    return (value, row) => {
      if (row % every === 0) held = value;
      return held;
    };
  },
  (random) => {
    const kept = (random.uniform() - 0.2) * 10 ** whole(random, 5);
    return () => kept;
  },
  (random) => {
    const slope = (random.uniform() - 0.5) * 10 ** (whole(random, 5) - 3);
    return (value, row) => value + slope * row;
  },
];

/** @param {Random} random @param {Table} table */
function changeColumn(random, { header, rows }) {
  const column = whole(random, header.length);
  const change = oneOf(random, columnChanges)(random);
  const from = random.uniform() < 0.6 ? 0 : whole(random, rows.length);
  const to = random.uniform() < 0.6 ? rows.length : from + 1 + whole(random, rows.length - from);
  for (let row = from; row < to; row++) {
    const cells = /** @type {string[]} */ (rows[row]);
    const value = Number(cells[column]);
    if (cells[column] !== '' && Number.isFinite(value)) cells[column] = String(Number(change(value, row).toPrecision(9)));
  }
}

/** Cells of a column become blank or nonsense: one, a span, or here and there. @param {Random} random @param {Table} table */
function breakCells(random, { header, rows }) {
  const column = whole(random, header.length);
  const text = oneOf(random, broken);
  const share = oneOf(random, [0, 0.02, 0.3, 1]);
  const from = whole(random, rows.length);
  const to = share === 0 ? from + 1 : from + 1 + whole(random, rows.length - from);
  for (let row = from; row < to; row++) if (share === 0 || random.uniform() < share) /** @type {string[]} */ (rows[row])[column] = text;
}

/** @param {number} epochS */
const dateText = (epochS) => {
  const date = new Date(Math.round(epochS * 1000));
  return Number.isNaN(date.getTime()) ? '' : date.toISOString();
};

/** @param {Random} random @param {Table} table */
function changeTime(random, { rows }) {
  const kind = whole(random, 9);
  const at = whole(random, rows.length);
  const size = 10 ** (whole(random, 7) - 3);
  const first = Number(rows[0]?.[0]);
  // Around 1970, midnight, the end of four-figure years, and what a clock shows before it was set.
  const epochS = oneOf(random, [-3, 0, 86_390, 253_402_300_795, 1_780_012_795, -2_208_988_805]);
  rows.forEach((cells, row) => {
    const timeS = Number(cells[0]);
    if (kind === 0) cells[0] = (timeS * size).toFixed(4);
    else if (kind === 1 && row >= at) cells[0] = (timeS + size).toFixed(4);
    else if (kind === 2) cells[0] = (timeS + 0.01 * random.uniform()).toFixed(4);
    else if (kind === 3) cells[0] = (Math.round(timeS / (0.01 * size)) * 0.01 * size).toFixed(4);
    else if (kind === 4) cells[0] = (timeS + 1_780_000_000).toFixed(3);
    else if (kind === 5 && row >= at) cells[0] = (timeS - Number(rows[at]?.[0])).toFixed(4);
    else if (kind === 6) cells[0] = (timeS - first + epochS).toFixed(3);
    else if (kind === 7 && Number.isFinite(timeS - first)) cells[0] = dateText(timeS - first + epochS);
    else if (kind === 8) cells[0] = ((timeS - first + epochS) * 1000).toFixed(0);
  });
}

/** @param {Random} random @param {Table} table */
function changeRows(random, table) {
  const { rows } = table;
  const every = 2 + whole(random, 6);
  const at = whole(random, rows.length);
  const held = rows[at]?.slice(1) ?? [];
  switch (whole(random, 8)) {
    case 0:
      table.rows = rows.filter((_, row) => row % every === 0);
      break;
    case 3:
      table.rows = random.uniform() < 0.3 ? rows.slice(at, at + 1 + whole(random, 4)) : rows;
      break;
    case 4:
      // All channels held, or all blank, from here on or throughout.
      table.rows = rows.map((cells, row) => (row >= at || every === 2 ? [cells[0] ?? '', ...held] : cells));
      break;
    case 5:
      table.rows = rows.map((cells, row) => (row >= at || every === 2 ? [cells[0] ?? '', ...held.map(() => '')] : cells));
      break;
    case 1:
      rows.splice(at, 1 + whole(random, 80));
      break;
    case 2:
      table.rows = rows.filter(() => random.uniform() > 0.1);
      break;
    default:
      table.rows = at < 20 ? rows : rows.slice(0, at);
  }
}

/** More pulls than one: the rows again, with their time going on. @param {Random} random @param {Table} table */
function repeatRows(random, table) {
  const { rows } = table;
  const first = Number(rows[0]?.[0]);
  const pauseS = oneOf(random, [0.02, 0.05, 1, 30]);
  let endS = Number(rows.at(-1)?.[0]);
  for (let times = 1 + whole(random, 3); times > 0 && table.rows.length < 1200; times--) {
    const shiftS = endS + pauseS - first;
    table.rows = [...table.rows, ...rows.map(([timeS, ...cells]) => [(Number(timeS) + shiftS).toFixed(3), ...cells])];
    endS = Number(table.rows.at(-1)?.[0]);
  }
}

const headers = [
  ...[
    'Time (ms)',
    'Time',
    'Engine speed (krpm)',
    'GPS speed (mph)',
    'Wheel speed (km/h)',
    'Manifold pressure (psi gauge)',
    'MAP (bar)',
    'Gear',
  ],
  ...[
    'Lambda',
    'AFR',
    'Mass air flow (g/s)',
    'Fuel volume flow (L/h)',
    'Exhaust temperature (°C)',
    'Altitude (m)',
    'Acceleration (g)',
    'Boost (kPa)',
  ],
  ...[
    'Rotor speed (rpm)',
    'Bypass duty (%)',
    'Ethanol content (%)',
    'Short term fuel trim (%)',
    'Ambient temperature (°F)',
    'Converter slip (rpm)',
    '',
  ],
];

/** Units that fit one channel and contradict another. */
const units = [
  'kPa',
  'psi',
  'bar gauge',
  'inHg',
  '°C',
  '°F',
  'K',
  '%',
  '1',
  'V',
  'rpm',
  'mph',
  'km/h',
  'deg',
  'ms',
  'g/s',
  'AFR',
  'λ',
  'm',
];

/** @param {Random} random @param {Table} table */
function changeColumns(random, table) {
  const { header } = table;
  const column = whole(random, header.length);
  const other = whole(random, header.length);
  const kind = whole(random, 7);
  if (kind === 0) header[column] = oneOf(random, headers);
  else if (kind === 4) header[column] = (header[column] ?? '').replace(/\(.*\)|$/, ` (${oneOf(random, units)})`);
  else if (kind === 5) header[column] = `${header[column] ?? ''}${hostileText(random)}`;
  else if (kind === 6) for (const cells of linesOf(table)) cells.push(cells[column] ?? '');
  else if (kind === 1) [header[column], header[other]] = [header[other] ?? '', header[column] ?? ''];
  else if (kind === 2 && header.length > 2) for (const cells of linesOf(table)) cells.splice(column, 1);
  else {
    const name = oneOf(random, headers);
    for (const cells of linesOf(table)) cells.push(cells === header ? name : (cells[column] ?? ''));
  }
}

const changes = [changeColumn, changeColumn, changeColumn, breakCells, changeTime, changeRows, repeatRows, changeColumns];

/** A log with other samples, time stamps, rows or columns. @param {Random} random @param {string} text @returns {string} */
export function changeSamples(random, text) {
  const table = tableOf(text);
  for (let times = 1 + whole(random, 4); times > 0 && table.rows.length > 1 && table.header.length > 1; times--)
    oneOf(random, changes)(random, table);
  const { delimiter, header, units, rows } = table;
  const decimal = delimiter === ';' && random.uniform() < 0.8 ? ',' : '.';
  const lines = rows.map((cells) => cells.join(delimiter).replaceAll('.', decimal));
  return `${[...[header, ...units].map((cells) => cells.join(delimiter)), ...lines].join(oneOf(random, ['\n', '\n', '\n', '\r\n']))}\n`;
}

/** A file of slips with other numbers, columns, units or rows. @param {Random} random @param {string} text @returns {string} */
export function changeSlips(random, text) {
  const table = tableOf(text);
  const { header, rows } = table;
  for (let times = 1 + whole(random, 4); times > 0; times--) {
    const column = whole(random, header.length);
    const row = oneOf(random, rows);
    const value = Number(row[column]);
    const kind = whole(random, 6);
    if (kind < 2 && row[column] !== '' && Number.isFinite(value))
      row[column] = String(value * (1 + (random.uniform() - 0.5) * oneOf(random, [0.01, 0.1, 1, 4])));
    else if (kind === 2) row[column] = oneOf(random, ['', '', '0', '-1', '99999', 'base', '2026-06-01T19:05']);
    else if (kind === 3) table.rows.push([...row]);
    else if (kind === 4)
      header[column] = (header[column] ?? '').replace(
        /\((.*)\)/,
        () => `(${oneOf(random, ['km/h', 'm/s', 'degF', 'hPa', 'inHg', '%', 'gal'])})`,
      );
    else if (column > 0) for (const cells of [header, ...rows]) cells.push(...cells.splice(column, 1));
  }
  const delimiter = oneOf(random, [',', ',', ';', '\t']);
  return `${[header, ...table.rows].map((cells) => cells.join(delimiter)).join('\n')}\n`;
}
