import { findChannel, freshSamples } from '../log/index.js';
import { type Evidence, type LoadedRun, runBarometer } from '../pulls/index.js';
import type { Contradiction } from '../result/index.js';
import { quantileOf } from '../stretches/index.js';
import { shown } from './shown.js';

/** A barometer and a weather report agree within this, Pa; a manifold sensor does so less well. Common practice, no source. */
const agreesPa = { barometer: 2000, manifold: 3000 };
/** Power follows the density of the air at most so. Common practice, no source. */
const mostExponent = 1.2;

interface Seen {
  readonly run: LoadedRun;
  readonly pressurePa: number;
  readonly column: string;
  readonly by: keyof typeof agreesPa;
  readonly offPa: number;
}

/** Station pressure as entered against the log's barometer, or against manifold pressure with the engine off. */
export function stationPressure({ setups, file }: Evidence): Contradiction[] {
  const seen = setups.flatMap(({ runs }) => runs.flatMap((run) => seenOf(run) ?? []));
  const off = seen.filter(({ offPa, by }) => Math.abs(offPa) > agreesPa[by]);
  if (off.length === 0) return [];
  const names = [...new Set(off.map(({ run }) => run.inputs.setup))];
  const everywhere =
    seen.length === off.length && Math.max(...off.map(({ offPa }) => offPa)) - Math.min(...off.map(({ offPa }) => offPa)) < 1000;
  const groups = everywhere ? [off] : names.map((name) => off.filter(({ run }) => run.inputs.setup === name));
  return groups.map((group): Contradiction => {
    const [first] = group as [Seen, ...Seen[]];
    const { run, pressurePa, column, offPa } = first;
    const entered = run.inputs.stationPressurePa;
    const touched = [...new Set(group.map((one) => one.run.inputs.setup))];
    return {
      name: 'station pressure',
      setups: touched,
      sources: [
        {
          what: 'the pressure entered',
          value: entered.value,
          unit: 'Pa',
          shown: shown.pressure(entered.value, file.units),
          where: entered.source,
        },
        {
          what: first.by === 'barometer' ? 'the barometer in the log' : 'manifold pressure with the engine off',
          value: pressurePa,
          unit: 'Pa',
          shown: shown.pressure(pressurePa, file.units),
          where: `${run.inputs.log}, column ${column}`,
        },
      ],
      difference: `${shown.pressure(Math.abs(offPa), file.units)} apart`,
      effects: touched.map((setup) => ({ setup, share: (mostExponent * offPa) / pressurePa })),
      mistakes: mistakesOf(first, seen),
      fix: 'Enter the station pressure of place and hour (not corrected to sea level), or an altimeter setting with the elevation.',
    };
  });
}

function mistakesOf({ offPa, by, run }: Seen, seen: readonly Seen[]): Contradiction['mistakes'] {
  const entered = run.inputs.stationPressurePa.value;
  const list: { name: string; sentence: string }[] = [];
  // A weather report says 98.5 to 104.5 kPa whatever the elevation is.
  if (offPa > 0 && entered > 98_500 && entered < 104_500)
    list.push({ name: 'sea-level-pressure', sentence: 'the entered pressure is corrected to sea level, as weather reports give it' });
  list.push({ name: 'station-pressure', sentence: 'the entered pressure is mistyped, or of another place or day' });
  const others = seen.filter((one) => one.run !== run && one.by === by);
  // A sensor that agrees with what was entered elsewhere is right here too.
  const trusted = by === 'barometer' || others.some((one) => Math.abs(one.offPa) < agreesPa[by]);
  if (!trusted) list.push({ name: 'pressure-scale', sentence: 'the manifold sensor is logged through the scale of another sensor' });
  return list;
}

function seenOf(run: LoadedRun): Seen | null {
  const { stationPressurePa } = run.inputs;
  if (stationPressurePa.standing !== 'entered') return null;
  const channel = findChannel(run.log, 'barometric-pressure');
  const readings = channel === null ? null : freshSamples(run.log, channel).values;
  const barometer = readings === null || readings.length === 0 ? Number.NaN : quantileOf(readings, 0.5);
  const seen = (pressurePa: number, column: string, by: Seen['by']): Seen => ({
    run,
    pressurePa,
    column,
    by,
    offPa: stationPressurePa.value - pressurePa,
  });
  // No road lies where a barometer reads anything else.
  if (barometer > 60_000 && barometer < 108_000) return seen(barometer, channel!.name, 'barometer');
  const still = runBarometer(run.log, run.inputs);
  const manifold = findChannel(run.log, 'manifold-pressure');
  if (still === null || still.pressurePa === null || manifold === null) return null;
  return still.pressurePa > 60_000 && still.pressurePa < 130_000 ? seen(still.pressurePa, manifold.name, 'manifold') : null;
}
