import type { BandedValue, FuelSupplyResult, Headroom, SupplyInput, TrialResult } from '@pullproof/core';
import { bandText, type DisplayUnit, displayUnits, fuelFigure, inDisplayUnit, numberText, shareInPercent } from '@pullproof/figures';
import { type Html, html, shortName } from '../html.js';
import type { Block, ReportSection } from '../section.js';
import { tableBlock } from '../table.js';
import { inputText, keepTogether } from '../text.js';

interface Supplied {
  readonly name: string;
  readonly supply: FuelSupplyResult;
}

/** Is there fuel left: duty, headroom at the measured and the forecast airflow, pressure along the pulls. */
export const fuelSupplySection: ReportSection = {
  id: 'fuel-supply',
  title: 'Fuel supply',
  render: (result) => {
    const supplies = result.setups.flatMap(({ name, fuelSupply }): Supplied[] =>
      fuelSupply === null || fuelSupply === undefined ? [] : [{ name, supply: fuelSupply }],
    );
    if (supplies.length === 0) return null;
    const some = (has: (supply: FuelSupplyResult) => boolean): boolean => supplies.some(({ supply }) => has(supply));
    const blocks: Block[] = [
      html`<ul class="plain">${supplies.map(({ name, supply }) => html`<li><b>${shortName(name, 60)}:</b> ${keepTogether(shortName(supply.sentence, 500))}${statusHtml(supply)}</li>`)}</ul>`,
    ];
    const figures = [
      ...(some(({ duty }) => duty !== null) ? [{ figure: fuelFigure(result, { quantity: 'duty' }), caption: 'Injector duty' }] : []),
      ...(some(({ sag }) => sag !== null)
        ? [
            {
              figure: fuelFigure(result, { quantity: 'shortfall' }),
              caption: 'Fuel pressure drop during the pulls',
            },
          ]
        : []),
      ...(some(({ pressureAcross, sag }) => pressureAcross !== null && sag === null)
        ? [{ figure: fuelFigure(result, { quantity: 'pressureAcross' }), caption: 'Pressure across the injectors' }]
        : []),
      ...(some(({ fuelFlowKgPerS }) => fuelFlowKgPerS !== null)
        ? [{ figure: fuelFigure(result, { quantity: 'fuelFlow' }), caption: 'Fuel flow of all injectors' }]
        : []),
    ];
    if (figures.length > 0) blocks.push(figures);
    const headroom = headroomTable(supplies, result);
    if (headroom !== null) blocks.push(headroom);
    blocks.push(sagList(supplies), ...supplies.map((supplied) => inputsTable(supplied, result)));
    return blocks;
  },
};

function statusHtml({ status, sentence }: FuelSupplyResult): Html | null {
  return status === null || sentence.includes(status) ? null : html` <span class="muted">${shortName(status, 300)}</span>`;
}

function headroomTable(supplies: readonly Supplied[], result: TrialResult): Html | null {
  const rows = supplies.flatMap(({ name, supply }) => supply.headroom.map((headroom) => ({ name, headroom })));
  if (rows.length === 0) return null;
  const { power } = displayUnits[result.units];
  return html`<h3>Headroom</h3>${tableBlock(
    ['Setup', 'Airflow', 'Engine speed, rpm', 'Duty, %', 'To duty, %', 'More air, %', `Power at the wheels then, modeled, ${power.symbol}`],
    rows.flatMap(({ name, headroom }) =>
      headroom.limits.map(({ limitDuty, moreAir, wheelPowerW }) => [
        shortName(name, 60),
        headroom.at === 'measured' ? 'as measured' : 'as forecast',
        numberText(headroom.engineSpeedRpm, 0),
        bandedText(headroom.duty, { ...shareInPercent, decimals: 0 }),
        numberText(100 * limitDuty, 0),
        bandedText(moreAir, { ...shareInPercent, decimals: 0 }, true),
        wheelPowerW === null ? '–' : bandedText(wheelPowerW, power),
      ]),
    ),
    { label: 'Injector headroom', numbersFrom: 2, className: 'wide' },
  )}
<p class="small muted">Power then is modeled: the measured curve at that rpm, taken to follow the air. Its margin is that of the air alone; the margin of the measured curve comes on top.</p>
<ul class="plain small">${rows.map(({ name, headroom }) => (headroom.at === 'measured' ? null : html`<li>${shortName(name, 60)}, as forecast: ${keepTogether(shortName(headroom.description, 300))}${factorsText(headroom)}</li>`))}</ul>`;
}

function factorsText({ factors }: Headroom): Html | null {
  if (factors.length === 0) return null;
  const list = factors.map(({ name, factor, standing, source }) => `${name}: × ${numberText(factor, 3)} (${standing}: ${source})`);
  return html` <span class="muted">Factors: ${shortName(list.join('; '), 600)}.</span>`;
}

function bandedText(banded: BandedValue, unit: DisplayUnit, signed = false): string {
  const [value, low, high] = [banded.value, banded.low, banded.high].map((one) => inDisplayUnit(one, unit));
  return bandText(value, low, high, { decimals: unit.decimals, unit: '', signed });
}

function sagList(supplies: readonly Supplied[]): Html {
  return html`<h3>Fuel pressure during the pulls</h3><ul class="plain">${supplies.map(
    ({ name, supply: { sag, sagStatus } }) =>
      html`<li><b>${shortName(name, 60)}:</b> ${
        sag === null
          ? html`<b>cannot tell.</b> ${shortName(sagStatus ?? '', 300)}`
          : html`<b>${sag.verdict}.</b> ${shortName(sag.sentence, 500)} <span class="muted">${shortName(sag.channel, 60)}; should stay the same: ${sag.steady} (${sag.railStanding}).</span>`
      }</li>`,
  )}</ul>`;
}

function inputsTable({ name, supply }: Supplied, result: TrialResult): Html {
  const title = html`<summary>What this uses for ${shortName(name, 60)}</summary>`;
  return html`<details>${title}${
    supply.duty === null ? null : html`<p>Duty from ${supply.duty.from}, ${shortName(supply.duty.channel, 60)}.</p>`
  }${supply.pressureAcross === null ? null : html`<p>Pressure across the injectors from ${supply.pressureAcross.from}: ${shortName(supply.pressureAcross.how, 300)}</p>`}
${inputTable(supply.inputs, result, `Inputs of the fuel supply of ${shortName(name, 60)}`)}</details>`;
}

/** Inputs with value, spread, standing and where they come from; `last` adds a column. */
export function inputTable<Input extends SupplyInput>(
  inputs: readonly Input[],
  result: TrialResult,
  label: string,
  last?: { readonly title: string; readonly text: (input: Input) => string },
): Html {
  return tableBlock(
    ['Input', 'Value, give or take', 'How known', 'From', ...(last === undefined ? [] : [last.title])],
    inputs.map((input) => [
      shortName(input.name, 80),
      inputText(input, result),
      input.standing,
      shortName(input.source, 200),
      ...(last === undefined ? [] : [last.text(input)]),
    ]),
    { label, ...(last === undefined ? {} : { numbersFrom: 4 }) },
  );
}
