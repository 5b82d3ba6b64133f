import type { Evidence, LoadedRun } from '../../pulls/index.js';
import type { Contradiction } from '../../result/index.js';
import { quantileOf, readingsBetween } from '../../stretches/index.js';
import { numberText } from '../../units/index.js';
import { STANDARD_GRAVITY } from '../../vehicle/index.js';
import { shown } from './shown.js';

/** Left off a coast's ends: the clutch still opens, or closes again. */
const trimmedS = 0.5;
const leastReadings = 15;
/** What spinning wheels add to the mass in neutral. Source: [GILLESPIE1992]. */
const wheelShare = 1.04;
/** Road load by published values is not further off than this, whatever the tires and the road; common practice, no source. */
const agrees = 0.45;
/** And of one car on one day not further than this. Common practice, no source. */
const setupsAgree = 0.35;

interface Coast {
  readonly run: LoadedRun;
  /** Deceleration as logged and as the trial's road load makes it, m/s². */
  readonly seen: number;
  readonly told: number;
}

/** How a car slows in neutral by the log, against what the road load of the trial makes of it: gearing has no part in either. */
export function coastingForce({ setups, file }: Evidence): Contradiction[] {
  const coasts = setups.map(({ runs }) => runs.flatMap((run) => coastsOf(run)));
  const ratios = coasts.map((list) =>
    list.length === 0
      ? null
      : quantileOf(
          list.map(({ seen, told }) => seen / told),
          0.5,
        ),
  );
  const known = ratios.filter((ratio) => ratio !== null);
  if (known.length === 0) return [];
  const off = (ratio: number | null): boolean => ratio !== null && Math.abs(Math.log(ratio)) > Math.log(1 + agrees);
  const apart = known.length > 1 && Math.max(...known) / Math.min(...known) > 1 + setupsAgree;
  const groups: number[][] = [];
  if (!apart && known.length > 0 && ratios.every((ratio) => ratio === null || off(ratio)))
    groups.push([...ratios.keys()].filter((i) => ratios[i] !== null));
  else
    ratios.forEach((ratio, i) => {
      const usual = Math.exp(quantileOf(known.map(Math.log), 0.5));
      const furthest = apart && ratio !== null && known.every((other) => Math.abs(Math.log(other)) <= Math.abs(Math.log(ratio)));
      if (off(ratio) || (furthest && Math.abs(Math.log(ratio! / usual)) > 0)) groups.push([i]);
    });
  return groups.map((group): Contradiction => {
    const list = group.flatMap((i) => coasts[i]!);
    const [first] = list as [Coast, ...Coast[]];
    const seen = quantileOf(
      list.map((coast) => coast.seen),
      0.5,
    );
    const told = quantileOf(
      list.map((coast) => coast.told),
      0.5,
    );
    const ratio = seen / told;
    const names = group.map((i) => setups[i]!.name);
    return {
      name: 'coast-down',
      setups: names,
      sources: [
        {
          what: 'slowing in neutral by drag-area, rolling-coefficient and weight',
          value: told,
          unit: 'm/s²',
          shown: `${numberText(told, 2)} m/s²`,
          where: `${file.path}, car`,
        },
        {
          what: 'slowing in neutral as logged',
          value: seen,
          unit: 'm/s²',
          shown: `${numberText(seen, 2)} m/s²`,
          where: [...new Set(list.map((coast) => coast.run.inputs.log))].join(', '),
        },
      ],
      difference: `${numberText(ratio, 2)} times as much`,
      effects: names.map((setup) => ({ setup, share: effect(ratio, first) })),
      mistakes: mistakesOf(ratio, first, { alone: group.length < known.length, units: file.units }),
      fix: 'Check the time column of the log and its unit; then weight, drag-area and rolling-coefficient; then the brakes.',
    };
  });
}

