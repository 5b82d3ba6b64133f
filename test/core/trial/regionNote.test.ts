import { regionNote } from '@pullproof/core';
import { expect, test } from 'vitest';

const region = (fromRpm: number, verdict: 'gain' | 'loss' | 'no clear change', lowW: number, highW: number) => {
  return {
    fromRpm,
    toRpm: fromRpm + 1000,
    verdict,
    lowW,
    highW,
    meanW: (lowW + highW) / 2,
    meanShare: 0.01,
    clearFromRpm: 0,
    clearToRpm: 0,
  };
};

test('names the regions whose mean is clear of zero while nothing is claimed, on either side of zero', () => {
  const note = regionNote([
    region(2000, 'no clear change', 100, 900),
    region(3000, 'gain', 100, 900),
    region(4000, 'no clear change', -900, -100),
    region(5000, 'no clear change', -900, 100),
  ]);
  expect(note).toMatch(/^The mean from 2,000 to 3,000 rpm and 4,000 to 5,000 rpm lies clear of zero, but the curve does not/);
});

test('says nothing where every mean agrees with its verdict', () => {
  expect(
    regionNote([region(2000, 'gain', 100, 900), region(3000, 'no clear change', -100, 100), region(4000, 'loss', -900, -100)]),
  ).toBeNull();
  expect(regionNote([])).toBeNull();
});
