import type { CeilingResult, TrialResult } from '@pullproof/core';
import { bandFigure, expectedRatioFigure, numberText, quantityDifferenceFigure } from '@pullproof/figures';
import { type Html, html, shortName } from '../html.js';
import type { Block, ReportSection } from '../section.js';
import { tableBlock } from '../table.js';

/** How much boost really: absolute, gauge, what moved, what the pulley alone should give, and where a sensor was at its end. */
export const pressureSection: ReportSection = {
  id: 'pressure',
  title: 'Pressure',
  render: (result) => {
    const logged = result.setups.some(({ curves }) => curves.manifoldPressurePa !== undefined);
    const blocks: Block[] = [];
    const ceilings = result.ceilings ?? [];
    if (ceilings.length > 0) blocks.push(ceilingList(ceilings));
    blocks.push([
      { figure: bandFigure(result, { curve: 'manifoldPressurePa' }), caption: 'Manifold pressure, absolute' },
      { figure: bandFigure(result, { curve: 'boostPa' }), caption: 'Boost, above the barometer' },
    ]);
    if (!logged) return blocks;
    blocks.push(
      result.comparisons.flatMap(({ before, after, pressure }, index) =>
        pressure === null || pressure === undefined
          ? []
          : [
              {
                figure: quantityDifferenceFigure(result, { comparison: index, quantity: 'boostPa' }),
                caption: `Boost, ${shortName(after, 40)} vs ${shortName(before, 40)}`,
              },
            ],
      ),
    );
    result.comparisons.forEach(({ before, after, pressure }, index) => {
      if (!pressure?.expectedRatio) return;
      blocks.push(html`<h3>${shortName(after, 60)} vs ${shortName(before, 60)}: the pulley’s share</h3>
<p>${shortName(pressure.expectedRatio.sentence, 600)}</p>`);
      blocks.push({
        figure: expectedRatioFigure(result, { comparison: index }),
        caption: `Pressure ratio, ${shortName(after, 40)}: what the pulley alone should give, and what was measured`,
      });
    });
    const blowers = blowerTable(result);
    if (blowers !== null) blocks.push(blowers);
    return blocks;
  },
};

/** Ceilings at one level are explained once, with every log that shows them. */
function ceilingList(ceilings: readonly CeilingResult[]): Html {
  const groups = new Map<string, CeilingResult[]>();
  for (const ceiling of ceilings) {
    const key = JSON.stringify([ceiling.quantity, ceiling.side, ceiling.verdict, ceiling.value.toPrecision(4)]);
    groups.set(key, [...(groups.get(key) ?? []), ceiling]);
  }
  return html`<h3>Pegged sensors</h3><ul class="findings">${[...groups.values()].map(groupHtml)}</ul>`;
}

function groupHtml(group: readonly CeilingResult[]): Html {
  const [first, ...others] = group;
  const readings = ({ log, samples }: CeilingResult): string => `${shortName(log, 60)} (${numberText(samples, 0)} readings)`;
  return html`<li><p><b>${shortName(first!.channel, 60)}</b>, ${shortName(first!.log, 80)}: ${first!.verdict}</p>
<p>${shortName(first!.explanation, 700)}</p>
${others.length === 0 ? null : html`<p>The same in ${others.map(readings).join(', ')}.</p>`}
${group.map(({ log, modelEstimate }) => (modelEstimate === null ? null : html`<p class="small muted">${shortName(log, 60)}: ${shortName(estimateText(modelEstimate), 400)}</p>`))}</li>`;
}

function estimateText({ label, engineSpeedRpm, value, low, high }: NonNullable<CeilingResult['modelEstimate']>): string {
  const last = engineSpeedRpm.length - 1;
  const kpa = (pa: number | null | undefined): string => numberText(pa === null || pa === undefined ? null : pa / 1000, 0);
  return `${label} At ${numberText(engineSpeedRpm[last], 0)} rpm: ${kpa(value[last])} kPa (${kpa(low[last])} to ${kpa(high[last])}).`;
}

function blowerTable({ setups }: TrialResult): Html | null {
  const known = setups.filter(({ blower }) => blower?.driveRatio !== null && blower !== null && blower !== undefined);
  if (known.length === 0) return null;
  const rpm = (value: number | null): string => numberText(value, 0);
  return html`<h3>Blower</h3>${tableBlock(
    ['Setup', 'Drive ratio', 'Fastest in the pulls, rpm', 'At the redline, rpm', 'Limit, rpm', 'Engine speed at the limit, rpm'],
    known.map(({ name, blower }) => [
      shortName(name, 60),
      numberText(blower!.driveRatio, 3),
      rpm(blower!.fastestInPullsRpm),
      rpm(blower!.rotorSpeedAtRedlineRpm),
      rpm(blower!.maxRotorSpeedRpm),
      rpm(blower!.highestEngineSpeedRpm),
    ]),
    { label: 'Blower of each setup', numbersFrom: 1 },
  )}<p class="small muted">Rotor speed by the drive ratio; a slipping belt turns slower.</p>`;
}
