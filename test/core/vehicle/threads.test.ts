import { fastenerTorque, proofLoadN, threadFromSize, threadStressAreaM2 } from '@pullproof/core';
import { describe, expect, it } from 'vitest';

// Source: ISO 898-1, nominal stress areas of coarse and fine threads, mm², to the three figures printed. From memory.
const metricAreas: readonly (readonly [string, number])[] = [
  ['M3', 5.03],
  ['M4', 8.78],
  ['M5', 14.2],
  ['M6', 20.1],
  ['M8', 36.6],
  ['M10', 58.0],
  ['M12', 84.3],
  ['M14', 115],
  ['M16', 157],
  ['M18', 192],
  ['M20', 245],
  ['M22', 303],
  ['M24', 353],
  ['M30', 561],
  ['M36', 817],
  ['M8x1', 39.2],
  ['M10x1', 64.5],
  ['M10x1.25', 61.2],
  ['M12x1.25', 92.1],
  ['M12x1.5', 88.1],
  ['M14x1.5', 125],
  ['M16x1.5', 167],
  ['M20x1.5', 272],
];

// Source: ASME B1.1, tensile stress areas, in², to the four decimals printed. From memory.
const inchAreas: readonly (readonly [string, number])[] = [
  ['#8-32', 0.014],
  ['#10-24', 0.0175],
  ['#10-32', 0.02],
  ['1/4-20', 0.0318],
  ['5/16-18', 0.0524],
  ['3/8-16', 0.0775],
  ['7/16-14', 0.1063],
  ['1/2-13', 0.1419],
  ['1/4-28', 0.0364],
  ['5/16-24', 0.058],
  ['3/8-24', 0.0878],
  ['7/16-20', 0.1187],
  ['1/2-20', 0.1599],
  ['3/4-16', 0.373],
];

describe('stress area', () => {
  it.each(metricAreas)('%s has %d mm²', (size, areaMm2) => {
    expect(Number((threadFromSize(size)!.stressAreaM2 * 1e6).toPrecision(3))).toBe(areaMm2);
  });

  it.each(inchAreas)('%s has %d in²', (size, areaIn2) => {
    // The printed areas are rounded to four decimals, some of them from inches already rounded.
    expect(Math.abs(threadFromSize(size)!.stressAreaM2 / 0.0254 ** 2 - areaIn2)).toBeLessThan(size.startsWith('3/4') ? 5e-4 : 1e-4);
  });

  it('refuses what is no thread', () => {
    expect(() => threadStressAreaM2(0.001, 0.002)).toThrow('E_THREAD');
    expect(() => threadStressAreaM2(Number.NaN, 0.001)).toThrow('E_THREAD');
  });
});

describe('sizes as people write them', () => {
  it.each([
    ['M8', 'M8x1.25'],
    ['m8 x 1.25', 'M8x1.25'],
    ['M8×1', 'M8x1'],
    ['M10x1,25', 'M10x1.25'],
    ['M8x1.25x40', 'M8x1.25'],
    ['M8 x 30', 'M8x1.25'],
    ['3/8-16', '3/8-16 UNC'],
    ['3/8 UNF', '3/8-24 UNF'],
    ['3/8" UNC', '3/8-16 UNC'],
    ['#10-32', '#10-32 UNF'],
    ['No. 10-32', '#10-32 UNF'],
  ])('%s is %s', (written, name) => {
    expect(threadFromSize(written)?.name).toBe(name);
  });

  it.each(['M8x1.5', 'M9', '3/8', '3/8-20', '3/8-16 UNF', 'big', '', 'M8x0'])('"%s" is none', (written) => {
    expect(threadFromSize(written)).toBeNull();
  });
});

describe('proof load', () => {
  // Source: ISO 898-1, proof loads of coarse threads, N, to the three figures printed. From memory.
  it.each([
    ['M6', '8.8', 11600],
    ['M8', '8.8', 21200],
    ['M10', '8.8', 33700],
    ['M12', '8.8', 48900],
    ['M20', '8.8', 147000],
    ['M8', '10.9', 30400],
    ['M10', '10.9', 48100],
    ['M12', '10.9', 70000],
    ['M8', '12.9', 35500],
    ['M10', '12.9', 56300],
    ['M12', '12.9', 81800],
  ])('%s class %s bears %d N', (size, propertyClass, loadN) => {
    // Printed loads go by printed areas: both are rounded to three figures.
    expect(Math.abs(proofLoadN(threadFromSize(size)!, propertyClass)! / loadN - 1)).toBeLessThan(0.007);
  });

  it('reads grades of inch fasteners, and never one system as the other', () => {
    // Source: SAE J429, proof load of 3/8-16 grade 5 is 6,600 lbf and grade 8 is 9,300 lbf. From memory.
    expect(proofLoadN(threadFromSize('3/8-16')!, 'grade 5')! / 4.4482216).toBeCloseTo(6600, -2);
    expect(proofLoadN(threadFromSize('3/8-16')!, '8')! / 4.4482216).toBeCloseTo(9300, -2);
    expect(proofLoadN(threadFromSize('3/8-16')!, '8.8')).toBeNull();
    expect(proofLoadN(threadFromSize('M8')!, 'grade 8')).toBeNull();
  });
});

describe('torque that makes sense', () => {
  it('holds the torques that the trade tightens to', () => {
    // Source: common practice, no source: usual dry torques of class 8.8 and 10.9 in N·m, as on many workshop walls.
    for (const [size, propertyClass, torqueNm] of [
      ['M6', '8.8', 10],
      ['M8', '8.8', 25],
      ['M10', '8.8', 49],
      ['M12', '8.8', 85],
      ['M8', '10.9', 35],
      ['M10', '10.9', 70],
      ['M14x1.5', '10.9', 190],
      ['3/8-16', 'grade 8', 59],
    ] as const) {
      const range = fastenerTorque(size, propertyClass)!;
      expect(range.lowNm).toBeLessThan(torqueNm / 1.5);
      expect(range.highNm).toBeGreaterThan(torqueNm * 1.15);
    }
  });

  it('spans all classes where the class is not given', () => {
    const any = fastenerTorque('M8', null)!;
    expect(any.proofLoadN).toBeNull();
    expect(any.lowNm).toBeLessThan(fastenerTorque('M8', 'A2-50')!.lowNm + 1e-12);
    expect(any.highNm).toBeCloseTo(fastenerTorque('M8', '12.9')!.highNm, 12);
    expect(any.basis).toContain('any class');
  });

  it('is null for a size that is not known', () => {
    expect(fastenerTorque('M9', '8.8')).toBeNull();
  });
});
