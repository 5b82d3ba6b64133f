import { makeLog, plainLogger, studyAir, studyCar } from '@pullproof/simulation';
import { expect, it } from 'vitest';
import { runTrial } from '../../../packages/core/src/jobs/index.js';
import { studyTrialYaml } from '../../../packages/simulation/src/studyCar.js';

/** The log with one number in the middle of its second pull broken, in the column whose name begins like this. */
function withBroken(text: string, name: string, value: string): string {
  const lines = text.split('\n');
  const column = lines[0]!.split(',').findIndex((title) => title.startsWith(name));
  const at = lines.length >> 1;
  const cells = lines[at]!.split(',');
  expect(Number(cells[column])).toBeGreaterThan(0);
  cells[column] = value;
  return lines.with(at, cells.join(',')).join('\n');
}

/** Two recordings of one car: the same one in both setups would count in neither. */
const [text, another] = [20, 21].map(
  (seed) =>
    makeLog({
      car: studyCar,
      around: studyAir,
      engine: { fullLoadWheelPowerW: (rpm) => 30 * rpm },
      phases: Array.from({ length: 3 }, () => ({ kind: 'pull', gear: 3, fromRpm: 2400, toRpm: 6200, leadS: 2 }) as const),
      logger: plainLogger(),
      seed,
      stepS: 0.01,
    }).text,
) as [string, string];

/** A trial of a whole log and a broken one. */
function answer(broken: string) {
  const logs = new Map([
    ['whole.csv', another],
    ['broken.csv', broken],
  ]);
  const trial = studyTrialYaml(
    'One broken log',
    ['whole', 'broken'].map((setup) => ({ name: setup, runs: [{ log: `${setup}.csv`, outing: 'saturday' }] })),
  );
  return runTrial(trial, 'trial.yaml', (path) => ({ chunks: new TextEncoder().encode(logs.get(path)!), sha256: () => path }));
}

// Found by fuzzing: a number of 1e300 stretched the engine speeds that the curve covers beyond what a list can hold.
it.each([
  ['Road speed', '1e300'],
  ['Road speed', '-1e12'],
  ['Engine speed', '1e300'],
])('one broken reading in a pull is left out, and the curve stays what it was: %s %s', (name, value) => {
  const { setups } = answer(withBroken(text, name, value));
  const [whole, broken] = setups.map(({ curves }) => curves.wheelPowerW!);
  const at = broken!.engineSpeedRpm.indexOf(4000);
  expect(broken!.value[at]! / whole!.value[whole!.engineSpeedRpm.indexOf(4000)]!).toBeCloseTo(1, 2);
});

// Found by fuzzing: a pull of days was followed in steps of hundredths of a second, for minutes and in gigabytes.
it.each([100, 100_000])('times %d times too long make pulls that are told and not followed', (factor) => {
  const lines = text.trimEnd().split('\n');
  const longer = lines.map((line, row) => (row === 0 ? line : line.replace(/^[\d.]+/, (timeS) => String(Number(timeS) * factor))));
  const start = performance.now();
  const { setups, overall } = answer(`${longer.join('\n')}\n`);
  expect(performance.now() - start).toBeLessThan(2000);
  expect(setups[1]!.pulls.map(({ used, cutReason }) => [used, cutReason])).toEqual(
    setups[0]!.pulls.map(() => [false, 'it lasts over 300 s, as no pull in one gear does: check the unit of time']),
  );
  expect(overall[0]).toMatchObject({ verdict: 'cannot tell', reasons: ['NO_PULLS'] });
});
