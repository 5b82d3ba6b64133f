import type { FuelTableResult, MixtureCell, MixtureComparison, MixtureResult, TrialResult } from '@pullproof/core';
import { bandFigure, displayUnits, mixtureDriftFigure, numberText } from '@pullproof/figures';
import { type Html, html, shortName } from '../html.js';
import type { Block, ReportSection } from '../section.js';
import { tableBlock } from '../table.js';

/** How far the mixture moved, how it was read, and the measured error for the tuner. */
export const mixtureSection: ReportSection = {
  id: 'mixture',
  title: 'Mixture',
  render: (result) => {
    const blocks: Block[] = [{ figure: bandFigure(result, { curve: 'lambda' }), caption: 'Lambda in the pulls' }];
    const drifts = result.comparisons.flatMap(({ before, after, mixture }, index) =>
      mixture === null || mixture === undefined ? [] : [{ before, after, mixture, index }],
    );
    if (drifts.length > 0) {
      blocks.push(
        drifts.map(({ before, after, index }) => ({
          figure: mixtureDriftFigure(result, { comparison: index }),
          caption: `Mixture change, ${shortName(after, 40)} vs ${shortName(before, 40)} (up is leaner)`,
        })),
      );
      for (const { before, after, mixture } of drifts) {
        if (mixture.cells.length > 0) blocks.push(driftByPressure(`${shortName(after, 40)} vs ${shortName(before, 40)}`, mixture, result));
      }
    }
    const readings = readingTable(result);
    if (readings !== null) blocks.push(readings);
    for (const setup of result.setups) if (setup.fuelTable !== undefined) blocks.push(errorTable(setup.name, setup.fuelTable, result));
    const idles = idleBlock(result);
    if (idles !== null) blocks.push(idles);
    return blocks;
  },
};

/** Drift in each cell of engine speed and manifold pressure that both setups visited. */
function driftByPressure(title: string, { cells }: MixtureComparison, result: TrialResult): Html {
  const { pressure } = displayUnits[result.units];
  const pressureRange = ({ fromPa, toPa }: MixtureCell): string =>
    fromPa === null || toPa === null
      ? '–'
      : `${numberText(pressure.fromSi(fromPa), pressure.decimals)} to ${numberText(pressure.fromSi(toPa), pressure.decimals)}`;
  return html`<details><summary>Mixture change by pressure, ${title}</summary>${tableBlock(
    ['Engine speed, rpm', `Manifold pressure, ${pressure.symbol} abs`, 'Change', 'Low', 'High', 'Readings before', 'after'],
    cells.map((cell) => [
      `${numberText(cell.fromRpm, 0)} to ${numberText(cell.toRpm, 0)}`,
      pressureRange(cell),
      numberText(cell.drift, 3, { signed: true }),
      numberText(cell.low, 3, { signed: true }),
      numberText(cell.high, 3, { signed: true }),
      numberText(cell.readingsBefore, 0),
      numberText(cell.readingsAfter, 0),
    ]),
    { label: `Mixture change by rpm and pressure, ${title}`, numbersFrom: 2 },
  )}</details>`;
}

function readingTable({ setups }: TrialResult): Html | null {
  const known = setups.flatMap(({ name, mixture }) => (mixture === null || mixture === undefined ? [] : [{ name, mixture }]));
  if (known.length === 0) return null;
  const ms = (seconds: number | null): string => numberText(seconds === null ? null : 1000 * seconds, 0);
  const banks = ({ banks: all }: MixtureResult): string =>
    all.length < 2
      ? '–'
      : all.map(({ channel, offset }) => `${shortName(channel, 30)} ${numberText(offset, 3, { signed: true })}`).join(', ');
  const ethanol = known.some(({ mixture }) => mixture.ethanolShare !== null);
  return html`<h3>How lambda was read</h3>${tableBlock(
    [
      'Setup',
      'Wanted lambda from',
      'Delay',
      'Readings',
      'Delay removed, ms',
      'Range, ms',
      'Gauge number',
      ...(ethanol ? ['Ethanol logged, %'] : []),
      'Sensors apart',
    ],
    known.map(({ name, mixture }) => [
      shortName(name, 60),
      shortName(mixture.wantedFrom ?? 'not known', 60),
      mixture.delay.standing,
      numberText(mixture.readings, 0),
      ms(mixture.delay.delayS),
      mixture.delay.lowS === null ? '–' : `${ms(mixture.delay.lowS)} to ${ms(mixture.delay.highS)}`,
      numberText(mixture.gaugeStoich, 2),
      ...(ethanol ? [numberText(mixture.ethanolShare === null ? null : 100 * mixture.ethanolShare, 1)] : []),
      banks(mixture),
    ]),
    { label: 'How lambda was read in each setup', numbersFrom: 3 },
  )}<p class="small muted">An exhaust sensor reads late. The delay is taken out first, and the first half second of a pull is left out.</p>`;
}

