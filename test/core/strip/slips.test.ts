import { checkSlip, type Slip } from '@pullproof/core';
import { describe, expect, test } from 'vitest';

const MPH = 0.44704;
const good: Slip = {
  timesS: { '60ft': 2.01, '330ft': 5.62, '660ft': 8.55, '1000ft': 11.09, '1320ft': 13.24 },
  trapsMps: { '660ft': 84.1 * MPH, '1320ft': 106.3 * MPH },
};
const found = (slip: Slip): [string, string][] =>
  checkSlip(slip, (kind, mark) => ({ path: 'trial.yaml', field: `slips[0].${kind}.${mark}` })).map((f) => [
    f.code,
    `${f.where.field}: ${f.fix}`,
  ]);
const times = (over: Slip['timesS']): Slip => ({ ...good, timesS: { ...good.timesS, ...over } });
const speeds = (over: Slip['trapsMps']): Slip => ({ ...good, trapsMps: { ...good.trapsMps, ...over } });

describe('bad slips', () => {
  test('a good slip has nothing', () => {
    expect(found(good)).toEqual([]);
  });

  test.each([
    ['splits out of order', times({ '330ft': 8.55, '660ft': 5.62 }), 'SLIP_ORDER', /times\.660ft.*printed slip/],
    ['equal splits', times({ '1000ft': 8.55 }), 'SLIP_ORDER', /times\.1000ft/],
    ['a speed that the times exclude', speeds({ '1320ft': 60 * MPH }), 'SLIP_SPEED', /speeds\.1320ft/],
    ['km/h as mph', speeds({ '1320ft': 106.3 * 1.609344 * MPH }), 'SLIP_SPEED', /speeds\.1320ft.*km\/h/],
    ['mph as km/h', speeds({ '660ft': (84.1 * MPH) / 1.609344 }), 'SLIP_SPEED', /speeds\.660ft.*mph/],
    ['a missing split', { ...good, timesS: { '60ft': 2.01, '660ft': 8.55, '1320ft': 13.24 } }, 'SLIP_MISSING', /times\.330ft/],
    [
      'an eighth mile',
      { timesS: { '60ft': 2.01, '330ft': 5.62, '660ft': 8.55 }, trapsMps: { '660ft': 84.1 * MPH } },
      'SLIP_EIGHTH',
      /660ft/,
    ],
  ] as const)('%s', (_what, slip, code, fix) => {
    const all = found(slip);
    expect(
      all.some(([c, text]) => c === code && fix.test(text)),
      JSON.stringify(all),
    ).toBe(true);
  });
});