/** A clock that runs wrong moves power in proportion; a road load that is wrong moves it by its own share. */
function effect(ratio: number, { told, run }: Coast): number {
  const clock = timeFactors.some((factor) => Math.abs(Math.log(ratio / factor)) < 0.3);
  const roadLoadShare = (told * (ratio - 1)) / Math.max(typicalAcceleration(run), 0.3);
  return clock ? ratio - 1 : roadLoadShare;
}

function typicalAcceleration({ found }: LoadedRun): number {
  const rates = found.pulls.flatMap(({ startS, endS, fromRpm, toRpm, rpmPerMps }) =>
    fromRpm === null || toRpm === null || rpmPerMps === null ? [] : [(toRpm - fromRpm) / rpmPerMps / (endS - startS)],
  );
  return rates.length === 0 ? 1 : quantileOf(rates, 0.5);
}

/** What a time column may be off by, as deceleration shows it. */
const timeFactors = [2, 0.5, 10, 0.1, 60, 1 / 60, 1000, 0.001];

function mistakesOf(
  ratio: number,
  { run }: Coast,
  { alone, units }: { readonly alone: boolean; readonly units: 'metric' | 'imperial' },
): Contradiction['mistakes'] {
  const clock = timeFactors.find((factor) => Math.abs(Math.log(ratio / factor)) < 0.3);
  const list: { name: string; sentence: string }[] = [];
  if (clock !== undefined) {
    const text = clock > 1 ? `${numberText(clock, 0)} times too fast` : `${numberText(1 / clock, 0)} times too slowly`;
    list.push({ name: 'time-scale', sentence: `the time in the log runs ${text}` });
  }
  const { dragAreaM2, rollingCoefficient, massKg } = run.inputs;
  if (ratio > 1) {
    list.push(
      alone
        ? { name: 'brakes', sentence: 'a brake dragged or a tire was low' }
        : {
            name: 'rolling-coefficient',
            sentence: `drag-area or rolling-coefficient is too low (or the weight of ${shown.mass(massKg.value, units)} too high)`,
          },
    );
  } else if (dragAreaM2.value > 1.1 && rollingCoefficient.value <= 0.025) {
    list.push({ name: 'drag-area', sentence: `the drag area of ${numberText(dragAreaM2.value, 2)} m² is mistyped` });
  } else if (rollingCoefficient.value > 0.025) {
    list.push({ name: 'rolling-coefficient', sentence: `the rolling coefficient of ${rollingCoefficient.value} is mistyped` });
  } else list.push({ name: 'rolling-coefficient', sentence: 'drag-area or rolling-coefficient is too high, or the road went downhill' });
  return list;
}

function coastsOf(run: LoadedRun): Coast[] {
  const { inputs, log, found } = run;
  const { road } = found.signals;
  if (road === null) return [];
  return found.others.flatMap((stretch): Coast[] => {
    if (stretch.kind !== 'coast') return [];
    if (stretch.startS < (inputs.fromTimeS ?? Number.NEGATIVE_INFINITY) || stretch.endS > (inputs.toTimeS ?? Number.POSITIVE_INFINITY))
      return [];
    const { timeS, values } = readingsBetween(log, road.channel, stretch.startS + trimmedS, stretch.endS - trimmedS);
    const kept = Array.from(timeS.keys()).filter((i) => values[i]! > 5);
    if (kept.length < leastReadings) return [];
    const [a, b] = [kept[0]!, kept.at(-1)!];
    const seen = (values[a]! - values[b]!) / (timeS[b]! - timeS[a]!);
    const told = quantileOf(
      kept.map((i) => slowing(inputs, values[i]!)),
      0.5,
    );
    return seen > 0 && told > 0 ? [{ run, seen, told }] : [];
  });
}

function slowing(
  { massKg, airDensityKgPerM3, dragAreaM2, rollingCoefficient, windMps, grade }: LoadedRun['inputs'],
  speedMps: number,
): number {
  const air = speedMps + windMps.value;
  const drag = (0.5 * airDensityKgPerM3.value * dragAreaM2.value * air * Math.abs(air)) / massKg.value;
  return (drag + STANDARD_GRAVITY * (rollingCoefficient.value + grade.value)) / wheelShare;
}
