import { makeLog, plainLogger, studyAir, studyCar } from '@pullproof/simulation';
import { expect, it } from 'vitest';
import { runTrial } from '../../../packages/core/src/trial/index.js';
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

// Found by fuzzing: a number of 1e300 stretched the engine speeds that the curve covers beyond what a list can hold.
it.each([
  ['Road speed', '1e300'],
  ['Road speed', '-1e12'],
  ['Engine speed', '1e300'],
])('one broken reading in a pull is left out, and the curve stays what it was: %s %s', (name, value) => {
  const { text } = makeLog({
    car: studyCar,
    around: studyAir,
    engine: { fullLoadWheelPowerW: (rpm) => 30 * rpm },
    phases: Array.from({ length: 3 }, () => ({ kind: 'pull', gear: 3, fromRpm: 2400, toRpm: 6200, leadS: 2 }) as const),
    logger: plainLogger(),
    seed: 20,
    stepS: 0.01,
  });
  const logs = new Map([
    ['whole.csv', text],
    ['broken.csv', withBroken(text, name, value)],
  ]);
  const trial = studyTrialYaml(
    'One broken reading',
    ['whole', 'broken'].map((setup) => ({ name: setup, runs: [{ log: `${setup}.csv`, outing: 'saturday' }] })),
  );
  const { setups } = runTrial(trial, 'trial.yaml', (path) => {
    return { chunks: new TextEncoder().encode(logs.get(path)!), sha256: () => path };
  });
  const [whole, broken] = setups.map(({ curves }) => curves.wheelPowerW!);
  const at = broken!.engineSpeedRpm.indexOf(4000);
  expect(broken!.value[at]! / whole!.value[whole!.engineSpeedRpm.indexOf(4000)]!).toBeCloseTo(1, 2);
});
