import { marginText, type TrialResult } from '@pullproof/core';
import { describe, expect, test } from 'vitest';
import { firstScreen } from '../../packages/cli/src/terminal/firstScreen.js';
import { inertText } from '../../packages/cli/src/terminal/inertText.js';
import { visibleWidth } from '../../packages/cli/src/terminal/layout.js';
import { nextSteps } from '../../packages/cli/src/terminal/nextSteps.js';
import { type Style, styleFor } from '../../packages/cli/src/terminal/style.js';
import { inventedTrials } from '../report/inventedTrials.js';

const style: Style = styleFor({ write: () => undefined, isTTY: false, columns: 80 }, { LANG: 'C.UTF-8' });
const screen = (result: TrialResult) => firstScreen(result, style, null);

describe('the first screen of invented results', () => {
  test.each(Object.keys(inventedTrials))(
    '%s: at most 40 lines of 80 columns for up to three setups, and nothing that is not a number',
    (name) => {
      const result = inventedTrials[name]!;
      const text = screen(result);
      const lines = text.trimEnd().split('\n');
      if (result.setups.length <= 3) expect(lines.length).toBeLessThanOrEqual(40);
      for (const line of lines) expect(visibleWidth(line.replace(/\S{60,}/g, '')), line).toBeLessThanOrEqual(80);
      expect(text).not.toMatch(/NaN|undefined|\[object|Infinity/);
      expect(text).not.toMatch(/[\u0000-\u0009\u000b-\u001f\u007f-\u009f\u202a-\u202e\u2066-\u2069]/);
      if (result.warning.level !== 'stop') for (const { verdict } of result.overall) expect(text).toContain(verdict.toUpperCase());
    },
  );

  test('a stop is what is read first, and nothing then asks for another pull', () => {
    const gain = inventedTrials.gain!;
    const stopped: TrialResult = {
      ...gain,
      warning: {
        level: 'stop',
        sentence: 'Stop.',
        details: [{ quantity: 'lambda', level: 'stop', text: 'Lambda stayed at 0.96 at 4,510 rpm under boost, limit 0.86.' }],
      },
    };
    const lines = screen(stopped).split('\n');
    const stop = lines.findIndex((line) => line.startsWith('STOP: no more full-throttle pulls'));
    const verdict = lines.findIndex((line) => /GAIN|LOSS|CLEAR|CANNOT/.test(line));
    expect(stop).toBeGreaterThanOrEqual(0);
    expect(stop).toBeLessThanOrEqual(2);
    expect(stop).toBeLessThan(verdict);
    expect(lines.join(' ')).toContain('Lambda stayed at 0.96');
    expect(nextSteps(stopped).join(' ')).not.toMatch(/\b(?:log|pull)s? (?:at least|more|both|pulls)/i);
    expect(screen(stopped)).not.toContain('To narrow the margin');
  });

  test('a bolt beyond its proof load comes before what the verdict asks for', () => {
    const gain = inventedTrials.gain!;
    const bolt = { code: 'W_FASTENER_TORQUE', severity: 'warning', message: 'Too tight.', where: {}, fix: 'Check it.' } as const;
    expect(nextSteps({ ...gain, findings: [...gain.findings, bolt] })[0]).toBe('Too tight. Check it.');
  });

  test('what the pulls weigh is a guess: percent first', () => {
    const gain = inventedTrials.gain!;
    const assumed = { quantity: 'mass', value: 1500, unit: 'kg', spread: 200, source: '', where: 'every run', field: 'car.weighed' };
    const first = (result: TrialResult) => /GAIN: (\S+) ?(\S+)/.exec(screen(result))!;
    expect(first({ ...gain, assumptions: [assumed] })[1]).toMatch(/%$/);
    expect(first({ ...gain, assumptions: [] })[2]).toMatch(/^(?:hp|kW)$/);
  });

  test('the answer is there where every name is hostile', () => {
    for (const result of Object.values(inventedTrials))
      for (const { before } of result.overall)
        expect(screen(result).replaceAll(/\s+/g, ' ')).toContain(inertText(before, 40).replaceAll(/\s+/g, ' '));
  });
});

test('sizes are rounded by their margin, and a range that takes in both directions has signs', () => {
  expect(marginText(14.4, 10.9, 17.2)).toEqual({ size: '14', range: '11 to 17' });
  expect(marginText(-14.6, -21.1, -8.1)).toEqual({ size: '15', range: '8 to 21' });
  expect(marginText(7.04, 5.42, 8.6)).toEqual({ size: '7.0', range: '5.4 to 8.6' });
  expect(marginText(1, -3, 5)).toEqual({ size: '1', range: '−3 to +5' });
});
