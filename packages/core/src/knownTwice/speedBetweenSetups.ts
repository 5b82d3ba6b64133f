import { type Evidence, type LoadedRun, rarenessOf } from '../pulls/index.js';
import type { Contradiction } from '../result/index.js';
import { numberText } from '../units/index.js';
import { seenRatios, standingRpm } from './seenRatios.js';
import { shown } from './shown.js';

/** Slip, growth and warmth of tires move the ratio by less than this. Common practice, no source. */
const agrees = 0.015;
/** Neighboring gears are further apart than this. Common practice, no source. */
const sameGear = 0.12;

/** Engine speed over road speed in one gear, between the setups of one car. */
export function speedBetweenSetups({ setups, pairs, file }: Evidence, toldAlready: ReadonlySet<string>): Contradiction[] {
  return pairs.flatMap(([b, a]): Contradiction[] => {
    const before = ratiosOf(setups[b]!.runs);
    const after = ratiosOf(setups[a]!.runs);
    if (before === null || after === null) return [];
    const names = [setups[b]!.name, setups[a]!.name];
    if (names.some((name) => toldAlready.has(name)) || before.radiusM !== after.radiusM) return [];
    const idles = engineFactor(before, after);
    const factor = idles ?? nearest(before.ratios, after.ratios);
    if (factor === null) return [];
    // Each log on its own, too: one log that differs is not a setup that does.
    const spread = Math.max(within(before), within(after));
    const rare = Math.max(...[...setups[b]!.runs, ...setups[a]!.runs].map(({ found }) => rarenessOf(found.signals)));
    if (idles === null && Math.abs(factor - 1) < Math.max(agrees + rare, 3 * spread)) return [];
    const column = setups[a]!.runs[0]!.found.signals.road!.channel.name;
    return [
      {
        name: 'road speed of both setups',
        setups: names,
        sources: [before, after].map((one, i) => ({
          what: 'engine speed over road speed in one gear',
          value: one.ratios[0]!,
          unit: 'rpm per m/s',
          shown: perSpeed(one.ratios[0]!, file.units),
          where: `${names[i]}: ${one.logs.join(', ')}`,
        })),
        difference: `${numberText(factor, 3)} times as much after as before`,
        effects: [
          { setup: names[0]!, share: 0 },
          { setup: names[1]!, share: idles === null ? 1 / factor ** 2 - 1 : 1 },
        ],
        mistakes:
          idles === null
            ? [
                {
                  name: 'speed-scale',
                  sentence: `road speed reads ${shown.percent(Math.abs(1 / factor - 1))} ${factor > 1 ? 'lower' : 'higher'} in ${names[1]} (another speed source, or recalibrated)`,
                },
                { name: 'tyre-radius', sentence: 'other tires were fitted and not entered' },
              ]
            : [{ name: 'engine-speed', sentence: `engine speed is logged at ${numberText(factor, 1)} times its value in one of the two` }],
        fix: `Compare the road speed ("${column}") of both setups with GPS at a steady speed. If tires were changed, give tyre-radius for the runs.`,
      },
    ];
  });
}

interface Ratios {
  readonly ratios: readonly number[];
  readonly byLog: readonly (readonly number[])[];
  readonly idleRpm: number | null;
  readonly radiusM: number;
  readonly logs: readonly string[];
}

function ratiosOf(runs: readonly LoadedRun[]): Ratios | null {
  const own = runs.map((run) => ({ run, pulls: seenRatios(run).pulls })).filter(({ pulls }) => pulls.length > 0);
  if (own.length === 0) return null;
  const radii = new Set(own.map(({ run }) => run.inputs.tyreRadiusM.value));
  if (radii.size > 1 || own.some(({ run }) => run.inputs.transmission === 'automatic' && run.inputs.lockUp !== true)) return null;
  const ratios = own.flatMap(({ pulls }) => pulls).sort((a, b) => a - b);
  const idles = own.flatMap(({ run }) => standingRpm(run) ?? []);
  return {
    ratios: [ratios[ratios.length >> 1]!],
    byLog: own.map(({ pulls }) => pulls),
    idleRpm: idles.length === 0 ? null : idles.reduce((sum, rpm) => sum + rpm, 0) / idles.length,
    radiusM: [...radii][0]!,
    logs: own.map(({ run }) => run.inputs.log),
  };
}

/** Engine speed of one setup logged at a whole multiple: idle and gearing both say so. */
function engineFactor(before: Ratios, after: Ratios): number | null {
  if (before.idleRpm === null || after.idleRpm === null) return null;
  const idles = after.idleRpm / before.idleRpm;
  const ratios = after.ratios[0]! / before.ratios[0]!;
  const factor = [0.25, 0.5, 2, 4].find((one) => Math.abs(idles / one - 1) < 0.2 && Math.abs(ratios / one - 1) < 0.05);
  return factor ?? null;
}

/** After over before in the gear that both have; null where they have none. */
function nearest(before: readonly number[], after: readonly number[]): number | null {
  const factors = before.flatMap((one) => after.map((other) => other / one)).filter((factor) => Math.abs(Math.log(factor)) < sameGear);
  return factors.length === 0 ? null : factors.reduce((best, one) => (Math.abs(Math.log(one)) < Math.abs(Math.log(best)) ? one : best));
}

/** How far the logs of one setup differ in one gear. */
function within({ ratios, byLog }: Ratios): number {
  const near = byLog.flatMap((pulls) => pulls.filter((ratio) => Math.abs(Math.log(ratio / ratios[0]!)) < sameGear));
  return near.length < 2 ? 0 : (Math.max(...near) / Math.min(...near) - 1) / 2;
}

function perSpeed(ratio: number, units: 'metric' | 'imperial'): string {
  return units === 'imperial' ? `${numberText(ratio * 0.44704, 1)} rpm per mph` : `${numberText(ratio / 3.6, 1)} rpm per km/h`;
}
