import type { Evidence, LoadedRun } from '../pulls/index.js';
import type { Contradiction } from '../result/index.js';
import { quantileOf } from '../stretches/index.js';
import { numberText } from '../units/index.js';
import { type Coast, coastsOf, toldSlowing } from './coasts.js';

/** Road load by published values is not further off than this, whatever the tires and the road; common practice, no source. */
const agrees = Math.log(1.45);
/** And that of one car on one road not further than this, beside what the wind and the grade entered leave open; common practice, no source. */
const setupsAgree = Math.log(1.12);
const sureSpreads = 2.5;
/** Within this a mistake explains what is seen. Common practice, no source. */
const explains = 0.17;

/** Coasts of one setup. */
interface Slowing {
  readonly name: string;
  readonly coasts: readonly Coast[];
  /** Natural logarithm of slowing as logged over slowing as told, and its standard uncertainty. */
  readonly off: number;
  readonly spread: number;
}

/** How a car slows in neutral by the log, against what the road load of the trial makes of it, and between setups: gearing has no part in either. */
export function coastingForce({ setups }: Evidence): Contradiction[] {
  const known = setups.flatMap(({ name, runs }): Slowing[] => {
    const coasts = runs.flatMap(coastsOf);
    if (coasts.length === 0) return [];
    const offs = coasts.map(({ seen, told }) => Math.log(seen / told));
    const spread = Math.max(...coasts.map((coast) => coast.spread)) / Math.sqrt(Math.min(coasts.length, 4));
    return [{ name, coasts, off: offs.reduce((sum, off) => sum + off, 0) / offs.length, spread }];
  });
  if (known.length === 0) return [];
  const [least, most] = [known.reduce((a, b) => (b.off < a.off ? b : a)), known.reduce((a, b) => (b.off > a.off ? b : a))];
  const apart = most.off - least.off > Math.max(setupsAgree, sureSpreads * Math.hypot(least.spread, most.spread));
  const beyond = known.filter(({ off }) => Math.abs(off) > agrees);
  if (!apart && beyond.length < known.length) return [];
  const odd = apart ? [Math.abs(most.off) > Math.abs(least.off) ? most : least] : known;
  return [contradictionOf(odd, known, apart ? (odd[0] === most ? least : most) : null)];
}

function contradictionOf(odd: readonly Slowing[], known: readonly Slowing[], other: Slowing | null): Contradiction {
  const coasts = odd.flatMap((one) => one.coasts);
  const seen = quantileOf(
    coasts.map((coast) => coast.seen),
    0.5,
  );
  const told = quantileOf(
    coasts.map((coast) => coast.told),
    0.5,
  );
  const beside = other === null ? '' : `, and ${numberText(Math.exp(other.off), 2)} times in ${other.name}`;
  const logs = [...new Set(coasts.map(({ run }) => run.inputs.log))].join(', ');
  const shown = (rate: number): string => `${numberText(rate, 2)} m/s² (${numberText(rate / 9.80665, 3)} g)`;
  const mistakes = mistakesOf(odd[0]!, { alone: other !== null });
  return {
    name: 'coast-down',
    setups: odd.map(({ name }) => name),
    sources: [
      {
        what: 'slowing in neutral by weight, drag-area, rolling-coefficient, wind and grade',
        value: told,
        unit: 'm/s²',
        shown: shown(told),
        where: 'trial file',
      },
      { what: 'slowing in neutral as logged', value: seen, unit: 'm/s²', shown: shown(seen), where: logs },
    ],
    difference: `${numberText(Math.exp(odd[0]!.off), 2)} times as much${beside}`,
    effects: known.map((one) => ({
      setup: one.name,
      share: odd.includes(one) || other === one ? effectOf(one, mistakes[0]!.name === 'time-scale' && odd.includes(one)) : 0,
    })),
    mistakes,
    fix: fixOf(mistakes.map(({ name }) => name)),
  };
}

/** A clock that runs wrong moves power in proportion; a resistance that was not told is power that was not counted. */
function effectOf({ coasts, off }: Slowing, clock: boolean): number {
  if (clock) return Math.exp(off) - 1;
  const missed = coasts.map(({ seen, told, run }) => (told - seen) / Math.max(pullAcceleration(run), 0.3));
  return missed.reduce((sum, share) => sum + share, 0) / missed.length;
}

