import { randomStream } from '@pullproof/core';
import { describe, expect, test } from 'vitest';
import { reasonsOf, type SeenPass } from '../../../packages/core/src/answers/strip/slipReasons.js';
import type { TrialSlip } from '../../../packages/core/src/answers/strip/trialSlips.js';
import { isRoundingOf, numbersIn } from './numbersIn.js';

const slipOf = (et: number): TrialSlip => ({ usable: { timesS: { '1320ft': et }, trapsMps: {} } }) as unknown as TrialSlip;
const about = (value: number, half: number) => ({ value, low: value - half, high: value + half });

function drawn(seed: number) {
  const stream = randomStream(seed);
  const between = (low: number, high: number): number => low + (high - low) * stream.uniform();
  const et = between(10, 18);
  const marks = ['60ft', '330ft', '660ft', '1000ft', '1320ft'] as const;
  const seen = {
    aligned: {
      offsetS: about(between(-0.6, 1.1), 0.03),
      speedScale: about(between(0.96, 1.04), 0.002),
      splits: marks.map((mark, i) => {
        const slipS = (et * (i + 1)) / 5;
        const logS = slipS + (stream.uniform() < 0.3 ? between(-0.2, 0.2) : 0);
        return { mark, slipS, logS, low: logS - 0.01, high: logS + 0.01, usedInFit: true };
      }),
    },
    source: 'Road speed',
    launch:
      stream.uniform() < 0.7
        ? {
            kind: (['two-step', 'converter', 'clutch'] as const)[Math.floor(3 * stream.uniform())]!,
            engineSpeedRpm: between(1500, 6000),
            pedal: stream.uniform() < 0.5 ? between(0, 1) : null,
          }
        : null,
    launchSpin: stream.uniform() < 0.7 ? between(0, 0.3) : null,
    topGrowth: stream.uniform() < 0.7 ? between(-0.03, 0.05) : null,
    liftS: stream.uniform() < 0.5 ? between(et - 2, et + 1) : null,
    shiftsS: [],
  } as unknown as SeenPass;
  return { et, seen, powerScale: about(between(0.85, 1.15), between(0.01, 0.08)) };
}

describe('slip, log and pulls in words', () => {
  test('in 200 random cases every number of a sentence is the one of the result that it names', () => {
    const kinds = new Set<string>();
    for (let seed = 1; seed <= 200; seed++) {
      const { et, seen, powerScale } = drawn(seed);
      const { aligned, launch, launchSpin, topGrowth, liftS } = seen;
      for (const reason of reasonsOf(slipOf(et), seen, powerScale)) {
        const numbers = numbersIn(reason);
        const places: readonly (readonly [RegExp, readonly (readonly [number, number])[]])[] = [
          [/clock starts .* before the car moves/, [[aligned.offsetS.value, 2]]],
          [/clock starts .* after the car first moves/, [[aligned.offsetS.value, 2]]],
          [
            /^Roll-out/,
            [
              [aligned.offsetS.value, 2],
              [et + aligned.offsetS.value, 2],
            ],
          ],
          [/^Launch/, [[launch?.engineSpeedRpm ?? Number.NaN, 0], ...(launch?.pedal == null ? [] : [[100 * launch.pedal, 0] as const])]],
          [/reads low/, [[100 * (aligned.speedScale.value - 1), 1]]],
          [/reads high/, [[100 * (1 / aligned.speedScale.value - 1), 1]]],
          [
            /log and slip differ/,
            aligned.splits.filter(({ mark }) => reason.includes(`At ${mark} `)).map(({ slipS, logS }) => [logS! - slipS!, 3] as const),
          ],
          [/every difference is inside/, []],
          [/wheels spun/, [[100 * (launchSpin ?? Number.NaN), 1]]],
          [/^Near the stripe/, [[100 * (topGrowth ?? Number.NaN), 1]]],
          [/^You lifted/, [[liftS ?? Number.NaN, 2]]],
          [
            /Trap speed and pulls agree|calls for (less|more) power/,
            [powerScale.value, powerScale.low, powerScale.high].map((value) => [100 * value, 1] as const),
          ],
        ];
        const place = places.find(([pattern]) => pattern.test(reason));
        expect(place, reason).toBeDefined();
        kinds.add(place![0].source);
        expect(numbers.length, reason).toBe(place![1].length);
        place![1].forEach(([value, digits], i) => {
          expect(isRoundingOf(numbers[i]!, value, digits), `${reason} against ${value}`).toBe(true);
        });
      }
    }
    expect(kinds.size).toBe(12);
  });

  test('reaction, roll-out, creep and launch are told apart', () => {
    const { seen } = drawn(3);
    const said = (offset: number, launch: SeenPass['launch'] = null): string =>
      reasonsOf(slipOf(13), { ...seen, launch, aligned: { ...seen.aligned, offsetS: about(offset, 0.02) } }, null).join(' ');
    expect(said(-0.5)).toContain('take the reaction time off every time');
    expect(said(0.3)).toContain('Roll-out: 0.30 s from the first movement to the start of the clock, so 13.30 s from the first movement');
    expect(said(1)).toContain('the car crept');
    expect(said(0.3, { kind: 'two-step', engineSpeedRpm: 4012, pedal: 0.98 })).toContain(
      'a two-step held the engine at 4,012 rpm, pedal at 98%',
    );
    expect(said(0.3, { kind: 'converter', engineSpeedRpm: 2306, pedal: null })).toContain('the brakes held the converter at 2,306 rpm.');
  });
});
