import { findChannel, freshSamples, type Log, randomStream, readLog } from '@pullproof/core';
import { describe, expect, it } from 'vitest';
import { utf8 } from './fixture.js';

const names = ['Coolant temperature (°C)', 'MAP (kPa)', 'Engine speed (rpm)', 'Vehicle speed (km/h)', 'Throttle position (%)'];

function read(rows: readonly string[]): Log {
  return readLog(utf8(`Time (s),${names.join(',')}\n${rows.join('\n')}\n`), { path: 'a.csv' });
}

/** A logger that asks one channel a row and holds the others; rows at 0.1 s. `lost` rows are skipped without a row, which moves the round. */
function polled(count: number, lost: ReadonlySet<number> = new Set()): { readonly log: Log; readonly asked: number[][] } {
  const random = randomStream(3);
  const held = ['', '', '', '', ''];
  const asked: number[][] = [[], [], [], [], []];
  const rows: string[] = [];
  let turn = 0;
  for (let i = 0; i < count; i++) {
    if (lost.has(i)) turn++;
    const channel = turn % 5;
    turn++;
    held[channel] = [
      String(88 + Math.floor(i / 400)),
      (98 + Math.round(20 * random.uniform())).toString(),
      (2000 + Math.round(50 * random.uniform())).toString(),
      String(60 + Math.round(3 * random.uniform())),
      '83.5',
    ][channel]!;
    asked[channel]!.push(i);
    rows.push(`${(i * 0.1).toFixed(1)},${held.join(',')}`);
  }
  return { log: read(rows), asked };
}

const freshRows = (log: Log, quantity: Parameters<typeof findChannel>[1]) => [...freshSamples(log, findChannel(log, quantity)!).rows];

describe('a logger that asks one channel at a time', () => {
  it('is seen from who changes when; a repeated value is still a new reading', () => {
    const { log, asked } = polled(2000);
    expect(freshRows(log, 'manifold-pressure')).toEqual(asked[1]);
    expect(freshRows(log, 'road-speed')).toEqual(asked[3]);
    expect(findChannel(log, 'road-speed')!.refreshS).toEqual({
      median: expect.closeTo(0.5, 9),
      low: expect.closeTo(0.5, 9),
      high: expect.closeTo(0.5, 9),
    });
  });

  it('places channels that hardly ever change by the leading blanks', () => {
    const { log, asked } = polled(2000);
    expect(freshRows(log, 'coolant-temperature')).toEqual(asked[0]);
    expect(freshRows(log, 'throttle')).toEqual(asked[4]);
  });

  it('follows the round when a row is lost, and takes only changes where it cannot be sure', () => {
    const { log, asked } = polled(4000, new Set([1700]));
    const fresh = freshRows(log, 'manifold-pressure');
    const truth = new Set(asked[1]);
    expect(fresh.every((row) => truth.has(row))).toBe(true);
    expect(fresh.length).toBeGreaterThan(0.9 * truth.size);
  });
});

/** An ordinary log: engine speed new in every row, road speed as given. */
function ordinary(speed: (i: number) => string, count = 1500): Log {
  const random = randomStream(9);
  return read(
    Array.from(
      { length: count },
      (_, i) =>
        `${(i * 0.04).toFixed(2)},88,${(98 + random.uniform()).toFixed(2)},${(2000 + 2 * i + 8 * random.uniform()).toFixed(0)},${speed(i)},${(50 + random.uniform()).toFixed(1)}`,
    ),
  );
}