function pullAcceleration({ found }: LoadedRun): number {
  const rates = found.pulls.flatMap(({ startS, endS, fromRpm, toRpm, rpmPerMps }) =>
    fromRpm === null || toRpm === null || rpmPerMps === null ? [] : [(toRpm - fromRpm) / rpmPerMps / (endS - startS)],
  );
  return rates.length === 0 ? 1 : quantileOf(rates, 0.5);
}

/** What a time column may be off by, as slowing shows it. */
const timeFactors = [2, 0.5, 10, 0.1, 60, 1 / 60, 1000, 0.001];
const clockNear = 0.25;
/** A slope of 2 % or a strong wind slows a car by so much. Common practice, no source. */
const roadMps2 = 0.2;

function mistakesOf({ coasts, off }: Slowing, { alone }: { readonly alone: boolean }): Contradiction['mistakes'] {
  const list: { name: string; sentence: string }[] = [];
  const offWith = (change: (coast: Coast) => { readonly windMps?: number; readonly grade?: number }): number =>
    coasts.reduce((sum, coast) => sum + Math.log(coast.seen / toldSlowing(coast, change(coast))), 0) / coasts.length;
  const better = (changed: number): boolean => Math.abs(changed) < Math.min(explains, 0.5 * Math.abs(off));
  const inputs = coasts.map(({ run }) => run.inputs);
  const wind = Math.max(...inputs.map(({ windMps }) => (windMps.standing === 'entered' ? Math.abs(windMps.value) : 0)));
  const grade = Math.max(...inputs.map(({ grade: own }) => (own.standing === 'entered' ? Math.abs(own.value) : 0)));
  if (wind >= 1.5 && better(offWith(({ run }) => ({ windMps: -run.inputs.windMps.value }))))
    list.push({ name: 'wind', sentence: 'wind has the wrong sign (headwind is positive)' });
  if (wind >= 1.5 && better(offWith(({ run }) => ({ windMps: 0.44704 * run.inputs.windMps.value }))))
    list.push({ name: 'wind', sentence: 'wind was entered in mph as if it were m/s' });
  if (grade >= 0.003 && better(offWith(({ run }) => ({ grade: -run.inputs.grade.value }))))
    list.push({ name: 'grade', sentence: 'grade has the wrong sign (uphill is positive)' });
  if (grade >= 0.003 && better(offWith(({ run }) => ({ grade: 0.1 * run.inputs.grade.value }))))
    list.push({ name: 'grade', sentence: 'grade is ten times too steep' });
  if (list.length > 0) return list;
  const clock = timeFactors.find((factor) => Math.abs(off - Math.log(factor)) < clockNear);
  const unknown = inputs.some(({ windMps, grade: own }) => windMps.standing !== 'entered' || own.standing === 'assumed');
  // A slope or a wind that nobody entered explains as much: it is likelier than a clock.
  const byRoad = alone && unknown && coasts.every(({ seen, told }) => Math.abs(seen - told) < roadMps2);
  if (byRoad)
    list.push({ name: 'wind', sentence: 'wind or a slope was not entered' }, { name: 'grade', sentence: 'the road sloped otherwise' });
  if (clock !== undefined) {
    const text = clock > 1 ? `${numberText(clock, 0)} times too fast` : `${numberText(1 / clock, 0)} times too slowly`;
    list.push({ name: 'time-scale', sentence: `the time in the log runs ${text}` });
  }
  if (alone) {
    if (clock === undefined && !byRoad)
      list.push({ name: 'wind', sentence: 'wind or grade is mistyped' }, { name: 'grade', sentence: 'the road sloped otherwise' });
    if (off > 0) list.push({ name: 'brakes', sentence: 'a brake dragged, a tire was low or something stood in the wind' });
  } else {
    list.push({
      name: 'rolling-coefficient',
      sentence: `drag-area and rolling-coefficient are too ${off > 0 ? 'low' : 'high'}, or the road sloped`,
    });
  }
  return list.filter(({ sentence }, i) => list.findIndex((one) => one.sentence === sentence) === i);
}

function fixOf(mistakes: readonly string[]): string {
  if (mistakes[0] === 'time-scale') return 'Check the time column of the log and its unit; then the road load, and the brakes.';
  if (mistakes.includes('brakes'))
    return 'Check wind and grade of these runs; then brakes, tire pressure and what is on the car, and log again.';
  if (mistakes.includes('wind') || mistakes.includes('grade')) return 'Check wind and grade of these runs, with their signs.';
  return 'Check drag-area and rolling-coefficient, or leave them to the logs: drag-area: from coast-downs.';
}
