import type { RunResult, StatedValue, TrialResult } from '@pullproof/core';
import { displayUnits, numberText } from '@pullproof/figures';
import { type Html, html, shortName } from '../html.js';
import type { ReportSection } from '../section.js';
import { tableBlock } from '../table.js';
import { statedText } from '../text.js';

/** Runs of one setup that were made under the same conditions stand in one column. */
interface Column {
  readonly setup: string;
  readonly run: RunResult;
  readonly logs: readonly string[];
}

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

/** Conditions and mass of every run, side by side. */
export const conditionsSection: ReportSection = {
  id: 'conditions',
  title: 'Conditions and mass',
  render: (result) => {
    const columns = columnsOf(result);
    if (columns.length === 0) return null;
    const heads = [
      '',
      ...columns.map(
        ({ setup, logs }) => html`${shortName(setup, 60)}<br><span class="standing">${shortName(logs.join(', '), 160)}</span>`,
      ),
    ];
    return [
      html`<h3>Conditions</h3>`,
      tableBlock(heads, conditionRows(columns, result), { label: 'Conditions of each run', className: 'columns' }),
      html`<h3>Mass, ${displayUnits[result.units].mass.symbol}</h3>`,
      massTable(heads, columns, result),
    ];
  },
};

const stated = (value: StatedValue, result: TrialResult, as?: 'share' | 'weatherPressure' | 'wind'): Html =>
  html`${statedText(value, result, as)} <span class="standing">${value.standing}</span>`;

function conditionRows(columns: readonly Column[], result: TrialResult): (string | Html)[][] {
  const row = (name: string, cell: (run: RunResult) => string | Html): (string | Html)[] => [name, ...columns.map(({ run }) => cell(run))];
  return [
    row('Outing', (run) => shortName(run.outing, 60)),
    row('When', (run) => run.when?.replace('T', ' ') ?? 'not entered'),
    row('Direction', (run) => run.direction ?? 'not entered'),
    row('Air temperature', (run) => stated(run.air.temperatureK, result)),
    row('Station pressure, absolute', (run) => stated(run.air.stationPressurePa, result, 'weatherPressure')),
    row('Relative humidity', (run) => stated(run.air.relativeHumidity, result, 'share')),
    row('Air density', (run) => stated(run.air.densityKgPerM3, result)),
    row('Headwind', (run) => stated(run.windMps, result, 'wind')),
    row('Grade, uphill positive', (run) => stated(run.grade, result, 'share')),
  ];
}

function massTable(heads: readonly (string | Html)[], columns: readonly Column[], result: TrialResult): Html {
  const { mass } = displayUnits[result.units];
  const items = [...new Set(columns.flatMap(({ run }) => run.ledger.map((entry) => entry.item)))];
  const rows = items.map((item) => [
    shortName(item, 60),
    ...columns.map(({ run }) => {
      const entry = run.ledger.find((line) => line.item === item);
      if (entry === undefined) return '–';
      const note = entry.note === '' ? null : html`<br><span class="standing">${shortName(entry.note, 120)}</span>`;
      return html`${numberText(mass.fromSi(entry.massKg), 1)} <span class="standing">${entry.standing}</span>${note}`;
    }),
  ]);
  const total = [html`<b>as driven</b>`, ...columns.map(({ run }) => html`<b>${statedText(run.massKg, result)}</b>`)];
  return tableBlock(heads, [...rows, total], { label: 'Mass ledger of each run', className: 'columns with-sum' });
}
