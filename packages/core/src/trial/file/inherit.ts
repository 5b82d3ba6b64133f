import type { AirFile, CarFile, Conditions, Inherited, OutingFile, Overrides, RunFile, SetupFile, SlipFile } from './trialFile.js';
import type { CheckedFile } from './trialSchema.js';

/**
 * The file with every run complete: what it does not state itself comes from its setup, else from its outing, else from the trial. Air is taken
 * part by part (temperature, pressure, moisture), so that a day's barometer goes with a run's own thermometer. A slip takes from the outing it names, and
 * from nothing else: the strip is another place. American spellings are put under the keys that the rest of the code knows.
 */
export function inherit(file: CheckedFile): CheckedFile {
  const outings = new Map((file.outings ?? []).map((outing) => [outing.name, outing]));
  const setups = file.setups.map((setup): SetupFile => {
    const own = spelled(setup);
    return { ...own, runs: own.runs?.map((run): RunFile => completed(spelled(run), [own], file, outings)) };
  });
  const slips = typeof file.slips === 'object' ? file.slips.map((slip): SlipFile => completed(spelled(slip), [], {}, outings)) : file.slips;
  return { ...file, car: spelledCar(file.car), setups, slips };
}

function completed<Run extends Conditions>(
  run: Run,
  above: readonly Inherited[],
  trial: Inherited,
  outings: ReadonlyMap<string, OutingFile>,
): Run {
  const name = [run, ...above, trial].find(({ outing }) => outing !== undefined)?.outing;
  const outing = name === undefined ? undefined : outings.get(name);
  const levels: readonly Inherited[] = [run, ...above, ...(outing === undefined ? [] : [outing]), trial];
  return {
    ...run,
    outing: name,
    when: run.when ?? outing?.when,
    direction: first(levels, 'direction'),
    'fuel-in-tank': first(levels, 'fuel-in-tank'),
    wind: first(levels, 'wind'),
    grade: first(levels, 'grade'),
    air: mergedAir(levels.flatMap(({ air }) => air ?? [])),
  };
}

function first<Key extends keyof Inherited>(levels: readonly Inherited[], key: Key): Inherited[Key] {
  return levels.find((level) => level[key] !== undefined)?.[key];
}

function mergedAir(levels: readonly AirFile[]): AirFile | undefined {
  if (levels.length === 0) return undefined;
  const has = (...keys: readonly (keyof AirFile)[]): AirFile => levels.find((air) => keys.some((key) => air[key] !== undefined)) ?? {};
  const pressure = has('pressure', 'altimeter');
  const moisture = has('humidity', 'dew-point');
  return {
    temperature: has('temperature').temperature,
    pressure: pressure.pressure,
    altimeter: pressure.altimeter,
    elevation: has('elevation').elevation,
    humidity: moisture.humidity,
    'dew-point': moisture['dew-point'],
  };
}

function spelled<Part extends Overrides>(part: Part): Part {
  const radius = part['tyre-radius'] ?? part['tire-radius'];
  return radius === part['tyre-radius'] ? part : { ...part, 'tyre-radius': radius };
}

function spelledCar(car: CarFile): CarFile {
  return spelled(car.tire === undefined ? car : { ...car, tyre: car.tyre ?? car.tire });
}
