import type { ChangeSheetResult, FastenerResult, TorqueInUnits } from '@pullproof/core';
import { numberText } from '@pullproof/figures';
import { type Html, html, shortName } from '../html.js';
import type { ReportSection } from '../section.js';
import { tableBlock } from '../table.js';

const flags: Readonly<Record<FastenerResult['flag'], string>> = {
  none: 'in the expected range',
  above: 'above the expected range',
  below: 'below the expected range',
  'another unit meant': 'another unit meant?',
  'cannot tell': 'cannot tell',
};

/** What was changed on the car for each setup, torques in every unit that a wrench is marked in. */
export const changeSheetSection: ReportSection = {
  id: 'change-sheet',
  title: 'Change sheet',
  render: ({ setups }) => {
    const sheets = setups.flatMap(({ name, changeSheet }) =>
      changeSheet === null || changeSheet === undefined ? [] : [{ name, changeSheet }],
    );
    if (sheets.length === 0) return null;
    const cautions = [...new Set(sheets.flatMap(({ changeSheet }) => (changeSheet.fasteners.length === 0 ? [] : [changeSheet.caution])))];
    return [
      ...sheets.map(({ name, changeSheet }) => sheet(name, changeSheet)),
      ...cautions.map((caution) => html`<p><b>Caution:</b> ${shortName(caution, 500)}</p>`),
    ];
  },
};

function sheet(name: string, { parts, belts, hoses, notes, fasteners }: ChangeSheetResult): Html {
  const list = (title: string, items: readonly string[]): Html | null =>
    items.length === 0 ? null : html`<li><b>${title}:</b> ${shortName(items.join('; '), 1000)}</li>`;
  return html`<h3>${shortName(name, 60)}</h3><ul class="plain">${list('Parts', parts)}${list('Belts', belts)}${list('Hoses', hoses)}${list('Notes', notes)}</ul>
${fasteners.length === 0 ? null : fastenerTable(name, fasteners)}`;
}

function fastenerTable(name: string, fasteners: readonly FastenerResult[]): Html {
  const flagged = fasteners.filter(({ sentence }) => sentence !== null);
  return html`${tableBlock(
    ['Fastener', 'Size', 'Class', 'N·m', 'ft-lb', 'in-lb', 'As written', 'Usual for this bolt, N·m', 'Found'],
    fasteners.map(({ where, size, propertyClass, written, torque, expected, flag }) => [
      shortName(where, 80),
      shortName(size, 30),
      propertyClass === null ? 'not entered' : shortName(propertyClass, 20),
      ...inUnits(torque),
      shortName(written, 30),
      expected === null ? '–' : rangeText(expected),
      flag === 'none' ? flags.none : html`<b>${flags[flag]}</b>`,
    ]),
    { label: `Fasteners of ${shortName(name, 60)}` },
  )}
${flagged.length === 0 ? null : html`<ul class="plain small">${flagged.map(({ where, sentence }) => html`<li><b>${shortName(where, 80)}:</b> ${shortName(sentence!, 400)}</li>`)}</ul>`}
<details><summary>How the usual torques of ${shortName(name, 60)} were found</summary><ul class="plain">${fasteners.map(basisHtml)}</ul></details>`;
}

function basisHtml({ where, thread, proofLoadN, expected }: FastenerResult): Html {
  const known =
    thread === null
      ? 'the size is not known here'
      : `${thread.name}, stress area ${numberText(1e6 * thread.stressAreaM2, 1)} mm² (${thread.source})`;
  const proof = proofLoadN === null ? 'no proof load without size and class' : `proof load ${numberText(proofLoadN / 1000, 1)} kN`;
  return html`<li>${shortName(where, 80)}: ${shortName(known, 200)}; ${proof}${expected === null ? '' : `; ${shortName(expected.basis, 300)}`}.</li>`;
}

function inUnits({ newtonMetres, footPounds, inchPounds }: TorqueInUnits): string[] {
  return [torqueText(newtonMetres), torqueText(footPounds), numberText(inchPounds, 0)];
}

function torqueText(value: number): string {
  return numberText(value, decimalsOf(value));
}

function rangeText({ low, high }: NonNullable<FastenerResult['expected']>): string {
  const decimals = decimalsOf(high.newtonMetres);
  return `${numberText(low.newtonMetres, decimals)} to ${numberText(high.newtonMetres, decimals)}`;
}

/** A wrench for small torques is read to a tenth. */
function decimalsOf(value: number): number {
  return value < 20 ? 1 : 0;
}