/** The table for the tuner: what was measured, never new values. */
function errorTable(name: string, { table, status, provenance }: FuelTableResult, result: TrialResult): Html {
  const title = html`<summary>Fueling error, ${shortName(name, 60)}</summary>`;
  if (table === null) return html`<details>${title}<p>${shortName(status ?? '', 300)}</p></details>`;
  const { temperature } = displayUnits[result.units];
  const edge = (axis: typeof table.rows, index: number): string =>
    `${numberText(axis.edges[index]! / axis.unitSi, 0)} to ${numberText(axis.edges[index + 1]! / axis.unitSi, 0)}`;
  return html`<details>${title}
<p class="small">Fuel needed ÷ fuel delivered, cell by cell: 1.05 means 5% more is needed. It is what was measured, not a table to load: an exhaust leak or a misfire reads lean. ${
    table.trimsCounted ? 'Fuel trims are counted.' : 'No fuel trims were logged.'
  } Tune ${shortName(provenance.calibration ?? 'not named', 60)}.</p>
${tableBlock(
  [
    capital(`${table.rows.quantity}, ${table.rows.unit}`),
    capital(`${table.columns.quantity}, ${table.columns.unit}`),
    'Readings',
    'Pulls',
    'Lambda',
    'Wanted',
    'Factor',
    'Margin',
    `Charge, ${temperature.symbol}`,
    'Timing, °',
    'Knock retard, °',
    'Duty, %',
  ],
  table.cells.map((cell) => [
    edge(table.rows, cell.row),
    edge(table.columns, cell.column),
    numberText(cell.count, 0),
    numberText(cell.pulls, 0),
    numberText(cell.lambda, 3),
    numberText(cell.commandedLambda, 3),
    numberText(cell.factor, 3),
    `${numberText(cell.low, 3)} to ${numberText(cell.high, 3)}`,
    numberText(cell.chargeTemperatureK === null ? null : temperature.fromSi(cell.chargeTemperatureK), temperature.decimals),
    numberText(cell.sparkAdvanceDeg, 1),
    numberText(cell.largestKnockRetardDeg, 1),
    numberText(cell.largestInjectorDuty === null ? null : 100 * cell.largestInjectorDuty, 0),
  ]),
  { label: `Fueling error of ${shortName(name, 60)}`, numbersFrom: 1 },
)}
<p class="small muted">The margin counts the sensor with ${numberText(100 * table.sensorSpread, 0)}% (assumed). <code>compare --fuel-table</code> writes the same as a table for a spreadsheet.</p></details>`;
}

function capital(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1);
}

function idleBlock({ comparisons }: TrialResult): Html | null {
  const known = comparisons.flatMap(({ before, after, idle }) => (idle === null || idle === undefined ? [] : [{ before, after, idle }]));
  if (known.length === 0) return null;
  return html`<h3>Idle, before and after</h3><ul class="findings">${known.map(
    ({ before, after, idle }) => html`<li><p>${shortName(after, 60)} vs ${shortName(before, 60)}: <b>${idle.verdict}</b></p>
<p class="small">${shortName(idle.evidence.join('; '), 500)}.</p>
${idle.open.map((text) => html`<p class="small">${shortName(text, 400)}</p>`)}
<p><b>Do:</b> ${shortName(idle.fix, 400)}</p></li>`,
  )}</ul>`;
}