describe('an ordinary logger', () => {
  it('sees a channel renewed every five rows', () => {
    const log = ordinary((i) => (40 + 5 * Math.sin(Math.floor(i / 5) / 9) + Math.floor(i / 5) * 0.11).toFixed(1));
    const speed = findChannel(log, 'road-speed')!;
    expect(speed.refreshS!.median).toBeCloseTo(0.2, 9);
    expect(speed.freshBy).toContain('renewed once in every 5 rows');
    expect(findChannel(log, 'engine-speed')!.refreshS!.median).toBeCloseTo(0.04, 9);
  });

  it('sees a channel renewed by the clock, now on one row, now on the next', () => {
    const random = randomStream(4);
    let value = 60;
    let next = 0;
    const log = ordinary((i) => {
      if (i * 0.04 + 0.03 * random.uniform() >= next) {
        next += 0.4;
        value = 60 + 10 * random.uniform();
      }
      return value.toFixed(1);
    });
    const speed = findChannel(log, 'road-speed')!;
    expect(speed.refreshS!.median).toBeCloseTo(0.4, 2);
    expect(freshSamples(log, speed).rows.length).toBeGreaterThan(145);
    expect(freshSamples(log, speed).rows.length).toBeLessThan(155);
  });

  it('goes on as held in a part too short to show the pattern', () => {
    const speedOf = (i: number) => (40 + 5 * Math.sin(Math.floor(i / 5) / 9) + Math.floor(i / 5) * 0.11).toFixed(1);
    const random = randomStream(9);
    const log = read(
      Array.from(
        { length: 1240 },
        (_, i) =>
          `${(i * 0.04 + (i < 1200 ? 0 : 9)).toFixed(2)},88,${(98 + random.uniform()).toFixed(2)},${(2000 + 2 * i + 8 * random.uniform()).toFixed(0)},${speedOf(i)},50.0`,
      ),
    );
    expect(log.parts).toHaveLength(2);
    const late = [...freshSamples(log, findChannel(log, 'road-speed')!, 1200).rows];
    expect(late.every((row) => row % 5 === 0)).toBe(true);
    expect(late.length).toBeGreaterThan(4);
  });

  // Only the change points of whole km/h would lie half a step high on the way up: every row counts.
  it.each([0.9, 1.7, 4.1, 7.3])('does not take whole km/h at %d km/h per second for a held channel', (perSecond) => {
    const random = randomStream(5);
    const log = ordinary((i) => Math.round(30 + (i < 750 ? i : 1500 - i) * 0.04 * perSecond + 0.3 * random.uniform()).toFixed(0));
    const speed = findChannel(log, 'road-speed')!;
    expect(speed.fresh.every((bit) => bit === 1)).toBe(true);
    expect(speed.quantum).toBeCloseTo(1 / 3.6, 12);
  });

  it('does not take a pedal that rests between short movements for a held channel', () => {
    const log = ordinary((i) => (i % 200 < 12 ? (40 + (i % 200) * 3.1).toFixed(1) : '40.0'));
    expect(findChannel(log, 'road-speed')!.fresh.every((bit) => bit === 1)).toBe(true);
  });
});

describe('a logger that holds readings for an uneven number of rows', () => {
  /** Engine speed, or all channels, renewed after so many rows; the rows of the renewals. */
  function uneven(least: number, most: number, whole: boolean): { readonly log: Log; readonly renewed: number[] } {
    const random = randomStream(17);
    const renewed: number[] = [];
    let [next, rpm, kpa, kmh] = [0, 0, 0, 0];
    const rows = Array.from({ length: 3000 }, (_, i) => {
      if (i >= next) {
        renewed.push(i);
        next = i + least + Math.floor((most - least + 1) * random.uniform());
        rpm = Math.round(2500 + 1500 * Math.sin(i / 180) + 8 * random.uniform());
        if (whole) [kpa, kmh] = [100 + 10 * random.uniform(), Math.round(60 + 40 * Math.sin(i / 200))];
      }
      if (!whole) [kpa, kmh] = [100 + random.uniform(), 60 + 40 * Math.sin(i / 200)];
      return `${(i * 0.05).toFixed(2)},88,${kpa.toFixed(2)},${rpm},${whole ? kmh : kmh.toFixed(2)},50.0`;
    });
    return { log: read(rows), renewed };
  }

  it.each([
    [3, 4],
    [8, 12],
    [2, 3],
  ])('sees a channel renewed every %d to %d rows', (least, most) => {
    const { log, renewed } = uneven(least, most, false);
    const fresh = freshRows(log, 'engine-speed');
    expect(Math.abs(fresh.length / renewed.length - 1)).toBeLessThan(0.02);
    const truth = new Set(renewed);
    expect(fresh.filter((row) => truth.has(row)).length).toBeGreaterThan(0.97 * fresh.length);
    expect(findChannel(log, 'manifold-pressure')!.freshBy).toBe('every row');
  });

  it.each([
    [3, 4],
    [8, 12],
  ])('sees a whole log whose rows repeat %d to %d times: no row counts as a reading of a channel that seldom changes', (least, most) => {
    const { log, renewed } = uneven(least, most, true);
    for (const quantity of ['coolant-temperature', 'manifold-pressure', 'engine-speed', 'road-speed', 'throttle'] as const) {
      expect(Math.abs(freshRows(log, quantity).length / renewed.length - 1)).toBeLessThan(0.03);
    }
  });
});

describe('reading only some channels', () => {
  it('sees the polling of all of them', () => {
    const { log } = polled(2000);
    const text = `Time (s),${names.join(',')}\n`;
    const rows = Array.from({ length: log.rows }, (_, i) =>
      [
        log.timeS[i]!.toFixed(1),
        ...log.channels.slice(1).map((channel) => (Number.isNaN(channel.values[i]!) ? '' : String(channel.values[i]))),
      ].join(','),
    );
    const unitless = `${text.replaceAll(/ \([^)]*\)/g, '')}`;
    const all = readLog(utf8(`${unitless}${rows.join('\n')}\n`), { path: 'a.csv' });
    const some = readLog(utf8(`${unitless}${rows.join('\n')}\n`), { path: 'a.csv', only: ['Engine speed'] });
    expect(some.channels.map(({ name }) => name)).toEqual(['Time', 'Engine speed']);
    expect(some.channels[1]).toEqual(all.channels.find(({ name }) => name === 'Engine speed'));
    expect(some.channels[1]!.freshBy).toContain('asked once in every 5 rows');
  });
});
