import { convert, type Dimension, dimensions, findUnit, PullproofError, parseQuantity, unitSymbols } from '@pullproof/core';
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';

describe('conversion factors', () => {
  // Source: NIST Special Publication 811 (2008), Appendix B.8, factors as printed to seven digits; recalled from memory of that table, agreeing with the exact definitions.
  const printed: readonly [from: string, to: string, factor: number][] = [
    ['psi', 'Pa', 6894.757],
    ['inHg', 'Pa', 3386.389],
    ['mmHg', 'Pa', 133.3224],
    ['torr', 'Pa', 133.3224],
    ['atm', 'Pa', 101325],
    ['bar', 'Pa', 1e5],
    ['mbar', 'Pa', 100],
    ['kgf/cm2', 'Pa', 98066.5],
    ['inH2O', 'Pa', 249.0889],
    ['mmH2O', 'Pa', 9.80665],
    ['km/h', 'm/s', 0.2777778],
    ['mph', 'm/s', 0.44704],
    ['kn', 'm/s', 0.5144444],
    ['ft/s', 'm/s', 0.3048],
    ['lb', 'kg', 0.4535924],
    ['oz', 'kg', 0.02834952],
    ['gal', 'm^3', 3.785412e-3],
    ['imp gal', 'm^3', 4.54609e-3],
    ['qt', 'm^3', 9.463529e-4],
    ['in^3', 'm^3', 1.638706e-5],
    ['ft^3', 'm^3', 2.831685e-2],
    ['in', 'm', 0.0254],
    ['ft', 'm', 0.3048],
    ['yd', 'm', 0.9144],
    ['mi', 'm', 1609.344],
    ['ft^2', 'm^2', 9.290304e-2],
    ['in^2', 'm^2', 6.4516e-4],
    ['hp', 'W', 745.6999],
    ['PS', 'W', 735.4988],
    ['ft lbf/s', 'W', 1.355818],
    ['lb ft', 'N m', 1.355818],
    ['in lb', 'N m', 0.1129848],
    ['kgf m', 'N m', 9.80665],
    // Source: FORMULAS.md CK-6.14, computed: 0.50 lb/(hp h) = 304.139 g/kWh; here to seven digits.
    ['lb/(hp h)', 'g/kWh', 608.2774],
    ['lbf', 'N', 4.448222],
    ['kgf', 'N', 9.80665],
    ['lb/h', 'kg/s', 1.259979e-4],
    ['lb/min', 'kg/s', 7.559873e-3],
    ['cfm', 'm^3/s', 4.719474e-4],
    ['lb/gal', 'kg/m^3', 119.8264],
    ['lb/ft^3', 'kg/m^3', 16.01846],
    ['lb ft^2', 'kg m^2', 0.04214011],
    ['rad', 'deg', 57.29578],
  ];
  test.each(printed)('1 %s in %s', (from, to, factor) => {
    expect(convert(1, from, to) / factor).toBeCloseTo(1, 6);
  });

  // Source: FORMULAS constants (exact definitions): lbf, psi, hp, PS; CK-3.13 for the coast-down coefficients.
  test.each([
    ['lbf', 'N', 4.4482216152605, 1e-13],
    ['psi', 'Pa', 6894.757293168361, 1e-9],
    ['hp', 'W', 745.6998715822702, 1e-10],
    ['PS', 'W', 735.49875, 1e-10],
    ['hp', 'PS', 1.013869665, 1e-9],
    ['lbf/mph', 'N/(m/s)', 9.9503884, 1e-6],
    ['lbf/mph^2', 'N/(m/s)^2', 22.2583849, 1e-6],
  ])('1 %s in %s to the digits given', (from, to, factor, tolerance) => {
    expect(Math.abs(convert(1, from, to) - factor)).toBeLessThanOrEqual(tolerance);
  });

  test('fixed points of the temperature scales', () => {
    // Source: definitions: ice point 0 °C = 32 °F = 273.15 K, −40 °C = −40 °F, absolute zero −459.67 °F.
    expect(convert(0, 'C', 'K')).toBe(273.15);
    expect(convert(32, 'F', 'C')).toBeCloseTo(0, 12);
    expect(convert(-40, 'deg C', '°F')).toBeCloseTo(-40, 12);
    expect(convert(-459.67, 'degF', 'K')).toBe(0);
    expect(convert(491.67, '°R', 'C')).toBeCloseTo(0, 12);
  });

  test('mercury at 29.235 in is the 99 kPa of the engine standards', () => {
    // Source: FORMULAS §2 pitfalls: 99 kPa = 29.235 inHg.
    expect(convert(29.235, 'inHg', 'kPa')).toBeCloseTo(99, 2);
  });

  test('every unit converts back to itself, and every SI unit is its own', () => {
    for (const dimension of Object.keys(dimensions) as Dimension[]) {
      expect(findUnit(dimensions[dimension].si, dimension)?.toSi(1), dimension).toBe(1);
      for (const symbol of unitSymbols(dimension)) {
        const unit = findUnit(symbol, dimension)!;
        expect(unit.dimension, symbol).toBe(dimension);
        expect(unit.symbol).toBe(symbol);
        fc.assert(
          fc.property(fc.double({ min: -1e6, max: 1e6, noNaN: true }), (value) => {
            return Math.abs(unit.fromSi(unit.toSi(value)) - value) <= 1e-9 * Math.max(1, Math.abs(value));
          }),
          { seed: 1, numRuns: 30 },
        );
      }
    }
  });

  test('NaN stays NaN', () => {
    expect(convert(Number.NaN, 'F', 'C')).toBeNaN();
  });

  test.each([
    ['kPa', 'm', 'E_UNIT_DIMENSION'],
    ['psia', 'bar g', 'E_UNIT_DIMENSION'],
    ['furlong', 'm', 'E_UNIT_UNKNOWN'],
    ['m', 'constructor', 'E_UNIT_UNKNOWN'],
  ])('%s to %s is refused', (from, to, code) => {
    expect(() => convert(1, from, to)).toThrow(expect.objectContaining({ code }));
  });
});

