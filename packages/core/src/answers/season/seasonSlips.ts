import type { OpenedLog } from '../../pulls/index.js';
import type { SeasonResult, SetupResult } from '../../result/index.js';
import { carrySlip } from '../../strip/index.js';
import type { TrialFile } from '../../trial/index.js';
import { stripDay, stripModel } from '../strip/stripModel.js';
import { trialSlips } from '../strip/trialSlips.js';

/** Every slip of the season, carried to the air of the first, and the best of each setup there. */
export function seasonSlips(file: TrialFile, setups: readonly SetupResult[], openLog: (path: string) => OpenedLog): SeasonResult['slips'] {
  const { slips } = trialSlips(file, openLog);
  const first = slips[0];
  if (first === undefined) return [];
  const there = { airDensityKgPerM3: first.inputs.airDensityKgPerM3.value };
  const carried = slips.map((slip) => {
    const setup = setups.find(({ name }) => name === slip.setup);
    const model = setup === undefined ? null : stripModel(file.car, slip.inputs, setup).model;
    const moved = model === null ? null : carrySlip(slip.usable, model, stripDay(slip.inputs, model), there);
    const inOneAir = moved === null ? null : { etS: moved.elapsedTimeS, trapMps: moved.trapMps };
    const { timesS, trapsMps } = slip.usable;
    return { name: slip.name, setup: slip.setup, etS: timesS['1320ft'] ?? null, trapMps: trapsMps['1320ft'] ?? null, inOneAir };
  });
  const bestOf = new Map<string, number>();
  for (const { setup, inOneAir } of carried) {
    const time = inOneAir?.etS ?? Number.POSITIVE_INFINITY;
    bestOf.set(setup, Math.min(time, bestOf.get(setup) ?? Number.POSITIVE_INFINITY));
  }
  return carried.map((slip) => ({ ...slip, best: slip.inOneAir?.etS != null && slip.inOneAir.etS === bestOf.get(slip.setup) }));
}
