import type { Evidence, LoadedRun } from '../pulls/index.js';
import type { Contradiction } from '../result/index.js';
import { shown } from './shown.js';

/** Driving hard burns no more than this, and a gauge is read no worse. Common practice, no source. */
const mostBurntM3PerS = 0.6e-3 / 60;
const readM3 = 6e-3;

/** Fuel in the tank of the runs of one outing against the time between them: it cannot fall faster than an engine burns it. */
export function fuelInOuting({ setups, file }: Evidence): Contradiction[] {
  const outings = new Map<string, LoadedRun[]>();
  for (const run of setups.flatMap((setup) => setup.runs)) {
    const { outing, when } = run.inputs;
    if (outing === null || when === null || fuelKg(run) === null || Number.isNaN(Date.parse(when))) continue;
    outings.set(outing, [...(outings.get(outing) ?? []), run]);
  }
  return [...outings.values()].flatMap((runs): Contradiction[] => {
    const inOrder = runs.toSorted((a, b) => timeOf(a) - timeOf(b));
    const falls = inOrder.slice(1).flatMap((run, i) => {
      const earlier = inOrder[i]!;
      const fallM3 = (fuelKg(earlier)! - fuelKg(run)!) / density(file);
      return fallM3 > readM3 + mostBurntM3PerS * (timeOf(run) - timeOf(earlier)) ? [{ earlier, run, fallM3 }] : [];
    });
    const worst = falls.toSorted((a, b) => b.fallM3 - a.fallM3)[0];
    if (worst === undefined) return [];
    const { earlier, run, fallM3 } = worst;
    const share = (fallM3 * density(file)) / run.inputs.massKg.value;
    const minutes = (timeOf(run) - timeOf(earlier)) / 60;
    const touched = [...new Set([earlier.inputs.setup, run.inputs.setup])];
    return [
      {
        name: 'fuel in the tank',
        setups: touched,
        sources: [earlier, run].map((one) => ({
          what: one === earlier ? 'fuel-in-tank' : `fuel-in-tank ${minutes.toFixed(0)} min later`,
          value: fuelKg(one)! / density(file),
          unit: 'm³',
          shown: shown.volume(fuelKg(one)! / density(file), file.units),
          where: `run ${one.inputs.log}`,
        })),
        difference: `${shown.volume(fallM3, file.units)} gone, more than an engine burns in that time`,
        effects: [
          { setup: earlier.inputs.setup, share: 0 },
          ...(earlier.inputs.setup === run.inputs.setup ? [] : [{ setup: run.inputs.setup, share: -share }]),
        ],
        mistakes: [{ name: 'fuel', sentence: 'one of the two fuel levels is mistyped' }],
        fix: 'Correct fuel-in-tank of these runs: it is part of the weight.',
      },
    ];
  });
}

const timeOf = ({ inputs }: LoadedRun): number => Date.parse(inputs.when!) / 1000;

/** Fuel of a run's ledger, kg; null where it was not entered. */
function fuelKg({ inputs }: LoadedRun): number | null {
  const item = inputs.ledger.find(({ item: name, standing }) => name === 'fuel' && standing === 'entered');
  return item === undefined ? null : item.massKg;
}

function density({ car }: Evidence['file']): number {
  return car['fuel-density']?.si ?? 745;
}
