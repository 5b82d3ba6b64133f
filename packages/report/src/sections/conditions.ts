import type { RunResult, Standing, StatedValue, TrialResult } from '@pullproof/core';
import { displayUnits, numberText } from '@pullproof/figures';
import { type Html, type HtmlPart, html, shortName } from '../html.js';
import type { ReportSection } from '../section.js';
import { tableBlock } from '../table.js';
import { statedText } from '../text.js';

/** Runs of one setup that were made under the same conditions stand in one column. */
interface Column {
  readonly setup: string;
  readonly run: RunResult;
  readonly logs: readonly string[];
}

/** What stands in a cell: a value, and a remark that moves to the head of the row where all cells share it. */
interface Cell {
  readonly value: string;
  readonly remark: string;
}

/** Conditions and mass of every run, side by side. */
export const conditionsSection: ReportSection = {
  id: 'conditions',
  title: 'Weight and weather',
  render: (result) => {
    const columns = columnsOf(result);
    if (columns.length === 0) return null;
    const heads = [
      'Condition',
      ...columns.map(
        ({ setup, logs }) => html`${shortName(setup, 60)}<br><span class="standing">${shortName(logs.join(', '), 160)}</span>`,
      ),
    ];
    const table = (rows: readonly (readonly HtmlPart[])[], label: string, className: string): Html =>
      tableBlock(heads, rows, { label, className, flat: true });
    return [
      html`<h3>Weather and road</h3>`,
      table(conditionRows(columns, result), 'Conditions of each run', 'columns'),
      html`<h3>Weight as driven, ${displayUnits[result.units].mass.symbol}</h3>`,
      table(massRows(columns, result), 'Weight as driven, run by run', 'columns with-sum'),
    ];
  },
};

function columnsOf(result: TrialResult): readonly Column[] {
  const columns = new Map<string, Column>();
  result.setups.forEach((setup, index) => {
    for (const run of setup.runs) {
      const sameness = JSON.stringify([index, { ...run, log: '' }]);
      const column = columns.get(sameness);
      columns.set(sameness, { setup: setup.name, run, logs: [...(column?.logs ?? []), run.log] });
    }
  });
  return [...columns.values()];
}

function row(name: string, cells: readonly Cell[]): HtmlPart[] {
  const remarks = new Set(cells.map((cell) => cell.remark));
  const shared = remarks.size === 1 ? cells[0]!.remark : '';
  const remark = (text: string): Html | null => (text === '' ? null : html` <span class="standing">${shortName(text, 160)}</span>`);
  return [html`${name}${remark(shared)}`, ...cells.map((cell) => html`${cell.value}${shared === '' ? remark(cell.remark) : null}`)];
}

function conditionRows(columns: readonly Column[], result: TrialResult): HtmlPart[][] {
  const plain = (name: string, value: (run: RunResult) => string): HtmlPart[] =>
    row(
      name,
      columns.map(({ run }) => ({ value: value(run), remark: '' })),
    );
  const stated = (name: string, value: (run: RunResult) => StatedValue, as?: 'share' | 'weatherPressure' | 'wind'): HtmlPart[] =>
    row(
      name,
      columns.map(({ run }) => ({ value: statedText(value(run), result, as), remark: value(run).standing })),
    );
  return [
    plain('Outing', (run) => shortName(run.outing, 60)),
    plain('When', (run) => run.when?.replace('T', ' ') ?? 'not entered'),
    plain('Direction', (run) => run.direction ?? 'not entered'),
    stated('Air temperature', (run) => run.air.temperatureK),
    stated('The barometer at the track, not corrected to sea level', (run) => run.air.stationPressurePa, 'weatherPressure'),
    stated('Humidity', (run) => run.air.relativeHumidity, 'share'),
    stated('Air density', (run) => run.air.densityKgPerM3),
    stated('Headwind', (run) => run.windMps, 'wind'),
    stated('Grade (uphill is positive)', (run) => run.grade, 'share'),
  ];
}

function massRows(columns: readonly Column[], result: TrialResult): HtmlPart[][] {
  const { mass } = displayUnits[result.units];
  const items = [...new Set(columns.flatMap(({ run }) => run.ledger.map((entry) => entry.item)))];
  const remark = (standing: Standing, note: string): string => (note === '' ? standing : `${standing}: ${note}`);
  const rows = items.map((item) =>
    row(
      shortName(item, 60),
      columns.map(({ run }) => {
        const entry = run.ledger.find((line) => line.item === item);
        if (entry === undefined) return { value: '–', remark: '' };
        return { value: numberText(mass.fromSi(entry.massKg), 1), remark: remark(entry.standing, entry.note) };
      }),
    ),
  );
  return [...rows, ['as driven', ...columns.map(({ run }) => statedText(run.massKg, result))]];
}
