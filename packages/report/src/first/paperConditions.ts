import type { TrialResult } from '@pullproof/core';
import { displayUnits, numberText } from '@pullproof/figures';
import { type Html, html, shortName } from '../html.js';
import { unitsFor } from '../text.js';

/** On paper the answer is followed by the conditions that it holds for, one line a setup. */
export function paperConditions(result: TrialResult): Html {
  const { mass } = displayUnits[result.units];
  const range = (values: readonly (number | null)[], show: (value: number) => number, decimals: number): string => {
    const known = values.filter((value) => value !== null).map(show);
    if (known.length === 0) return '–';
    const [low, high] = [Math.min(...known), Math.max(...known)].map((value) => numberText(value, decimals)) as [string, string];
    return low === high ? low : `${low} to ${high}`;
  };
  const temperature = unitsFor('K', result).value;
  const pressure = unitsFor('Pa', result, 'weatherPressure').value;
  return html`<section class="paper-only" aria-label="Conditions"><h2>Conditions</h2><table>
<thead><tr><th scope="col">Setup</th><th scope="col">Pulls used</th><th scope="col">Outings</th><th scope="col">Weight, ${mass.symbol}</th><th scope="col">Air, ${temperature.symbol}</th><th scope="col">Barometer, ${pressure.symbol}</th><th scope="col">Humidity, %</th></tr></thead>
<tbody>${result.setups.map(
    ({
      name,
      runs,
      pulls,
    }) => html`<tr><th scope="row">${shortName(name, 40)}</th><td>${pulls.filter(({ used }) => used).length} of ${pulls.length}</td>
<td>${shortName([...new Set(runs.map(({ outing }) => outing))].join(', '), 80)}</td>
<td>${range(
      runs.map(({ massKg }) => massKg.value),
      mass.fromSi,
      mass.decimals,
    )}</td>
<td>${range(
      runs.map(({ air }) => air.temperatureK.value),
      temperature.fromSi,
      temperature.decimals,
    )}</td>
<td>${range(
      runs.map(({ air }) => air.stationPressurePa.value),
      pressure.fromSi,
      pressure.decimals,
    )}</td>
<td>${range(
      runs.map(({ air }) => air.relativeHumidity.value),
      (share) => 100 * share,
      0,
    )}</td></tr>`,
  )}</tbody></table></section>`;
}
