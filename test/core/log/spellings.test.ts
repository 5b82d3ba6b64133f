import { type Channel, readLog } from '@pullproof/core';
import { describe, expect, it } from 'vitest';
import { utf8 } from './fixture.js';
import { type Spellings, spellings } from './spellings.js';

/** A drive of 120 rows in which the channel runs from its lowest number to its highest and back, beside engine speed and coolant that are settled. */
function read(name: string, { from, to, places, unit }: Spellings): Channel {
  const us = ['°F', 'mph', 'psi', 'inHg', 'lb/min'].includes(unit);
  const share = (i: number) => (1 - Math.cos((2 * Math.PI * i) / 119)) / 2;
  const rows = Array.from({ length: 120 }, (_, i) => {
    const value = from + (to - from) * share(i) + (i % 7 === 3 && places > 0 ? 10 ** -places : 0);
    return [
      (0.1 * i).toFixed(1),
      (780 + 5600 * share(i)).toFixed(0),
      us ? String(190 + (i % 4)) : String(88 + (i % 4)),
      Math.min(to, value).toFixed(places),
    ];
  });
  const header = [
    'Time (s)',
    'Crank speed (rpm)',
    us ? 'Water (°F)' : 'Water (°C)',
    `"${name.replaceAll('#', unit).replaceAll('"', '""')}"`,
  ];
  return readLog(utf8(`${[header, ...rows].map((row) => row.join(',')).join('\n')}\n`), { path: 'a.csv' }).channels[3]!;
}

const all = spellings.flatMap((group) => group.names.map((name) => ({ group, name })));
const outcome = ({ group, name }: (typeof all)[number]): 'right' | 'not read' | 'wrong but guessed' | 'wrong' => {
  const channel = read(name, group);
  const unit = group.quantity === null || group.quantity === 'gear' || channel.unit === group.unit;
  if (channel.quantity === group.quantity && unit) return 'right';
  if (channel.quantity === null) return 'not read';
  return channel.standing === 'guessed' ? 'wrong but guessed' : 'wrong';
};

describe('names of the trade, standard and adapter style, in six languages, with and without unit', () => {
  const outcomes = all.map((one) => ({ ...one, outcome: outcome(one) }));
  const listed = (wanted: string) =>
    outcomes.filter((one) => one.outcome === wanted).map(({ name, group }) => `${name.replaceAll('#', group.unit)} is ${group.quantity}`);

  it(`holds at least 300 of them (${all.length})`, () => expect(all.length).toBeGreaterThanOrEqual(300));

  it('reads none wrongly without saying that it guessed', () => expect(listed('wrong')).toEqual([]));

  it('reads at least 95 in 100 right', () => {
    const right = outcomes.filter((one) => one.outcome === 'right').length;
    console.log(
      `${right} of ${all.length} right; not read: ${listed('not read').join('; ') || 'none'}; wrong but guessed: ${listed('wrong but guessed').join('; ') || 'none'}`,
    );
    expect(right / all.length).toBeGreaterThanOrEqual(0.95);
  });
});
