import { describe, expect, it } from 'vitest';
import { type Pull, readLog } from '../../../packages/core/src/index.js';
import { alikePulls } from '../../../packages/core/src/stretches/alikePulls.js';
import { findStretches } from '../../../packages/core/src/stretches/index.js';

/** Source: made by hand; what should stay is plain from gear and rate. */
const pull = (startS: number, seconds: number, fromRpm: number, toRpm: number, rpmPerMps: number | null): Pull => ({
  kind: 'pull',
  startS,
  endS: startS + seconds,
  fromRpm,
  toRpm,
  rpmPerMps,
  evidence: 'engine speed alone',
  spans: [{ fromS: startS, toS: startS + seconds }],
  cuts: [],
});
const starts = (pulls: readonly Pull[]) => alikePulls(pulls).map(({ startS }) => startS);

describe('pulls that no channel tells', () => {
  it('keeps those of the gear in which most were made, and leaves out a drive-away', () => {
    expect(starts([pull(0, 3, 1200, 4000, 250), pull(20, 6, 2500, 6500, 110), pull(40, 6, 2500, 6500, 111)])).toEqual([20, 40]);
  });
  it('leaves out one that gains speed by less than three quarters of the quickest', () => {
    expect(starts([pull(0, 6, 2500, 6500, 110), pull(20, 9, 2500, 6500, 110), pull(40, 6.2, 2500, 6500, 110)])).toEqual([0, 40]);
  });
  it('keeps a pull in each gear of one run through the gears, but not the drive-away before it', () => {
    expect(starts([pull(0, 3, 2500, 6500, 160), pull(5, 6, 3900, 6500, 110)])).toEqual([0, 5]);
    expect(starts([pull(0, 8, 1000, 4000, 250), pull(20, 6, 2500, 6500, 110)])).toEqual([20]);
  });
  it('keeps the only one, and those without road speed by their rate alone', () => {
    expect(starts([pull(0, 6, 2500, 6500, 110)])).toEqual([0]);
    expect(starts([pull(0, 6, 2500, 6500, null), pull(20, 20, 2500, 6500, null), pull(40, 6, 2500, 6500, null)])).toEqual([0, 40]);
  });
});

it('manifold pressure that stays well below any barometer is no full load, however fast the engine gains speed', () => {
  const rows = Array.from({ length: 600 }, (_, i) => {
    const t = i * 0.04;
    const u = Math.min(1, Math.max(0, (t - 4) / 8));
    return `${t.toFixed(2)},${Math.round(2000 + 4000 * u)},${(50 + 100 * u).toFixed(1)},${t < 4 || t > 12 ? 30 : 58}`;
  });
  const log = (kPa: (row: string) => string) =>
    readLog(
      new TextEncoder().encode(`Time (s),Engine speed (rpm),Road speed (km/h),Manifold pressure (kPa abs)\n${rows.map(kPa).join('\n')}\n`),
      {
        path: 'a.csv',
      },
    );
  expect(findStretches(log((row) => row)).pulls).toEqual([]);
  expect(findStretches(log((row) => row.replace(/,58$/, ',97'))).pulls).toHaveLength(1);
});