describe('spellings', () => {
  // Source: usual spellings in English, German, French, Italian and Polish headers; common practice, no source.
  const spellings: Readonly<Record<string, readonly string[]>> = {
    '°C': ['°C', 'C', 'degC', 'deg C', 'deg. C', '(°C)', '[C]', '° C', 'ºC', '℃', 'Â°C', 'Celsius', 'DEG C'],
    '°F': ['°F', 'F', 'degF', 'Deg F', 'Fahrenheit', '℉'],
    K: ['K', 'kelvin'],
    kPa: ['kPa', 'KPA', 'kpa', '(kPa)', '[ kPa ]'],
    hPa: ['hPa', 'hpa'],
    psi: ['psi', 'PSI', 'lbf/in²', 'lb/in^2'],
    inHg: ['inHg', 'in Hg', 'in. Hg', '"Hg', '”Hg', 'INHG'],
    mmHg: ['mmHg', 'mm Hg'],
    'kgf/cm2': ['kgf/cm2', 'kgf/cm²', 'kg/cm^2'],
    'm/s': ['m/s', 'M/S', 'm / s'],
    'km/h': ['km/h', 'kph', 'KPH', 'kmh', 'km / h', 'Km/H'],
    mph: ['mph', 'MPH', 'mi/h'],
    rpm: ['rpm', 'RPM', '1/min', 'min⁻¹', 'min^-1', 'U/min', 'tr/min', 'giri/min', 'r/min'],
    krpm: ['krpm', 'x1000 rpm', 'rpm x 1000', '1000 rpm'],
    'N m': ['N m', 'Nm', 'N·m', 'N⋅m', 'N-m', 'NM'],
    'lb ft': ['lb ft', 'lb-ft', 'ft-lb', 'ft lbf', 'lb·ft', 'ft-lbs', 'lbft'],
    'in lb': ['in-lb', 'in lb', 'lbf in'],
    'kgf m': ['kgf m', 'kgf·m', 'kg-m'],
    us: ['us', 'µs', 'μs'],
    'm^2': ['m^2', 'm²', 'm2', 'sq m'],
    'kg m^2': ['kg m^2', 'kg·m²', 'kgm2'],
    'm/s^2': ['m/s²', 'm/s^2', 'm/s/s'],
    gal: ['gal', 'gal (US)', 'US gal', 'gallons'],
    'imp gal': ['imp gal', 'imp. gal', 'gal (imp)', 'UK gal'],
    cc: ['cc', 'cm3', 'cm³'],
    'in^3': ['in3', 'cu in', 'in³'],
    in: ['in', '"', '″', 'inches'],
    ft: ['ft', "'", '’', 'feet'],
    deg: ['deg', '°', '°BTDC', '° BTDC', 'deg BTDC', 'degrees'],
    '%': ['%', 'percent', '(%)'],
    λ: ['λ', 'lambda', 'Lambda', 'LAMBDA'],
    AFR: ['AFR', 'afr', 'A/F'],
    'cc/min': ['cc/min', 'cm³/min', 'ml/min'],
    'lb/h': ['lb/h', 'lb/hr', 'lbs/hr', 'pph'],
    'g/s': ['g/s', 'G/S', 'gm/s', 'g/sec'],
    'N/(km/h)^2': ['N/(km/h)²', 'N/(km/h)^2'],
  };
  test.each(Object.entries(spellings))('%s', (symbol, texts) => {
    for (const text of texts) expect(findUnit(text)?.symbol, text).toBe(symbol);
  });

  // Source: RELIABILITY §2: a general unit parser reads `C` as coulomb, `F` as farad and `bar g` as bar gram.
  test.each([
    ['kPa abs', 'kPa', 'absolute'],
    ['kPa(a)', 'kPa', 'absolute'],
    ['kPa absolute', 'kPa', 'absolute'],
    ['psia', 'psi', 'absolute'],
    ['PSIA', 'psi', 'absolute'],
    ['bar(a)', 'bar', 'absolute'],
    ['mbar a', 'mbar', 'absolute'],
    ['inHg abs', 'inHg', 'absolute'],
    ['psig', 'psi', 'gauge'],
    ['bar g', 'bar', 'gauge'],
    ['barg', 'bar', 'gauge'],
    ['kPa gauge', 'kPa', 'gauge'],
    ['kPa [gauge]', 'kPa', 'gauge'],
    ['Pa', 'Pa', null],
    ['hPa', 'hPa', null],
    ['mmHg', 'mmHg', null],
    ['psi', 'psi', null],
  ])('%s is %s, %s', (text, symbol, reference) => {
    const unit = findUnit(text);
    expect(unit?.symbol).toBe(symbol);
    expect(unit?.dimension).toBe('pressure');
    expect(unit?.reference).toBe(reference);
  });

  test('g is a mass unless an acceleration is wanted, G is an acceleration', () => {
    expect(findUnit('g')?.dimension).toBe('mass');
    expect(findUnit('g', 'acceleration')?.dimension).toBe('acceleration');
    expect(findUnit('G')?.dimension).toBe('acceleration');
  });

  test('MPa is not mPa, and nothing is read from a part of a text', () => {
    expect(findUnit('MPa')?.toSi(1)).toBe(1e6);
    for (const text of ['', ' ', 'kPa per hour', 'xyz', 'constructor', '__proto__', 'abs', 'm a', 'kg abs', '()']) {
      expect(findUnit(text), text).toBeNull();
    }
  });
});

