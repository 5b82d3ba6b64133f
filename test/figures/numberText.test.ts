import { applyTheme, bandText, displayUnitFor, displayUnits, inDisplayUnit, labelText, palette, significantText } from '@pullproof/figures';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';

describe('bandText and significantText', () => {
  it('sets the bounds in brackets, and leaves them out where they are not known', () => {
    expect(bandText(11.2, 4.1, 18.4, { decimals: 0, unit: 'hp', signed: true })).toBe('+11 hp (+4 to +18)');
    expect(bandText(11.2, null, 18.4, { decimals: 0, unit: 'hp' })).toBe('11 hp');
    expect(bandText(null, 1, 2, { decimals: 0, unit: 'hp' })).toBe('–');
  });

  it('counts significant digits', () => {
    expect([0.0123456, 1234.6, 0, null].map((value) => significantText(value))).toEqual(['0.0123', '1,235', '0', '–']);
  });
});

describe('display units', () => {
  // Source: NIST SP 811 (2008), Appendix B.8: 1 hp (550 ft lbf/s) = 7.456 999 E+02 W, 1 ft lbf = 1.355 818 N m, 1 psi = 6.894 757 E+03 Pa, 1 mi/h = 4.4704 E-01 m/s, 1 lb = 4.535 924 E-01 kg, t/°C = (t/°F - 32)/1.8, 1 lb/ft³ = 1.601 846 E+01 kg/m³.
  it.each([
    ['power', 745.6999, 1, 1e-6],
    ['torque', 1.355818, 1, 1e-6],
    ['pressure', 6894.757, 1, 1e-6],
    ['speed', 0.44704, 1, 1e-12],
    ['mass', 0.4535924, 1, 1e-6],
    ['temperature', 373.15, 212, 1e-9],
    ['temperatureDifference', 10, 18, 1e-9],
    ['density', 16.01846, 1, 1e-6],
  ] as const)('shows imperial %s', (quantity, valueSi, shown, tolerance) => {
    expect(Math.abs(inDisplayUnit(valueSi, displayUnits.imperial[quantity])! - shown)).toBeLessThanOrEqual(tolerance * Math.max(1, shown));
  });

  it('finds the unit to read in by its SI symbol, and leaves what it does not know', () => {
    expect(displayUnitFor('Pa', 'metric').symbol).toBe('kPa');
    expect(displayUnitFor('kg/m³', 'imperial').symbol).toBe('lb/ft³');
    expect(displayUnitFor('1', 'metric')).toMatchObject({ symbol: '' });
    expect(displayUnitFor('constructor', 'metric')).toMatchObject({ symbol: 'constructor' });
    expect(displayUnitFor('deg', 'metric').fromSi(18.4)).toBe(18.4);
    expect(inDisplayUnit(null, displayUnits.metric.power)).toBeNull();
  });
});

describe('labelText', () => {
  it.each([
    ['<b>74 mm</b>', 'b74 mm/b'],
    ['$\\href{javascript:x}{y}$', '\\href{javascript:x}{y}'],
    ['a\u202Egnp.exe\u0000\u001b[31m', 'a gnp.exe [31m'],
  ])('takes the mark-up out of %j', (text, label) => {
    expect(labelText(text)).toBe(label);
  });

  it('never leaves a character that plotly or a terminal reads, nor a longer label', () => {
    fc.assert(
      fc.property(fc.string({ unit: 'binary', maxLength: 300 }), (text) => {
        const label = labelText(text);
        expect(label).not.toMatch(/[<>$\u0000-\u001f\u007f-\u009f\u202a-\u202e\u2066-\u2069]/);
        expect(Array.from(label).length).toBeLessThanOrEqual(48);
      }),
      { seed: 7 },
    );
  });
});

describe('applyTheme', () => {
  it('turns roles into colours at any depth and leaves the rest and the input alone', () => {
    const figure = { data: [{ line: { color: 'role:setup1/0.2' }, name: 'role: not a colour', y: [1, null] }], at: 'role:text' };
    const copy = structuredClone(figure);
    expect(applyTheme(figure, 'dark')).toEqual({
      data: [{ line: { color: 'rgba(86,180,233,0.2)' }, name: 'role: not a colour', y: [1, null] }],
      at: palette.dark.text,
    });
    expect(figure).toEqual(copy);
  });
});
