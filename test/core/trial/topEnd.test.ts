import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { runTrial, type TopEndAnalysis, type TrialResult, topEndCauses, topEndSignNeeds } from '../../../packages/core/src/index.js';
import { type TopEndCase, topEndCase, topEndFaults } from '../../../packages/simulation/src/index.js';

const run = (made: TopEndCase, trial = made.trial): TrialResult => {
  const bytes = new Map([...made.logs].map(([path, text]) => [path, new TextEncoder().encode(text)]));
  return runTrial(trial, 'trial.yaml', (path) => ({ chunks: bytes.get(path)!, sha256: () => path }));
};

const thousands = (rpm: number): string => rpm.toLocaleString('en-US');

/** What must hold of any analysis: reasons rest on observations that stand beside them, and every sample lies in its window. */
function sound(analysis: TopEndAnalysis): void {
  const ids = analysis.observations.map(({ id }) => id);
  expect(new Set(ids).size).toBe(ids.length);
  for (const { speaksFor, speaksAgainst, weight, rank } of analysis.causes) {
    expect(weight).toBeGreaterThan(0);
    expect(rank).toBeGreaterThan(0);
    for (const reason of speaksFor) expect(reason.points).toBeGreaterThan(0);
    for (const reason of speaksAgainst) expect(reason.points).toBeLessThan(0);
    for (const { observation } of [...speaksFor, ...speaksAgainst]) expect(ids).toContain(observation);
  }
  const { lowRpm, topRpm } = analysis.fade;
  for (const { samples } of analysis.observations) {
    for (const one of samples) {
      const [from, to] = one.window === 'low' ? lowRpm! : topRpm!;
      expect(one.fromRpm).toBeGreaterThanOrEqual(from - 1);
      expect(one.toRpm).toBeLessThanOrEqual(to + 1);
      expect(one.endS).toBeGreaterThanOrEqual(one.startS);
      expect(one.count).toBeGreaterThan(0);
    }
  }
  expect(JSON.stringify(analysis)).not.toMatch(/NaN|undefined/);
}