describe('parseQuantity', () => {
  // Source: DESIGN §5 writes quantities so; values by the exact definitions above.
  test.each<[string | number, Dimension, number]>([
    ['3260 lb', 'mass', 1478.7111262],
    ['29.61 inHg', 'pressure', 100270.97],
    ['9 gal', 'volume', 0.034068706056],
    ['45 %', 'ratio', 0.45],
    ['45%', 'ratio', 0.45],
    ['22 degC', 'temperature', 295.15],
    ['-5 °C', 'temperature', 268.15],
    ['0.706 m^2', 'area', 0.706],
    ['4.6 kg m^2', 'inertia', 4.6],
    ['2.5e3 Pa', 'pressure', 2500],
    ['.5 L', 'volume', 0.0005],
    ['610 ft', 'length', 185.928],
    ['0.0125', 'ratio', 0.0125],
    [0.0125, 'ratio', 0.0125],
    [14.7, 'air-fuel-ratio', 14.7],
    ['1 g', 'acceleration', 9.80665],
  ])('%s as %s', (text, dimension, valueSi) => {
    const parsed = parseQuantity(text, dimension, {});
    expect(Math.abs(parsed.valueSi / valueSi - 1)).toBeLessThan(1e-7);
  });

  test('keeps what zero means for a pressure', () => {
    expect(parseQuantity('10 kPa abs', 'pressure', {}).reference).toBe('absolute');
    expect(parseQuantity('8 psi gauge', 'pressure', {}).reference).toBe('gauge');
    expect(parseQuantity('99.2 kPa', 'pressure', {}).reference).toBeNull();
  });

  test.each<[string | number, Dimension, string]>([
    ['1480', 'mass', 'E_UNIT_MISSING'],
    [1480, 'mass', 'E_UNIT_MISSING'],
    ['22', 'temperature', 'E_UNIT_MISSING'],
    ['1480 kPa', 'mass', 'E_UNIT_DIMENSION'],
    ['20 lb', 'force', 'E_UNIT_DIMENSION'],
    ['1480 stone', 'mass', 'E_UNIT_UNKNOWN'],
    ['1,480 kg', 'mass', 'E_QUANTITY'],
    ['1480,5 kg', 'mass', 'E_QUANTITY'],
    ['1 480 kg', 'mass', 'E_QUANTITY'],
    ['kg', 'mass', 'E_QUANTITY'],
    ['', 'mass', 'E_QUANTITY'],
    ['1e400 kg', 'mass', 'E_QUANTITY'],
    [Number.NaN, 'mass', 'E_QUANTITY'],
    ['0x10 kg', 'mass', 'E_UNIT_UNKNOWN'],
  ])('%s as %s is refused', (text, dimension, code) => {
    expect(() => parseQuantity(text, dimension, { field: 'car.x' })).toThrow(expect.objectContaining({ code }));
  });

  test('the message names field, needed, given and the fix', () => {
    let caught: unknown;
    try {
      parseQuantity('1480 kPa', 'mass', { path: 'trial.yaml', line: 7, field: 'car.weighed.mass' });
    } catch (error) {
      caught = error;
    }
    expect(caught).toBeInstanceOf(PullproofError);
    expect((caught as PullproofError).message).toBe(
      'trial.yaml line 7 car.weighed.mass: needed a mass, given 1480 kPa, which is a pressure. Write it like 1480 kg (kg, g, mg, lb, oz, t). [E_UNIT_DIMENSION]',
    );
  });
});
