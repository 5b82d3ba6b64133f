import { checkSlip, type Slip, stripMarks, usableSlip } from '@pullproof/core';
import { describe, expect, test } from 'vitest';

const MPH = 0.44704;
const good: Slip = {
  timesS: { '60ft': 2.01, '330ft': 5.62, '660ft': 8.55, '1000ft': 11.09, '1320ft': 13.24 },
  trapsMps: { '660ft': 84.1 * MPH, '1320ft': 106.3 * MPH },
};
const all = (slip: Slip) => checkSlip(slip, (kind, mark) => ({ path: 'trial.yaml', field: `slips[0].${kind}.${mark}` }));
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

describe('words about a slip', () => {
  const where = (field: string) => ({ path: 'trial.yaml', field: `slips[0].${field}` });

  test('splits out of order: which, both times, and what to look for', () => {
    expect(all(times({ '330ft': 8.55, '660ft': 5.62 }))).toEqual([
      {
        code: 'SLIP_ORDER',
        severity: 'error',
        message: 'The 330ft time, 8.550 s, is not before the 660ft time, 5.620 s, so it is not used.',
        where: where('times.330ft'),
        fix: 'Two cells are swapped, or a digit is wrong: compare with the printed slip.',
      },
      {
        code: 'SLIP_ORDER',
        severity: 'error',
        message: 'The 660ft time, 5.620 s, is not after the 330ft time, 8.550 s, so it is not used.',
        where: where('times.660ft'),
        fix: 'Two cells are swapped, or a digit is wrong: compare with the printed slip.',
      },
    ]);
    expect(all({ timesS: { '660ft': 8, '1000ft': 8 }, trapsMps: {} })[1]!.message).toBe(
      'The 1000ft time, 8.000 s, is not after the 660ft time, 8.000 s, so it is not used.',
    );
  });

  test.each([
    ['60ft', 25.6, 'The 60ft time, 25.600 s, is not before the 330ft time, 5.620 s, so it is not used.'],
    ['330ft', 56.2, 'The 330ft time, 56.200 s, is not before the 660ft time, 8.550 s, so it is not used.'],
    ['1000ft', 1.109, 'The 1000ft time, 1.109 s, is not after the 60ft time, 2.010 s, so it is not used.'],
    ['1320ft', 1.324, 'The 1320ft time, 1.324 s, is not after the 60ft time, 2.010 s, so it is not used.'],
  ] as const)('a point set wrong in the %s time puts that time out, not its neighbours', (mark, value, message) => {
    const errors = all(times({ [mark]: value })).filter(({ severity }) => severity === 'error');
    expect(errors.map(({ message: text, where: place }) => [text, place.field])).toEqual([[message, `slips[0].times.${mark}`]]);
  });

  test('a mean speed that no car has', () => {
    // 100.584 m in 0.5 s are 201 m/s, 450 mph; the 18.288 m before them are not judged by a mean.
    const [first, ...rest] = all({ timesS: { '330ft': 0.5, '1320ft': 9 }, trapsMps: {} });
    expect(first).toEqual({
      code: 'SLIP_ORDER',
      severity: 'error',
      message: 'Up to 330ft the slip means 450 mph on average.',
      where: where('times.330ft'),
      fix: 'A digit is wrong: compare with the printed slip.',
    });
    expect(rest.map(({ code }) => code)).toEqual(['SLIP_MISSING', 'SLIP_MISSING', 'SLIP_MISSING']);
    // 201.168 m in 1.1 s are 183 m/s, in 1.2 s 168 m/s.
    const between = (seconds: number) => all({ timesS: { '660ft': 8, '1320ft': 8 + seconds }, trapsMps: {} }).map(({ code }) => code);
    expect(between(1.1)).toContain('SLIP_ORDER');
    expect(between(1.2)).not.toContain('SLIP_ORDER');
    expect(all({ timesS: { '60ft': 0.05 }, trapsMps: {} }).map(({ code }) => code)).toEqual(['SLIP_EIGHTH']);
  });

  test('a speed that the times exclude: both, and what it may be', () => {
    // 97.536 m from 11.09 to 13.24 s are 45.37 m/s, 101.5 mph.
    const slow = all(speeds({ '1320ft': 60 * MPH }));
    expect(slow).toEqual([
      {
        code: 'SLIP_SPEED',
        severity: 'error',
        message: 'The 1320ft speed, 60.00 mph (96.6 km/h), does not fit the times: since the 1000ft the car averaged 101.5 mph.',
        where: where('speeds.1320ft'),
        fix: 'Compare speed and times with the printed slip; a lift before the stripe also makes it slow.',
      },
    ]);
    expect(all(speeds({ '1320ft': 106.3 * 1.609344 * MPH }))[0]!.fix).toBe(
      'The number looks like km/h written as mph: write it with km/h.',
    );
    expect(all(speeds({ '660ft': (84.1 * MPH) / 1.609344 }))[0]!.fix).toBe('The number looks like mph written as km/h: write it with mph.');
    // Neither unit explains a speed that is three times too high, or three times too low.
    for (const share of [3, 1 / 3])
      expect(all(speeds({ '1320ft': share * 106.3 * MPH }))[0]!.fix).toBe(
        'Compare speed and times with the printed slip; a lift before the stripe also makes it slow.',
      );
  });

  test('a speed may be 3 % below the mean, and above it by three quarters of the share of the strip since the last split', () => {
    const judged = (share: number): number => {
      const mean = (402.336 - 304.8) / (13.24 - 11.09);
      return all(speeds({ '1320ft': share * mean })).filter(({ code }) => code === 'SLIP_SPEED').length;
    };
    // 1 + 0.75 · 97.536 / (402.336 − 20.1168) = 1.1914; even acceleration from rest would give 2 / (1 + √(304.8/402.336)) = 1.069.
    expect([0.969, 0.971, 1.19, 1.193].map(judged)).toEqual([1, 0, 0, 1]);
    // From the start alone a car crosses at twice its mean at most.
    const fromStart = (share: number): number =>
      all({ timesS: { '660ft': 8.55 }, trapsMps: { '660ft': (share * 201.168) / 8.55 } }).filter(({ code }) => code === 'SLIP_SPEED')
        .length;
    expect([0.969, 0.971, 1.999, 2.001].map(fromStart)).toEqual([1, 0, 0, 1]);
    expect(all({ timesS: { '660ft': 8.55 }, trapsMps: { '660ft': 100 } })[0]!.message).toMatch(
      /since the start the car averaged 52\.6 mph\.$/,
    );
    // Nor does the time of a later mark that stands before this one, which the other cells name as the wrong one of the two.
    const late = all({ timesS: { '330ft': 5.62, '660ft': 8.55, '1000ft': 8 }, trapsMps: { '660ft': 36 } });
    expect(late.map(({ code }) => code)).toEqual(['SLIP_ORDER', 'SLIP_MISSING']);
    expect(late[0]!.where.field).toContain('1000ft');
    // A later time that stands before this one does not count, nor does a speed without a time.
    expect(all({ timesS: { '330ft': 9, '660ft': 8.55 }, trapsMps: { '660ft': 40 } }).map(({ code }) => code)).not.toContain('SLIP_SPEED');
    expect(all({ timesS: { '660ft': 8.55 }, trapsMps: { '1320ft': 10 } }).map(({ code }) => code)).toEqual([
      'SLIP_EIGHTH',
      'SLIP_MISSING',
      'SLIP_MISSING',
    ]);
  });

  test('what it does not show', () => {
    const half = all({ timesS: { '330ft': 5.62, '660ft': 8.55 }, trapsMps: {} });
    expect(half).toEqual([
      {
        code: 'SLIP_EIGHTH',
        severity: 'note',
        message: 'The slip ends at 660ft: an eighth-mile slip. It is used for what it shows.',
        where: where('times.660ft'),
        fix: 'Add the quarter-mile time if the strip printed one.',
      },
      {
        code: 'SLIP_MISSING',
        severity: 'note',
        message: 'The slip has no 60ft time. Launch and power are hard to tell apart without it.',
        where: where('times.60ft'),
        fix: 'Copy it from the printed slip if it is there.',
      },
    ]);
    const { '330ft': _gone, ...others } = good.timesS;
    expect(all({ timesS: others, trapsMps: {} })).toEqual([
      {
        code: 'SLIP_MISSING',
        severity: 'note',
        message: 'The slip has no 330ft time.',
        where: where('times.330ft'),
        fix: 'Copy it from the printed slip if it is there.',
      },
    ]);
    const { '1320ft': _end, ...toThousand } = good.timesS;
    expect(all({ timesS: toThousand, trapsMps: {} })).toEqual([]);
    expect(all({ timesS: {}, trapsMps: {} })).toEqual([]);
  });

  test('a slip is used without the cells that an error names', () => {
    const slip = speeds({ '1320ft': 60 * MPH });
    const findings = [
      ...all(slip),
      { ...all(slip)[0]!, where: where('times.60ft') },
      { ...all(slip)[0]!, severity: 'note' as const, where: where('times.330ft') },
    ];
    const cellOf = ({ where: place }: (typeof findings)[number]) => {
      const [, kind, mark] = place.field!.split('.');
      return [kind as 'times' | 'speeds', stripMarks.find((one) => one === mark)!] as const;
    };
    const { '60ft': _bad, ...timesS } = good.timesS;
    expect(usableSlip(slip, findings, cellOf)).toEqual({ timesS, trapsMps: { '660ft': 84.1 * MPH } });
  });
});
