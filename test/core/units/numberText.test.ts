import { changeText, numberText, rpmText } from '@pullproof/core';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';

describe('numberText', () => {
  it.each([
    [2900, 0, false, '2,900'],
    [1234567.891, 2, false, '1,234,567.89'],
    [-4210.4, 0, false, '−4,210'],
    [11.2, 0, true, '+11'],
    [-0.04, 1, true, '0.0'],
    [0, 0, true, '0'],
    [999.95, 1, false, '1,000.0'],
  ])('writes %d with %d decimals, signed %s, as %s', (value, decimals, signed, text) => {
    expect(numberText(value, decimals, { signed })).toBe(text);
  });

  it.each([null, undefined, Number.NaN, Number.POSITIVE_INFINITY])('shows %s as no number', (value) => {
    expect(numberText(value, 1)).toBe('–');
  });

  it('reads back to the number within half of its last digit', () => {
    fc.assert(
      fc.property(fc.double({ min: -1e9, max: 1e9, noNaN: true }), fc.integer({ min: 0, max: 4 }), (value, decimals) => {
        const back = Number(numberText(value, decimals).replaceAll(',', '').replace('−', '-'));
        expect(Math.abs(back - value)).toBeLessThanOrEqual(0.5 * 10 ** -decimals + 1e-6);
      }),
      { seed: 4 },
    );
  });
});

it.each([
  [850, '850 rpm'],
  [6549.7, '6,550 rpm'],
  [Number.NaN, '– rpm'],
])('an engine speed of %d is read as %s', (rpm, text) => {
  expect(rpmText(rpm)).toBe(text);
});

describe('changeText', () => {
  it.each([
    [-10.92, '−11'],
    [9.95, '+10'],
    [9.94, '+9.9'],
    [-0.04, '0.0'],
    [1234.5, '+1,235'],
    [null, '–'],
    [Number.NaN, '–'],
  ])('writes %s as %s', (value, text) => {
    expect(changeText(value)).toBe(text);
  });
});
