import { findChannel } from '../log/index.js';
import type { Evidence, LoadedRun } from '../pulls/index.js';
import type { Contradiction } from '../result/index.js';
import { quantileOf, readingsBetween } from '../stretches/index.js';
import { shown } from './shown.js';

/** Air on its way in is no colder than outside, K (sensors and thermometers err), and at speed no hotter than this. Common practice, no source. */
const leastAboveK = -6;
const mostAboveK = 32;
/** And is so much above the outside in one setup as in the other. Common practice, no source. */
const setupsDifferK = 14;
const mostExponent = 1.2;

interface Seen {
  readonly run: LoadedRun;
  /** In the pulls, before the blower. */
  readonly intakeK: number;
  readonly column: string;
  readonly aboveK: number;
  /** False where the sensor may sit behind a blower or turbo: then only colder air than outside says something. */
  readonly before: boolean;
}

/** Air temperature as entered against the intake air before the blower, in the pulls, where the car moves. */
export function airTemperature({ setups, file }: Evidence): Contradiction[] {
  const seen = setups.flatMap(({ runs }) => runs.flatMap((run) => seenOf(run) ?? []));
  const means = new Map(
    setups.flatMap(({ name }) => {
      const own = seen.filter(({ run }) => run.inputs.setup === name);
      return own.length === 0
        ? []
        : [
            [
              name,
              quantileOf(
                own.map(({ aboveK }) => aboveK),
                0.5,
              ),
            ] as const,
          ];
    }),
  );
  const values = [...means.values()];
  const usual = quantileOf(
    values.map((value) => Math.min(Math.max(value, 0), 25)),
    0,
  );
  return setups.flatMap(({ name }): Contradiction[] => {
    const own = seen.filter(({ run }) => run.inputs.setup === name);
    const above = means.get(name);
    if (above === undefined) return [];
    const cold = above < leastAboveK;
    const hot = own.every(({ before }) => before) && above > mostAboveK;
    const differs = own.every(({ before }) => before) && values.some((other) => above - other > setupsDifferK && other >= leastAboveK);
    if (!cold && !hot && !differs) return [];
    const first = own.toSorted((a, b) => Math.abs(b.aboveK) - Math.abs(a.aboveK))[0]!;
    const entered = first.run.inputs.temperatureK;
    return [
      {
        name: 'air temperature',
        setups: [name],
        sources: [
          {
            what: 'the air temperature entered',
            value: entered.value,
            unit: 'K',
            shown: shown.temperature(entered.value, file.units),
            where: entered.source,
          },
          {
            what: 'intake air in the pulls',
            value: first.intakeK,
            unit: 'K',
            shown: shown.temperature(first.intakeK, file.units),
            where: `${first.run.inputs.log}, column ${first.column}`,
          },
        ],
        difference: cold
          ? `${shown.temperatureStep(-above, file.units)} colder than the air it comes from`
          : `${shown.temperatureStep(above, file.units)} hotter${differs && !hot ? `, and ${shown.temperatureStep(Math.min(...values), file.units)} hotter in the other setup` : ''}`,
        effects: [{ setup: name, share: (mostExponent * (above - (differs ? Math.min(...values) : cold ? 0 : usual))) / entered.value }],
        mistakes: mistakesOf(above, first, { cold }),
        fix: 'Enter the air temperature of place and hour, with its unit; check the unit of the intake temperature in the log.',
      },
    ];
  });
}

function mistakesOf(above: number, { run, intakeK, column }: Seen, { cold }: { readonly cold: boolean }): Contradiction['mistakes'] {
  const list: { name: string; sentence: string }[] = [];
  const enteredK = run.inputs.temperatureK.value;
  const celsius = enteredK - 273.15;
  const fits = (kelvin: number): boolean => intakeK - kelvin > leastAboveK && intakeK - kelvin < 20;
  if (cold && fits((celsius - 32) / 1.8 + 273.15)) list.push({ name: 'air-temperature', sentence: 'a number in °F was entered as °C' });
  else if (!cold && fits(celsius * 1.8 + 32 + 273.15)) list.push({ name: 'air-temperature', sentence: 'a number in °C was entered as °F' });
  else list.push({ name: 'air-temperature', sentence: 'the entered temperature is mistyped, or of another place or day' });
  const asFahrenheit = (intakeK - 273.15 - 32) / 1.8 + 273.15 - enteredK;
  if (!cold && above > mostAboveK && asFahrenheit > leastAboveK && asFahrenheit < 25)
    list.unshift({ name: 'intake-unit', sentence: `column ${column} is in °F, not °C` });
  else if (!cold) list.push({ name: 'heat-soak', sentence: 'the intake was soaked with heat' });
  return list;
}

function seenOf(run: LoadedRun): Seen | null {
  if (run.inputs.temperatureK.standing !== 'entered') return null;
  const channel = findChannel(run.log, 'intake-temperature');
  if (channel === null) return null;
  const readings = run.found.pulls.flatMap(({ startS, endS }) => Array.from(readingsBetween(run.log, channel, startS, endS).values));
  if (readings.length < 3) return null;
  const intakeK = quantileOf(readings, 0.1);
  const unblown = run.inputs.boostControl === 'none' && run.inputs.blower === null;
  const before = unblown || findChannel(run.log, 'charge-temperature') !== null;
  return { run, intakeK, column: channel.name, aboveK: intakeK - run.inputs.temperatureK.value, before };
}
