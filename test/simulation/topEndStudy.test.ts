import { readFileSync } from 'node:fs';
import { expect, it } from 'vitest';

interface Row {
  readonly fault: string;
  readonly gears: number;
  readonly deciding: boolean;
  readonly sameAsWhole?: boolean;
  readonly pair: { readonly rank: number | null; readonly leading: readonly string[]; readonly ruledOut: boolean };
  readonly without?: { readonly answer: string; readonly leading: readonly string[] };
}

interface Study {
  readonly studyCase: (index: number, options: { range: string; first: number; whole: number; again: number }) => Row;
  readonly rates: (rows: readonly Row[]) => {
    readonly topTwo: number;
    readonly decidedFirst: number;
    readonly aloneRight: number;
    readonly ruledOut: number;
  };
}

it('three cases of each fault, on seeds of their own: what is promised holds', async () => {
  const { studyCase, rates } = (await import(new URL('../../bench/topEndStudy.js', import.meta.url).href)) as Study;
  const rows = Array.from({ length: 42 }, (_, index) => studyCase(index, { range: 'wide', first: 900_001, whole: 2, again: 42 }));
  const found = rates(rows);
  expect(found.topTwo).toBeGreaterThanOrEqual(0.85);
  expect(found.decidedFirst).toBeGreaterThanOrEqual(0.75);
  expect(found.aloneRight).toBeGreaterThanOrEqual(0.9);
  expect(found.ruledOut).toBe(0);
  expect(rows.filter(({ sameAsWhole }) => sameAsWhole !== undefined).map(({ sameAsWhole }) => sameAsWhole)).toEqual([true, true]);
  // Slip and capacity without rotor speed: told apart by nothing but two sweep rates.
  const further = [42, 84, 113, 141].map((index) => studyCase(index, { range: 'wide', first: 900_001, whole: 0, again: 1000 }));
  const blind = [...rows, ...further].filter(
    (row) => row.without !== undefined && row.gears === 1 && (row.fault === 'belt-slip' || row.fault === 'blower-capacity'),
  );
  expect(blind.length).toBeGreaterThanOrEqual(3);
  const tied = blind.filter(({ without }) => without!.leading.includes('belt-slip') && without!.leading.includes('blower-capacity'));
  expect(tied.length / blind.length).toBeGreaterThanOrEqual(0.75);
}, 400_000);

it('docs/top-end.md holds the tables of a study of at least 2,000 cases that keep the promise', () => {
  const written = readFileSync(new URL('../../docs/top-end.md', import.meta.url), 'utf8');
  const [, table] = /<!-- rates -->([\s\S]*?)<!-- end of rates -->/.exec(written)!;
  const last = table!
    .trim()
    .split('\n')
    .at(-1)!
    .split('|')
    .map((cell) => Number.parseFloat(cell));
  const [cases, , topTwo, , decidedFirst] = last.slice(2);
  expect(cases).toBeGreaterThanOrEqual(2000);
  expect(topTwo).toBeGreaterThanOrEqual(90);
  expect(decidedFirst).toBeGreaterThanOrEqual(75);
});
