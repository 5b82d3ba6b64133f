import type { SetupResult } from '@pullproof/core';
import { displayUnits, numberText } from '@pullproof/figures';
import { html, shortName } from '../html.js';
import type { ReportSection } from '../section.js';
import { tableBlock } from '../table.js';

/** Power by a correction standard, only where it was asked for. */
export const correctedSection: ReportSection = {
  id: 'corrected',
  title: 'Corrected power',
  render: (result) => {
    const runs = result.setups.flatMap((setup) =>
      setup.runs.flatMap((run) => (run.correction === undefined ? [] : [{ setup, run, correction: run.correction }])),
    );
    if (runs.length === 0) return null;
    const { power } = displayUnits[result.units];
    const warnings = [...new Set(runs.flatMap(({ correction }) => (correction.warning === null ? [] : [correction.warning])))];
    return [
      html`<p>The verdict uses uncorrected power. This is what the standard named would multiply it by.</p>`,
      ...warnings.map((warning) => html`<p class="line role-loss"><b>${warning}</b></p>`),
      tableBlock(
        ['Setup', 'Log', 'Standard', 'Factor', `Most power, uncorrected, ${power.symbol}`, `corrected, ${power.symbol}`],
        runs.map(({ setup, run, correction }) => {
          const largest = largestPowerW(setup);
          const text = (watts: number | null): string => (watts === null ? '–' : numberText(power.fromSi(watts), power.decimals));
          return [
            shortName(setup.name, 60),
            shortName(run.log, 80),
            shortName(correction.standard, 60),
            numberText(correction.factor, 3),
            text(largest),
            text(largest === null ? null : largest * correction.factor),
          ];
        }),
        { label: 'Corrected power', numbersFrom: 3 },
      ),
    ];
  },
};

function largestPowerW(setup: SetupResult): number | null {
  const known = (setup.curves.wheelPowerW?.value ?? []).filter((value) => value !== null);
  return known.length === 0 ? null : known.reduce((best, value) => Math.max(best, value));
}