describe('a belt that slips', () => {
  const made = topEndCase(3, { range: 'narrow', fault: 'belt-slip' });
  const result = run(made);
  const pair = result.topEnd!.comparisons[0]!;

  test('is named, with the rotor speed that tells it and the readings that this rests on', () => {
    expect(made.logged.has('rotor-speed')).toBe(true);
    expect(pair.answer).toBe('one cause leads');
    expect(pair.leading).toEqual(['belt-slip']);
    expect(pair.fade.kind).toBe('gain');
    const [first] = pair.causes;
    expect(first!.speaksFor.map(({ observation }) => observation)).toContain('rotor-ratio');
    const rotor = pair.observations.find(({ id }) => id === 'rotor-ratio')!;
    expect(rotor.channels).toEqual(['Rotor speed (rpm)']);
    expect(rotor.trend).toBeLessThan(-0.015);
    expect(new Set(rotor.samples.map(({ log }) => log))).toEqual(new Set(['before.csv', 'after.csv']));
    expect(rotor.traces.map(({ setup }) => setup)).toEqual(['after', 'before']);
    expect(pair.leftOut.map(({ cause }) => cause)).toEqual(['own-breathing']);
    sound(pair);
    for (const single of result.topEnd!.setups) sound(single);
  });

  test('the samples are those of the log', () => {
    const rotor = pair.observations.find(({ id }) => id === 'rotor-ratio')!;
    const sample = rotor.samples.find(({ log, window }) => log === 'after.csv' && window === 'top')!;
    const rows = made.logs
      .get('after.csv')!
      .trim()
      .split('\n')
      .map((line) => line.split(','));
    const [time, rpm, speed] = ['Time (s)', 'Engine speed (rpm)', 'Rotor speed (rpm)'].map((name) => rows[0]!.indexOf(name));
    const first = Number(rows[1]![time!]);
    const inside = rows
      .slice(1)
      .filter((row) => Number(row[time!]) - first >= sample.startS - 1e-6 && Number(row[time!]) - first <= sample.endS + 1e-6);
    const ratios = inside.map((row) => Number(row[speed!]) / Number(row[rpm!]));
    expect(Math.abs(ratios.reduce((sum, value) => sum + value, 0) / ratios.length / sample.mean - 1)).toBeLessThan(0.003);
  });

  test('a note says so', () => {
    expect(result.findings.find(({ code }) => code === 'TOP_END')).toMatchObject({ severity: 'note', where: { setup: 'after' } });
  });

  test('without rotor speed it ties with a blower out of capacity, and rotor speed is what would decide', () => {
    const blind = run(topEndCase(3, { range: 'narrow', fault: 'belt-slip', without: ['rotor-speed'] })).topEnd!.comparisons[0]!;
    expect(blind.answer).toBe('cannot tell');
    expect(blind.leading).toEqual(expect.arrayContaining(['belt-slip', 'blower-capacity']));
    expect(blind.notLogged).toContain('rotor speed');
    expect(blind.next.join(' ')).toContain('rotor speed');
    sound(blind);
  });

  test('what would decide asks for no channel that is logged', () => {
    for (const analysis of [pair, ...result.topEnd!.setups]) {
      for (const { cause, wouldDecide } of analysis.causes) {
        const { toLog, proof } = topEndCauses[cause];
        const asked = toLog.filter((sign) => wouldDecide.startsWith('Log ') && wouldDecide.includes(topEndSignNeeds[sign]));
        for (const sign of asked) expect(analysis.observations.map(({ id }) => id)).not.toContain(sign);
        expect(asked.length > 0 || wouldDecide === proof).toBe(true);
      }
    }
  });

  test('a channel that only one setup has is asked for with both; one without readings at the top, throughout the pulls', () => {
    const [before, after] = ['before.csv', 'after.csv'].map((path) => made.logs.get(path)!);
    const changed = (path: string, text: string): string =>
      run({ ...made, logs: new Map([...made.logs, [path, text]]) })
        .topEnd!.comparisons[0]!.causes.find(({ cause }) => cause === 'belt-slip')!
        .wouldDecide.slice(0, 60);
    expect(changed('before.csv', before!.replace('Rotor speed (rpm)', 'Unknown'))).toMatch(/^Log rotor speed with both setups\. /);
    const [head, ...rows] = after!.trimEnd().split('\n');
    const [rpm, rotor] = ['Engine speed (rpm)', 'Rotor speed (rpm)'].map((name) => head!.split(',').indexOf(name));
    const blank = rows.map((line) => line.split(',').map((cell, at, cells) => (at === rotor && Number(cells[rpm!]) > 4000 ? '' : cell)));
    const text = [head, ...blank.map((cells) => cells.join(','))].join('\n');
    expect(changed('after.csv', `${text}\n`)).toMatch(/^Log rotor speed throughout the pulls\. /);
  });

  test('the reading of pressures and temperatures follows the units of the trial', () => {
    const imperial = run(made, made.trial.replace('units: metric', 'units: imperial')).topEnd!.comparisons[0]!;
    const sentence = (analysis: TopEndAnalysis): string => analysis.observations.find(({ id }) => id === 'manifold-pressure')!.sentence;
    expect(sentence(pair)).toContain('kPa');
    expect(sentence(imperial)).toContain('psi');
  });
});

test('an engine without a blower: belt, capacity and bypass are left out with the reason', () => {
  const naturally = topEndCase(20, { range: 'wide', fault: 'spark-knock' });
  expect(naturally.blown).toBe(false);
  const { comparisons, setups } = run(naturally).topEnd!;
  expect(comparisons[0]!.leftOut.map(({ cause }) => cause).sort()).toEqual([
    'belt-slip',
    'blower-capacity',
    'bypass-or-leak',
    'own-breathing',
  ]);
  expect(comparisons[0]!.leftOut.find(({ cause }) => cause === 'belt-slip')!.reason).toContain('no boost');
  sound(comparisons[0]!);
  for (const single of setups) sound(single);
});

test('controlled boost has no belt to slip', () => {
  const made = topEndCase(2, { range: 'narrow', fault: 'spark-knock' });
  const turbo = made.trial.replace('boost-control: fixed-ratio', 'boost-control: controlled');
  expect(run(made, turbo).topEnd!.comparisons[0]!.leftOut.map(({ cause }) => cause)).toContain('belt-slip');
});

