import { parseTrial } from '@pullproof/core';
import { describe, expect, it } from 'vitest';
import { changeSheet } from '../../../packages/core/src/answers/changeSheet/changeSheet.js';
import type { FastenerResult } from '../../../packages/core/src/result/changeSheetTypes.js';

function sheetOf(...fasteners: string[]): ReturnType<typeof changeSheet> {
  const file = parseTrial(
    `trial: 1\nsetups:\n  - name: new pulley\n    changes:\n      parts: [74 mm pulley]\n      belts: [one rib wider]\n      hoses: [bypass hose]\n      notes: [belt retensioned]\n      fasteners:\n${fasteners.map((one) => `        - ${one}`).join('\n')}\n    runs: [{ log: a.csv }]`,
    'trial.yaml',
  );
  return changeSheet(file.setups[0]!.changes!, 'new pulley');
}

function one(size: string, propertyClass: string, torque: string): FastenerResult {
  return sheetOf(`{ where: pulley bolt, size: '${size}', class: '${propertyClass}', torque: ${torque} }`).sheet.fasteners[0]!;
}

describe('change sheet', () => {
  it('keeps what was written, and every torque in three units', () => {
    const { sheet, findings } = sheetOf('{ where: pulley bolt, size: M8, class: 8.8, torque: 25 N m }');
    expect(sheet).toMatchObject({ parts: ['74 mm pulley'], belts: ['one rib wider'], hoses: ['bypass hose'], notes: ['belt retensioned'] });
    const [fastener] = sheet.fasteners;
    expect(fastener).toMatchObject({
      where: 'pulley bolt',
      size: 'M8',
      propertyClass: '8.8',
      written: '25 N m',
      flag: 'none',
      sentence: null,
    });
    // Source: NIST SP 811 (2008), table B.8: 1 lbf·ft = 1.355818 N·m, 1 lbf·in = 0.1129848 N·m.
    expect(fastener!.torque.footPounds).toBeCloseTo(25 / 1.355818, 4);
    expect(fastener!.torque.inchPounds).toBeCloseTo(25 / 0.1129848, 3);
    expect(findings).toEqual([]);
    expect(sheet.caution).toContain('maker');
  });

  it.each(['18.4 lbf ft', '221 lbf in', '2.55 kgf m', '18.4 ft-lb', '221 in-lb', '25 Nm'])('reads %s', (torque) => {
    expect(one('M8', '8.8', torque).torque.newtonMetres).toBeCloseTo(25, 0);
    expect(one('M8', '8.8', torque).flag).toBe('none');
  });

  it.each([
    // Size, class, torque; flag; unit that the number would make sense in.
    // 18 lb in are 2.0 N·m, a fifth of what such a bolt usually has: no unit that may be named.
    ['M6', '8.8', '18 lb ft', 'above', null],
    ['M6', '8.8', '2 N m', 'below', null],
    ['M6', '8.8', '10 N m', 'none', null],
    // 18 lb ft or 18 N·m would be a third of the usual torque.
    ['M12', '8.8', '18 in lb', 'below', null],
    // 80 N·m would stand near the proof load.
    ['M10', '8.8', '80 lb ft', 'above', null],
    ['M10', '8.8', '8.5 N m', 'below', null],
    ['M10', '8.8', '20 N m', 'below', null],
    ['M6', '8.8', '80 lb ft', 'another unit meant', 'lb in'],
    ['M12', '8.8', '60 in lb', 'another unit meant', 'lb ft or N·m'],
    ['M8', '8.8', '25 kgf m', 'another unit meant', 'N·m'],
    ['M8', '8.8', '220 N m', 'another unit meant', 'lb in'],
    // A little too much is too much, not another unit.
    ['M8', '8.8', '45 N m', 'above', null],
    ['M6', '12.9', '0.9 kgf m', 'none', null],
    ['M8', '10.9', '35 N m', 'none', null],
    // Nothing decides between N m and lb ft inside the range.
    ['M10', '10.9', '50 lb ft', 'none', null],
    ['M10', '10.9', '50 N m', 'none', null],
    ['M12', '12.9', '1300 N m', 'another unit meant', 'lb in'],
    ['M12', '12.9', '1500 N m', 'above', null],
    ['M12', '12.9', '2900 N m', 'above', null],
    ['M4', '4.6', '0.1 N m', 'another unit meant', 'kgf m'],
  ] as const)('%s class %s at %s: %s, %s', (size, propertyClass, torque, flag, unit) => {
    const fastener = one(size, propertyClass, torque);
    expect([fastener.flag, fastener.unitMeant]).toEqual([flag, unit]);
    if (flag === 'none') return;
    // Both numbers stand in the sentence: what was written and what the size allows.
    expect(fastener.sentence).toMatch(/N·m .* N·m .* N·m/);
  });

  it('names no unit that would leave the joint loose or near its proof load', () => {
    const loose = one('M6', '8.8', '2 N m').sentence!;
    expect(loose).toContain('less than half of what is usual, and the joint would be loose');
    const beyond = one('M6', '8.8', '18 lb ft').sentence!;
    expect(beyond).toContain('beyond its proof load');
    expect(beyond).not.toContain('would make sense');
    expect(one('M6', '8.8', '80 lb ft').sentence).toContain('80 lb in would make sense: check the unit.');
  });

  it('makes a finding of a torque that cannot be right, and says where', () => {
    const { findings } = sheetOf('{ where: idler bolt, size: M6, class: 8.8, torque: 18 lb ft }');
    expect(findings).toHaveLength(1);
    expect(findings[0]).toMatchObject({
      code: 'W_FASTENER_TORQUE',
      severity: 'warning',
      where: { setup: 'new pulley', field: 'changes.fasteners[0]' },
    });
    expect(findings[0]!.message).toContain('idler bolt');
    expect(findings[0]!.fix).toContain('maker');
  });

  it('holds nothing against a size that it does not know', () => {
    const { sheet, findings } = sheetOf('{ where: clamp, size: worm drive, torque: 4 N m }');
    expect(sheet.fasteners[0]).toMatchObject({ flag: 'cannot tell', thread: null, expected: null, proofLoadN: null });
    expect(findings.map(({ code }) => code)).toEqual(['FASTENER_SIZE_UNKNOWN']);
  });

  it('says when a class is not known, and uses the widest range', () => {
    const fastener = one('M8', 'titanium', '25 N m');
    expect(fastener).toMatchObject({ flag: 'none', proofLoadN: null });
    expect(fastener.sentence).toContain('titanium');
  });
});
