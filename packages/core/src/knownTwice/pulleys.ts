import { channelOf, type Evidence, type FittedSetup, pullsCurve } from '../pulls/index.js';
import type { Contradiction } from '../result/index.js';
import { quantileOf } from '../stretches/index.js';
import { shown } from './shown.js';

/** Pulleys that differ by less tell nothing, and neither does a smaller change of pressure. Common practice, no source. */
const leastDrive = 0.02;
const leastPressure = 0.012;

/** Pulley sizes of two setups against the change of manifold pressure between them: a faster blower makes more. */
export function pulleys({ setups, pairs, file }: Evidence): Contradiction[] {
  return pairs.flatMap(([b, a]): Contradiction[] => {
    const [before, after] = [setups[b]!, setups[a]!];
    const [told, other] = [pulleyOf(before), pulleyOf(after)];
    const { inputs } = before.runs[0] ?? {};
    if (told === null || other === null || inputs === undefined || inputs.boostControl === 'controlled') return [];
    const drive = Math.log(told / other);
    const pressure = pressureChange(before, after);
    if (pressure === null || Math.abs(drive) < leastDrive || Math.abs(pressure) < leastPressure || pressure * drive > 0) return [];
    const names = [before.name, after.name];
    return [
      {
        name: 'blower pulleys',
        setups: names,
        sources: [
          {
            what: 'the blower pulley entered',
            value: Math.exp(drive) - 1,
            unit: '1',
            shown: `${size(told, file.units)} in ${before.name} and ${size(other, file.units)} in ${after.name}, so the blower turns ${shown.percent(Math.abs(Math.exp(drive) - 1))} ${drive > 0 ? 'faster' : 'slower'} after`,
            where: 'setups[].blower-pulley',
          },
          {
            what: 'manifold pressure in the pulls',
            value: Math.exp(pressure) - 1,
            unit: '1',
            shown: `${shown.percent(Math.abs(Math.exp(pressure) - 1))} ${pressure > 0 ? 'higher' : 'lower'} after`,
            where: `the logs of ${before.name} and ${after.name}`,
          },
        ],
        difference: 'they go opposite ways',
        effects: [
          { setup: before.name, share: 0 },
          { setup: after.name, share: 1 },
        ],
        mistakes: [
          { name: 'swapped-setups', sentence: 'the pulley sizes, or the logs, of the two setups are swapped' },
          { name: 'pulley', sentence: 'a pulley size is mistyped' },
        ],
        fix: 'Check which logs belong to which pulley, and correct the trial file.',
      },
    ];
  });
}

function pulleyOf({ runs }: FittedSetup): number | null {
  const sizes = new Set(runs.map(({ inputs }) => inputs.blowerPulleyM));
  return sizes.size === 1 ? [...sizes][0]! : null;
}

/** Natural logarithm of manifold pressure after over before at equal engine speed; null where the two do not meet. */
function pressureChange(before: FittedSetup, after: FittedSetup): number | null {
  const gridRpm = Float64Array.from({ length: 61 }, (_, i) => 2000 + 100 * i);
  const [one, other] = [before, after].map((setup) =>
    pullsCurve(setup.used, channelOf(['manifold-pressure']), gridRpm, [], 'manifold-pressure'),
  );
  if (one == null || other == null) return null;
  const changes = Array.from(gridRpm.keys()).flatMap((i) => {
    const change = Math.log(other.curve.mean[i]! / one.curve.mean[i]!);
    return Number.isFinite(change) ? [change] : [];
  });
  return changes.length < 5 ? null : quantileOf(changes, 0.5);
}

function size(m: number, units: 'metric' | 'imperial'): string {
  return units === 'imperial' ? `${(m / 0.0254).toFixed(2)} in` : `${(1000 * m).toFixed(0)} mm`;
}
