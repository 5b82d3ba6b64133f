import { PullproofError } from '../../findings/index.js';
import { parseTrial } from './parseTrial.js';
import type { SlipFile, TrialFile } from './trialFile.js';

const conditionKeys = ['log', 'when', 'outing', 'direction', 'fuel-in-tank', 'wind', 'grade', 'driver', 'cargo', 'from', 'to'];
const airKeys = ['temperature', 'pressure', 'altimeter', 'elevation', 'humidity', 'dew-point'];
const timeKeys = ['60ft', '330ft', '660ft', '1000ft', '1320ft'];
const speedKeys = ['660ft speed', '1000ft speed', '1320ft speed'];

/**
 * Reads slips from CSV, one a row: columns `setup`, `60ft` … `1320ft`, `660ft speed`, `1000ft speed`, `1320ft speed`, and any condition of a
 * slip (`temperature`, `pressure`, `humidity`, `wind`, `fuel-in-tank`, …). A unit stands in the cell or in round brackets behind the column's name.
 *
 * @param text of the file
 * @param path of the file, for messages
 * @param trial whose car and setups the slips belong to
 * @returns slips as the trial file itself would hold them
 * @throws E_SLIPS_CSV for a column that is not known or no rows; the codes of `parseTrial` for a cell, with its row and column
 */
export function slipsFromCsv(text: string, path: string, trial: TrialFile): readonly SlipFile[] {
  const lines = text
    .replace(/^\uFEFF/, '')
    .split(/\r\n|\n|\r/)
    .map((line, i) => ({ line, number: i + 1 }));
  const filled = lines.filter(({ line }) => line.trim() !== '' && !line.startsWith('#'));
  const [head, ...rows] = filled;
  if (head === undefined || rows.length === 0)
    throw new PullproofError('E_SLIPS_CSV', 'there are no slips in it.', { path }, 'Give a header and one row for each slip.');
  const delimiter = [';', '\t', ','].find((one) => head.line.includes(one)) ?? ',';
  const known = ['setup', ...conditionKeys, ...airKeys, ...timeKeys, ...speedKeys];
  const columns = cellsOf(head.line, delimiter).map((title) => {
    const [, name = '', unit = ''] = /^\s*(.*?)\s*(?:\(([^()]*)\))?\s*$/.exec(title) ?? [];
    const key = name.toLowerCase();
    if (!known.includes(key))
      throw new PullproofError(
        'E_SLIPS_CSV',
        `"${name}" is not a column of slips.`,
        { path, line: head.number, channel: title },
        `Known are ${known.join(', ')}.`,
      );
    return { key, unit, title };
  });
  const names = trial.setups.map(({ name }) => name);
  return rows.map(({ line, number }, r): SlipFile => {
    const cells = cellsOf(line, delimiter);
    if (cells.length !== columns.length)
      throw new PullproofError(
        'E_SLIPS_CSV',
        `the row has ${cells.length} cells, the header ${columns.length}.`,
        { path, line: number, row: r + 1 },
        'Give every column a cell, empty where the slip shows nothing.',
      );
    const slip: Record<string, unknown> = {};
    const groups: Record<'times' | 'speeds' | 'air', Record<string, string>> = { times: {}, speeds: {}, air: {} };
    columns.forEach(({ key, unit }, c) => {
      const cell = cells[c]!.trim();
      if (cell === '') return;
      const decimal = delimiter === ';' ? cell.replace(/^([+-]?\d+),(\d+)/, '$1.$2') : cell;
      const value = unit !== '' && /^[+-]?[\d.]+$/.test(decimal) ? `${decimal} ${unit}` : decimal;
      if (timeKeys.includes(key)) groups.times[key] = /^[\d.]+$/.test(value) ? `${value} s` : value;
      else if (speedKeys.includes(key)) groups.speeds[key.replace(' speed', '')] = value;
      else if (airKeys.includes(key)) groups.air[key] = value;
      else slip[key] = value;
    });
    const whole = {
      ...slip,
      times: groups.times,
      speeds: groups.speeds,
      ...(Object.keys(groups.air).length > 0 ? { air: groups.air } : {}),
    };
    const car = trial.car.tank === undefined ? {} : { tank: trial.car.tank.text };
    try {
      const parsed = parseTrial(JSON.stringify({ trial: 1, car, setups: names.map((name) => ({ name })), slips: [whole] }), path);
      return (parsed.slips as readonly SlipFile[])[0]!;
    } catch (problem) {
      if (!(problem instanceof PullproofError)) throw problem;
      const field = problem.where.field ?? '';
      const wanted = field
        .replace(/^slips\[0\]\.?/, '')
        .replace(/^speeds\.(.*)$/, '$1 speed')
        .replace(/^(times|air)\./, '');
      const column = columns.find(({ key }) => key === wanted)?.title;
      throw new PullproofError(
        problem.code,
        problem.what,
        { path, line: number, row: r + 1, ...(column === undefined ? { field } : { channel: column }) },
        problem.fix,
      );
    }
  });
}

/** Cells of a line; a cell in double quotes may hold the delimiter. */
function cellsOf(line: string, delimiter: string): string[] {
  const cells: string[] = [];
  let cell = '';
  let quoted = false;
  for (let i = 0; i < line.length; i++) {
    const c = line[i]!;
    if (c === '"' && quoted && line[i + 1] === '"') {
      cell += '"';
      i++;
    } else if (c === '"') quoted = !quoted;
    else if (c === delimiter && !quoted) {
      cells.push(cell);
      cell = '';
    } else cell += c;
  }
  return [...cells, cell];
}
