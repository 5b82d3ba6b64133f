import type { SeasonResult } from '../../result/index.js';
import type { TrialFile } from '../../trial/index.js';

/** What was changed on the car, trial by trial, as it was written down. */
export function logBook(files: readonly TrialFile[]): SeasonResult['logBook'] {
  return files.flatMap(({ title, setups }) =>
    setups.flatMap(({ name, changes, calibration, 'blower-pulley': pulley }) => {
      const { parts = [], fasteners = [], belts = [], hoses = [], notes = [] } = changes ?? {};
      const lines = [
        ...(pulley === undefined ? [] : [`blower pulley ${pulley.text}`]),
        ...(calibration === undefined ? [] : [`tune ${calibration}`]),
        ...parts,
        ...fasteners.map(({ where, size, torque }) => `${where}, ${size}: ${torque.text}`),
        ...belts,
        ...hoses,
        ...notes,
      ];
      return lines.length === 0 ? [] : [{ trial: title, setup: name, lines }];
    }),
  );
}
