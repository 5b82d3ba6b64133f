import { readFileSync } from 'node:fs';
import { parseTrial, resolveTrial, runTrial, type TrialResult } from '@pullproof/core';
import { makeLog, plainLogger, studyAir, studyCar, studyPowerW } from '@pullproof/simulation';
import { describe, expect, it } from 'vitest';
import { mixtureReadings } from '../../../packages/core/src/answers/mixture/mixtureReadings.js';
import { gatherEvidence } from '../../../packages/core/src/pulls/index.js';
import { studyTrialYaml } from '../../../packages/simulation/src/studyCar.js';
import { changedSample } from './sampleText.js';

// The truth is the simulation's, which shares no code with what is tested.
interface World {
  readonly gain?: number;
  readonly gear?: number;
  readonly headwindMps?: number;
  readonly change?: (text: string) => string;
}

const drive = ({ gain = 0, gear = 3, headwindMps = 0, change = (text) => text }: World, seed: number): string =>
  change(
    makeLog({
      car: studyCar,
      around: { ...studyAir, headwindMps },
      engine: { fullLoadWheelPowerW: (rpm) => studyPowerW(rpm) * (1 + gain) },
      phases: [0, 1, 2].map((k) => ({ kind: 'pull', gear, fromRpm: 2400, toRpm: 6600, scale: 1 + 0.002 * (k - 1), leadS: 2 })),
      logger: plainLogger(),
      seed,
    }).text,
  );

const plainTrial = studyTrialYaml('Explanations', [
  { name: 'before', runs: [{ log: 'before.csv', outing: 'saturday' }] },
  { name: 'after', runs: [{ log: 'after.csv', outing: 'saturday' }] },
]);

function answer(before: World, after: World, edit: (trial: string) => string = (trial) => trial): TrialResult {
  const logs = new Map([
    ['before.csv', drive(before, 1)],
    ['after.csv', drive(after, 2)],
  ]);
  return runTrial(edit(plainTrial), 'trial.yaml', (path) => ({ chunks: new TextEncoder().encode(logs.get(path)!), sha256: () => path }));
}

const afterRun = (from: string, to: string) => (trial: string) => {
  const at = trial.indexOf('log: after.csv');
  return trial.slice(0, at) + trial.slice(at).replace(from, to);
};
const named = ({ comparisons }: TrialResult, name: string) => comparisons[0]!.explanations!.find((one) => one.name === name);

describe('what takes a claim away comes first, with what would settle it', () => {
  it('a sound gain has nothing against it', () => {
    const { overall, comparisons } = answer({}, { gain: 0.05 });
    expect(overall[0]!.verdict).toBe('gain');
    expect(comparisons[0]!.explanations!.filter(({ effect }) => effect.startsWith('takes'))).toEqual([]);
  });

  it('a wind entered with the wrong sign is weighed, and named', () => {
    // 4 m/s ahead in truth, entered as from behind.
    const result = answer({}, { headwindMps: 4 }, afterRun('wind: 0 m/s', 'wind: -4 m/s'));
    expect(result.overall[0]).toMatchObject({ verdict: 'cannot tell' });
    expect(result.overall[0]!.because![0]).toMatchObject({ explanation: 'wind as entered', code: 'OTHER_CHANGE_COULD_EXPLAIN' });
    expect(result.overall[0]!.sentence).toMatch(
      /^Cannot tell: the wind was entered as 0\.0 m\/s before and −4\.0 m\/s after\. .*Check wind, and its sign/,
    );
  });

  it('a fuel level off by 30 L in one setup takes a loss that it could make', () => {
    const result = answer({}, {}, afterRun('fuel-in-tank: 40 L', 'fuel-in-tank: 8 L'));
    expect(result.overall[0]!.verdict).not.toMatch(/gain|loss|mixed/);
    expect(named(result, 'fuel as entered')!.sentence).toBe('the weight of fuel was entered as 30 kg before and 6 kg after');
  });

  it('wind that nobody entered counts within an outing too, less where the direction is told', () => {
    const open = (trial: string) => trial.replaceAll('wind: 0 m/s, ', '');
    const middle = (result: TrialResult) => named(result, 'wind not entered')!.highW[40]!;
    const untold = middle(answer({}, {}, open));
    const told = middle(answer({}, {}, (trial) => open(trial).replaceAll('outing:', 'direction: north, outing:')));
    expect(untold).toBeGreaterThan(0);
    expect(untold / told).toBeCloseTo(2.5, 2);
  });

  it('a pedal that one setup did not press down is named', () => {
    const lifted = (text: string) => text.replace(/,100$/gm, ',85');
    const result = answer({}, { gain: -0.06, change: lifted });
    expect(result.overall[0]).toMatchObject({ verdict: 'cannot tell' });
    expect(result.overall[0]!.sentence).toContain('the pedal was 15% less open in the pulls after the change');
  });

  it('missing weather of one day is said as such, with how many numbers', () => {
    const result = answer({}, { gain: 0.03 }, (trial) =>
      afterRun('outing: saturday', 'outing: sunday')(trial).replace(/(log: after.*?), air: \{[^}]*\}/, '$1'),
    );
    expect(result.overall[0]!.reasons).toContain('WEATHER_UNKNOWN');
    expect(result.overall[0]!.sentence).toMatch(
      /^Cannot tell: the weather of sunday is missing\. .*Enter three numbers: air: \{ temperature, pressure, humidity \} for sunday\./,
    );
  });

  it('thinner air that may hide a gain is said, and counts in what could be claimed', () => {
    const result = answer({}, {}, afterRun('pressure: 99.2 kPa', 'pressure: 95.2 kPa'));
    expect(result.overall[0]!.verdict).toBe('no clear change');
    expect(result.overall[0]!.sentence).toContain('A change may hide: the air was 4.1% thinner after the change.');
    expect(named(result, 'air')).toMatchObject({ effect: 'may hide', hides: 'gain' });
    expect(result.overall[0]!.couldShowW!).toBeGreaterThan(0.04 * 150e3);
  });
});

