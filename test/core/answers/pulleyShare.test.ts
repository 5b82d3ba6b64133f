import { randomStream } from '@pullproof/core';
import { describe, expect, test } from 'vitest';
import { type PulleyCurves, pulleyParts, pulleySentence } from '../../../packages/core/src/answers/pressure/pulleyShare.js';
import { isRoundingOf, numbersIn } from './numbersIn.js';

/** Invented curves: the share of the expected change runs from one value at the bottom to another at the top. */
function curves(shareLow: number, shareTop: number, noise = 0, seed = 1): PulleyCurves {
  const stream = randomStream(seed);
  const rpm = Array.from({ length: 61 }, (_, i) => 2500 + 60 * i);
  const was = rpm.map((n) => 1.6 + (n - 2500) / 9000);
  const expected = was.map((ratio) => 1.08 * ratio);
  const seen = was.map(
    (ratio, i) => ratio + (expected[i]! - ratio) * (shareLow + ((shareTop - shareLow) * i) / 60) + noise * stream.normal(),
  );
  return { rpm, was, expected, seen, low: was.map((ratio) => 1.05 * ratio), high: was.map((ratio) => 1.11 * ratio) };
}

describe('what the pulley gave', () => {
  test('low, middle and top are judged by themselves, and where the top falls behind is told', () => {
    const parts = pulleyParts(curves(1, 0.2));
    expect(parts.map(({ part, judged }) => [part, judged])).toEqual([
      ['low', 'as expected'],
      ['middle', 'as expected'],
      ['top', 'less'],
    ]);
    const sentence = pulleySentence(1.05, parts);
    const [low, , top] = parts;
    expect(sentence).toContain('The drive ratio went up by 5.0%.');
    expect(sentence).toContain(`low: seen ${low!.seen.toFixed(2)} of ${low!.expected.toFixed(2)} expected at 3,040 rpm, as expected`);
    expect(sentence).toMatch(/From 4,\d\d0 rpm it falls behind\. Where it is less, that is less than the pulley should give: belt slip/);
    // Everything from there up is less than two thirds of what was expected.
    expect(top!.behindFromRpm!).toBeGreaterThan(4300);
    expect(top!.behindFromRpm!).toBeLessThan(5000);
  });

  test('one judgement over the whole range is said once, at one engine speed', () => {
    expect(pulleySentence(1.05, pulleyParts(curves(1, 1)))).toMatch(
      /^The drive ratio went up by 5\.0%\. Pressure ratio \(expected by a model\): seen 1\.\d\d of \d\.\d\d expected at [\d,]+ rpm\. Over the whole range that is about what the pulley should give\.$/,
    );
    expect(pulleySentence(0.95, pulleyParts(curves(0, 0)))).toContain('went down by 5.0%');
    expect(pulleySentence(1.05, pulleyParts(curves(0, 0)))).toContain('less than the pulley should give');
    expect(pulleySentence(1.05, pulleyParts(curves(2, 2)))).toContain('look for another change');
    expect(pulleySentence(1.05, [])).toContain('beyond the model');
  });

  test('in 200 random cases every number is that of the part at its one engine speed', () => {
    const stream = randomStream(20);
    for (let seed = 1; seed <= 200; seed++) {
      const all = curves(1.8 * stream.uniform(), 1.8 * stream.uniform(), 0.01 * stream.uniform(), seed);
      const parts = pulleyParts(all);
      const change = 0.9 + 0.25 * stream.uniform();
      const numbers = numbersIn(pulleySentence(change, parts));
      expect(isRoundingOf(numbers[0]!, 100 * (change - 1), 1)).toBe(true);
      const told = numbers.slice(1);
      const shown = told.length === 3 ? [parts.find(({ part }) => part === 'middle')!] : parts;
      shown.forEach(({ seen, expected, engineSpeedRpm, behindFromRpm }, i) => {
        const at = all.rpm.indexOf(engineSpeedRpm);
        expect([seen, expected]).toEqual([all.seen[at], all.expected[at]]);
        expect(isRoundingOf(told[3 * i]!, seen, 2)).toBe(true);
        expect(isRoundingOf(told[3 * i + 1]!, expected, 2)).toBe(true);
        expect(told[3 * i + 2]).toBe(engineSpeedRpm);
        if (shown.length > 1 && behindFromRpm !== null) expect(told[3 * i + 3]).toBe(behindFromRpm);
      });
      expect(told.length).toBe(3 * shown.length + (shown.length > 1 && shown.at(-1)!.behindFromRpm !== null ? 1 : 0));
    }
  });
});
