import { checkSlip, type Slip, type StripMark, stripMarks } from '@pullproof/core';
import { describe, expect, test } from 'vitest';
import { mistypedStudy } from '../../../bench/stripStudy.js';

const mph = 0.44704;
// The slip of the trial file in DESIGN.md; an invented car.
const whole: Slip = {
  timesS: { '60ft': 2.01, '330ft': 5.62, '660ft': 8.55, '1000ft': 11.09, '1320ft': 13.24 },
  trapsMps: { '660ft': 84.1 * mph, '1320ft': 106.3 * mph },
};
const place = (kind: string, mark: StripMark) => ({ field: `${kind}.${mark}` });
const told = (slip: Slip) => checkSlip(slip, place).map(({ code, where, message }) => ({ code, field: where.field, message }));

describe('a cell that the rest of the slip excludes', () => {
  test('a whole slip is left alone', () => {
    expect(told(whole)).toEqual([]);
  });

  test.each(stripMarks.flatMap((mark) => [1, -1].map((by) => [mark, by] as const)))(
    '%s %s s off is found, and nothing else',
    (mark, by) => {
      const said = told({ ...whole, timesS: { ...whole.timesS, [mark]: whole.timesS[mark]! + by } });
      expect(said.map(({ field }) => field)).toEqual([`times.${mark}`]);
      // Source: the cell as it was printed.
      if (said[0]!.code === 'SLIP_MISTYPED') {
        const [, expected] = /makes it about ([\d.]+) s/.exec(said[0]!.message)!;
        expect(Math.abs(Number(expected) - whole.timesS[mark]!)).toBeLessThan(0.3);
        expect(said[0]!.message).toContain(`${(whole.timesS[mark]! + by).toFixed(2)} s, does not go with the rest of the slip`);
      } else expect(said[0]!.code).toBe('SLIP_ORDER');
    },
  );

  test.each([
    ['660ft', 10],
    ['660ft', -10],
    ['1320ft', 10],
    ['1320ft', -10],
  ] as const)('%s speed %s mph off is found, and nothing else', (mark, by) => {
    const said = told({ ...whole, trapsMps: { ...whole.trapsMps, [mark]: whole.trapsMps[mark]! + by * mph } });
    expect(said.map(({ field }) => field)).toEqual([`speeds.${mark}`]);
  });

  test('too few cells accuse nobody', () => {
    expect(told({ timesS: { '60ft': 2.01, '1320ft': 14.24 }, trapsMps: { '1320ft': 106.3 * mph } }).map(({ code }) => code)).not.toContain(
      'SLIP_MISTYPED',
    );
  });

  test('over simulated cars: none whole accused, nine of ten wrong cells named alone', () => {
    // Source: slips of packages/simulation; 1,000 cars in docs/strip.md.
    const { accused, times, timesAlone, speeds, speedsAlone } = mistypedStudy(60, 700_001);
    expect(accused).toBe(0);
    expect(timesAlone / times).toBeGreaterThan(0.88);
    expect(speedsAlone / speeds).toBeGreaterThan(0.88);
  });
});