describe('a difference that no usual part makes', () => {
  it('is not claimed until the trial expects it, with a reason', () => {
    const huge = (edit?: (trial: string) => string) => answer({}, { gain: 0.3 }, edit).overall[0]!;
    expect(huge().sentence).toMatch(
      /^Cannot tell: a difference of 3\d% at [\d,]+ rpm is more than usual parts make without a change of manifold pressure\. .*Check first/,
    );
    expect(huge((trial) => `${trial}expected: large\n`).verdict).toBe('cannot tell');
    expect(huge((trial) => `${trial}expected: large\nreason: turbocharger fitted\n`).verdict).toBe('gain');
  });
});

describe('gear and start', () => {
  const inFourth = (edit: (trial: string) => string) => answer({}, { gain: 0.05, gear: 4 }, edit);
  it('another gear is welcome without boost', () => {
    expect(inFourth((trial) => trial).overall[0]!.verdict).toBe('gain');
  });
  it('and weighed where boost may build with time', () => {
    const result = inFourth((trial) => trial.replace('boost-control: none', 'boost-control: controlled'));
    expect(named(result, 'gear and start')!.sentence).toContain('the pulls were made in different gears');
    const claimed = result.comparisons[0]!.regions.filter(({ verdict }) => verdict !== 'no clear change');
    for (const { fromRpm } of claimed) expect(fromRpm).toBeGreaterThan(3800);
  });
});

describe('slip', () => {
  // A clutch that slips by 6 % more at the end of each pull: engine speed as logged is raised along it.
  const slipping = (text: string): string => {
    const [head, ...rows] = text.trimEnd().split('\n');
    let along = 0;
    return `${[
      head,
      ...rows.map((row) => {
        const cells = row.split(',');
        const rpm = Number(cells[1]);
        along = Number(cells[3]) > 90 ? Math.max(0, (rpm - 2400) / 4200) : 0;
        return [cells[0], Math.round(rpm * (1 + 0.06 * along)), ...cells.slice(2)].join(',');
      }),
    ].join('\n')}\n`;
  };
  it('that grows along the pulls of one setup is found, power taken from road speed, and no gain made of it', () => {
    const result = answer({}, { change: slipping });
    expect(result.findings.map(({ code }) => code)).toContain('DRIVE_SLIPS');
    expect(named(result, 'slip')!.sentence).toContain('slips more along the pulls of after');
    expect(result.overall[0]!.verdict).not.toMatch(/gain|loss|mixed/);
  });
});

describe('what survived changed code', () => {
  it('a litre of fuel entered is uncertain by itself: 2 L a run, not shared with the other runs', () => {
    // Source: 2 L at 0.745 kg/L, and 0.5 % of the density on 40 L less 40 L weighed: 1.49 kg.
    const [before] = resolveTrial(parseTrial(plainTrial, 'trial.yaml')).setups;
    expect(before!.runs[0]!.massOwnSpreadKg).toBeCloseTo(1.49, 2);
  });

  it('a pull that starts 10 K hotter may cost up to 0.3 % a kelvin', () => {
    const folder = new URL('../../../sample-logs/', import.meta.url);
    const read = (path: string): string => readFileSync(new URL(path, folder), 'utf8');
    const hotter = (text: string): string => changedSample(text, 'Charge temperature', (celsius) => celsius + 10, 2);
    const result = runTrial(read('trial.yaml').replace(/\nslips:[\s\S]*/, '\n'), 'trial.yaml', (path) => ({
      chunks: new TextEncoder().encode(path.startsWith('pulley') ? hotter(read(path)) : read(path)),
      sha256: () => path,
    }));
    const pair = result.comparisons.find(({ before, after }) => before === 'base' && after === '74 mm pulley')!;
    const start = pair.changedBesides.find(({ quantity }) => quantity === 'charge-temperature-at-start')!;
    const [from, to] = start.spanRpm!;
    const region = pair.regions.find(({ fromRpm, toRpm }) => fromRpm === from && toRpm === to)!;
    const powerW = region.meanW / region.meanShare;
    expect(start.couldExplainW! / powerW / (start.after! - start.before!)).toBeCloseTo(-0.003, 3);
  });

  it('lambda counts from half a second after the pedal went down, and from no later', () => {
    // Common practice, no source: old gas and wall film need that long.
    const folder = new URL('../../../sample-logs/', import.meta.url);
    const trial = parseTrial(readFileSync(new URL('trial.yaml', folder), 'utf8'), 'trial.yaml');
    const { setups } = gatherEvidence(trial, (path) => ({ chunks: readFileSync(new URL(path, folder)), sha256: () => path }));
    for (const setup of setups) {
      const readings = mixtureReadings(setup, [])!;
      const after = Array.from(readings.pull, (pull, i) => readings.timeS[i]! - setup.used[pull]!.pull.startS);
      const first = Math.min(...after);
      expect(first).toBeGreaterThanOrEqual(0.5);
      expect(first).toBeLessThan(0.56);
    }
  });
});
