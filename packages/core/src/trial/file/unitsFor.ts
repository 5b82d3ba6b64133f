import type { TrialFile } from './trialFile.js';
import type { CheckedFile } from './trialSchema.js';

/** Facts of the hardware: written in the unit of a data sheet, whatever the owner thinks in. */
const hardware: ReadonlySet<string> = new Set([
  ...[
    'displacement',
    'blower',
    'blower-pulley',
    'injectors',
    'map-sensor',
    'tyre-radius',
    'tire-radius',
    'wheel-inertia',
    'engine-inertia',
  ],
  ...['drag-area', 'fuel-density', 'specific-consumption', 'changes', 'launch', 'tank', 'speeds', 'times'],
]);

/**
 * Units for people: those that the file states; else the system that most of its quantities are written in, hardware aside.
 *
 * @returns `unitsOpen` where the file says nothing of it, so that the logs decide; until then metric
 */
export function unitsFor(file: CheckedFile): Pick<TrialFile, 'units' | 'unitsOpen'> {
  if (file.units !== undefined) return { units: file.units };
  const balance = votes(file);
  return balance === 0 ? { units: 'metric', unitsOpen: true } : { units: balance > 0 ? 'imperial' : 'metric' };
}

/** Quantities of US units less those of metric ones. */
function votes(value: unknown): number {
  if (typeof value !== 'object' || value === null) return 0;
  const { system } = value as { system?: unknown };
  if (system === 'imperial') return 1;
  if (system === 'metric') return -1;
  const inside = Array.isArray(value) ? value : Object.entries(value).flatMap(([key, one]) => (hardware.has(key) ? [] : [one]));
  return inside.reduce<number>((sum, one) => sum + votes(one), 0);
}