test('a sensor at its ceiling: boost fades, power does not, and the reading is not weighed', () => {
  const made = topEndCase(4, { range: 'narrow', fault: 'sensor-ceiling' });
  const pair = run(made).topEnd!.comparisons[0]!;
  expect(pair.fade.kind).toBe('boost');
  expect(pair.leading).toEqual(['sensor-ceiling']);
  expect(pair.observations.find(({ id }) => id === 'manifold-pressure')!.sentence).toContain('not weighed');
  expect(
    pair.causes
      .flatMap(({ speaksFor, speaksAgainst }) => [...speaksFor, ...speaksAgainst])
      .some(({ observation }) => observation === 'manifold-pressure'),
  ).toBe(false);
});

test('nothing that fades, nothing to ask; pulls too short say so', () => {
  const made = topEndCase(5, { range: 'narrow', fault: 'too-few-data' });
  const { comparisons } = run(made).topEnd!;
  expect(['nothing fades', 'too few data']).toContain(comparisons[0]!.answer);
  expect(comparisons[0]!.causes).toEqual([]);
  const short = run(made, made.trial.replaceAll('.csv, outing', '.csv, to: 4 s, outing')).topEnd!.comparisons[0]!;
  expect(short.answer).toBe('too few data');
  expect(short.next).toHaveLength(1);
});

describe('one setup by itself', () => {
  // Source: the simulation's own power of the engine with its faults, which shares no code with what is measured.
  test.each([...topEndFaults].slice(0, 13).map((fault, i) => [fault, 900_301 + i] as const))(
    'falls past its peak where the engine does: %s',
    (fault, seed) => {
      const made = topEndCase(seed, { range: 'wide', fault });
      const { fade, sentence } = run(made).topEnd!.setups[1]!;
      const [end, peak] = [fade.endRpm!, fade.peakRpm!];
      expect(end[1] - end[0]).toBe(peak[1] - peak[0]);
      expect(peak[1]).toBeLessThan(end[0]);
      const meanLog = (from: number): number => {
        const logs: number[] = [];
        for (let rpm = from; rpm <= from + end[1] - end[0]; rpm += 50) logs.push(Math.log(made.laterPowerW(rpm)));
        return logs.reduce((sum, value) => sum + value, 0) / logs.length;
      };
      let truth = Number.NEGATIVE_INFINITY;
      for (let from = fade.lowRpm![0]; from <= peak[0] || from + end[1] - end[0] < end[0]; from += 50)
        truth = Math.max(truth, meanLog(from));
      truth -= meanLog(end[0]);
      expect(Math.abs(fade.fade! - truth)).toBeLessThan(4 * fade.fadeSpread! + 0.005);
      if (truth < 0) expect(fade.kind).not.toBe('power');
      if (truth > 0.02 + 4 * fade.fadeSpread!) expect(fade.kind).toBe('power');
      if (fade.kind === 'power') expect(sentence).toContain(`${thousands(end[0])}–${thousands(end[1])} rpm against ${thousands(peak[0])}–`);
      if (fade.kind === 'power') expect(sentence).toContain('below its largest before');
    },
  );

  test('nothing fades of the sample setups, whose power is largest at the last engine speed', () => {
    const folder = new URL('../../../sample-logs/', import.meta.url);
    const open = (path: string) => ({ chunks: readFileSync(new URL(path, folder)), sha256: () => path });
    const { setups, topEnd } = runTrial(readFileSync(new URL('trial.yaml', folder), 'utf8'), 'trial.yaml', open);
    for (const [i, { curves }] of setups.entries()) {
      const { value, engineSpeedRpm } = curves.wheelPowerW!;
      const known = engineSpeedRpm.flatMap((rpm, k) => (value[k] === null ? [] : [{ rpm, powerW: value[k]! }]));
      expect(known.reduce((best, one) => (one.powerW > best.powerW ? one : best)).rpm).toBe(known.at(-1)!.rpm);
      const { answer, sentence, fade } = topEnd!.setups[i]!;
      expect(answer).toBe('nothing fades');
      expect(fade.fade).toBeLessThan(0);
      expect(sentence).toMatch(
        /^Power is larger at the end of the pulls \(6,\d{3}–6,550 rpm\) than in any stretch before, so nothing fades\.$/,
      );
    }
  });
});
