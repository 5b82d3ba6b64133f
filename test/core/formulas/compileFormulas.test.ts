import { compileFormulas, type FormulaParser, loadFormulaParser, PullproofError } from '@pullproof/core';
import { beforeAll, describe, expect, it } from 'vitest';

let parser: FormulaParser;
beforeAll(async () => {
  parser = await loadFormulaParser();
});

const unitOf = (formula: string): string => compileFormulas({ it: formula }, parser)[0]!.unit;
const numberOf = (formula: string): number | null => compileFormulas({ it: formula }, parser)[0]!.compiled.constant;

function refusal(formula: string | Record<string, string>): PullproofError {
  try {
    compileFormulas(typeof formula === 'string' ? { it: formula } : formula, parser);
  } catch (cause) {
    if (cause instanceof PullproofError) return cause;
    throw cause;
  }
  throw new Error(`not refused: ${JSON.stringify(formula)}`);
}

describe('units of results', () => {
  it.each([
    ['manifold_pressure / barometric_pressure', '1'],
    ['manifold_pressure - barometric_pressure', 'Pa'],
    ['charge_temperature - ambient_temperature', 'K'],
    ['charge_temperature - 20 degC', 'K'],
    // Two turns of a four-stroke are 720 degrees: the share of them that an injector is open. Source: definition of duty.
    ['injector_pulse_width * engine_speed / 720 deg', '1'],
    ['air_mass_flow / engine_speed * 720 deg', 'kg'],
    ['engine_speed * 2', 'rpm'],
    ['engine_speed / road_speed', 'deg/m'],
    ['rate(engine_speed, 0.4 s)', 'rpm/s'],
    ['rate(rate(engine_speed, 0.4 s), 0.4 s)', 'rpm/s²'],
    ['rate(throttle, 200 ms)', '1/s'],
    ['smooth(manifold_pressure, 0.4 s)', 'Pa'],
    ['sqrt(manifold_pressure / (1.2 kg/m^3))', 'm/s'],
    ['manifold_pressure ^ 0.5 * manifold_pressure ^ 0.5', 'Pa'],
    ['1200 kg * acceleration * road_speed', 'W'],
    ['0.5 * 1.2 kg/m^3 * 0.7 m^2 * road_speed ^ 2', 'N'],
    ['battery_voltage - 12 V', 'V'],
    ['sin(spark_advance)', '1'],
    ['atan(throttle)', 'deg'],
    ['time', 's'],
    ['time * time', 's²'],
    ['sqrt(manifold_pressure)', 'kg^0.5/(m^0.5 s)'],
    ['manifold_pressure * time', 'Pa s'],
  ])('%s in %s', (formula, unit) => {
    expect(unitOf(formula)).toBe(unit);
  });
});

describe('values of numbers', () => {
  // Source: rules of arithmetic; factors of units as in NIST SP 811 (2008), appendix B.
  it.each([
    ['2 + 3 * 4', 14],
    ['(2 + 3) * 4', 20],
    ['2 - 3 - 4', -5],
    ['24 / 4 / 2', 3],
    ['2 ^ 3 ^ 2', 512],
    ['-2 ^ 2', -4],
    ['- - 2', 2],
    ['2 * -3', -6],
    ['1.5e3', 1500],
    ['.5 + 5.', 5.5],
    ['5 kPa', 5000],
    ['1 psi', 6894.757],
    ['80 km/h / (1 m/s)', 22.22222],
    ['45 %', 0.45],
    ['20 degC / (1 K)', 293.15],
    ['60 rpm', 360],
    ['1 rad / (1 deg)', 57.29578],
    ['3 lb ft', 4.067454],
    ['2 gee / (1 m/s^2)', 19.6133],
    ['abs(-3 kPa)', 3000],
    ['sqrt(16 m^2)', 4],
    ['min(3, 1, 2)', 1],
    ['max(3 kPa, 20 hPa)', 3000],
    ['exp(2)', 7.389056],
    ['log(exp(2))', 2],
    ['log10(1000)', 3],
    ['sin(30 deg)', 0.5],
    ['cos(3.14159265358979 / 3)', 0.5],
    ['tan(45 deg)', 1],
    ['atan(1)', 45],
  ])('%s is %d', (formula, value) => {
    expect(numberOf(formula)!).toBeCloseTo(value, value === 6894.757 ? 3 : 5);
  });
});

describe('refused, with the place', () => {
  it.each([
    // What does not fit.
    ['manifold_pressure + charge_temperature', 21, 'charge_temperature', /value in K cannot be added to a value in Pa/],
    ['5 kPa + 3', 9, '3', /a plain number cannot be added to a value in Pa/],
    ['engine_speed - 10 Hz', 16, '10 Hz', /value in 1\/s cannot be taken from a value in rpm/],
    ['charge_temperature + 5 degC', 22, '5 degC', /point on a temperature scale/],
    ['-(5 C)', 3, '5 C', /point on a temperature scale/],
    ['manifold_pressure ^ throttle', 21, 'throttle', /fixed number/],
    ['2 ^ time', 5, 'time', /plain number, not a value in s/],
    ['time ^ 100', 8, '100', /between -6 and 6/],
    ['log(manifold_pressure)', 1, 'log(manifold_pressure)', /needs a plain number/],
    ['sin(time)', 1, 'sin(time)', /needs an angle/],
    ['1 + min(time, throttle)', 5, 'min(time, throttle)', /values of one kind/],
    ['rate(engine_speed)', 1, 'rate(engine_speed)', /takes 2 values, and 1 is given/],
    ['rate(engine_speed, 3)', 1, 'rate(engine_speed, 3)', /width in time/],
    ['rate(engine_speed, time)', 20, 'time', /fixed time/],
    ['rate(engine_speed, 1 h)', 20, '1 h', /at most 10 s/],
    ['1 / 0', 1, '1 / 0', /no finite value/],
    ['log(0)', 1, 'log(0)', /no finite value/],
    ['1e999', 1, '1e999', /too large/],
    // Found by fuzzing: finite as written, infinite in base units.
    ['1e308 kPa', 1, '1e308 kPa', /too large/],
    // What is not known.
    ['manifold_presure / 2', 1, 'manifold_presure', /no quantity of that name/],
    ['2 * constructor', 5, 'constructor', /no quantity of that name/],
    ['__proto__', 1, '__proto__', /no quantity of that name/],
    ['toString()', 1, 'toString', /no function/],
    ['hasOwnProperty(1)', 1, 'hasOwnProperty', /no function/],
    ['manifold-pressure', 1, 'manifold', /hyphen is a minus/],
    ['5 parsec', 3, 'parsec', /no quantity of that name/],
    ['14.7 AFR', 6, 'AFR', /no quantity of that name/],
    ['sqrt', 1, 'sqrt', /without brackets/],
    ['sqrt + 1', 1, 'sqrt', /without brackets/],
    // What would do more than calculate.
    ['time.constructor', 5, '.', /no meaning/],
    ['time["constructor"]', 5, '[', /no meaning/],
    ['time = 3', 6, '=', /no meaning/],
    ['f(x) = x', 1, 'f', /no function/],
    ['import("node:fs")', 1, 'import', /no function/],
    ['1:1000000', 2, ':', /no meaning/],
    ['sum(1:1000000)', 1, 'sum', /no function/],
    ['[1, 2, 3]', 1, '[', /no meaning/],
    ['{ a: 1 }', 1, '{', /no meaning/],
    ['time; time', 5, ';', /no meaning/],
    ['time ? 1 : 2', 6, '?', /no meaning/],
    ['time > 2', 6, '>', /no meaning/],
    ['3!', 2, '!', /no meaning/],
    ["time'", 5, "'", /no meaning/],
    ['time & 1', 6, '&', /no meaning/],
    ['time \\ 1', 6, '\\', /no meaning/],
    ['time # 1', 6, '#', /no meaning/],
    ['time\u202e', 5, '\u202e', /no meaning/],
    ['evaluate("1")', 1, 'evaluate', /no function/],
    ['time mod 2', 6, 'mod', /no quantity/],
    ['5 kPa to bar', 7, 'to', /no quantity/],
    // What is no formula.
    ['2 time', 3, 'time', /without a sign/],
    ['(1)(2)', 4, '(', /without a sign/],
    ['time 2', 6, '2', /without a sign/],
    ['1 +', 4, '', /missing here/],
    ['(1', 3, '', /missing here/],
    ['1)', 2, ')', /missing here/],
    ['* 2', 1, '*', /missing here/],
    ['min(1,,2)', 7, ',', /missing here/],
    ['1, 2', 2, ',', /missing here/],
    ['()', 2, ')', /missing here/],
    ['   ', 1, '', /no formula/],
    ['5 s ^ 2', 1, '5 s', /power behind a unit/],
  ])('%s', (formula, character, part, message) => {
    const problem = refusal(formula);
    expect(problem.code).toBe('E_FORMULA');
    expect(problem.where).toEqual({ field: 'it', character });
    expect(formula.slice(character - 1).startsWith(part)).toBe(true);
    if (part !== '') expect(problem.what).toContain(`"${part}"`);
    expect(problem.what).toMatch(message);
    expect(problem.fix.length).toBeGreaterThan(5);
  });

  it('names the nearest known name', () => {
    expect(refusal('manifold_presure').fix).toContain('manifold_pressure');
    expect(refusal('sqr(2)').fix).toContain('sqrt');
    expect(refusal({ 'inlet ratio': '2', two: 'inlet_ration' }).fix).toContain('inlet_ratio');
  });

  it('keeps within limits of length, count, depth', () => {
    expect(numberOf(`${'('.repeat(30)}1${')'.repeat(30)}`)).toBe(1);
    expect(refusal(`${'('.repeat(31)}1${')'.repeat(31)}`).what).toMatch(/more than 30 deep/);
    expect(numberOf(Array.from({ length: 125 }, () => '1').join('+'))).toBe(125);
    expect(refusal(Array.from({ length: 126 }, () => '1').join('+')).what).toMatch(/more than 250/);
    expect(numberOf(`${'-'.repeat(248)}1`)).toBe(1);
    expect(numberOf(Array.from({ length: 125 }, () => '1').join('^'))).toBe(1);
    expect(refusal(' '.repeat(1001)).what).toMatch(/1001 characters/);
    const many = Object.fromEntries(Array.from({ length: 101 }, (_, i) => [`q${i}`, '1']));
    expect(refusal(many).what).toMatch(/at most 100/);
  });
});

describe('formulas that use each other', () => {
  it('take the ones above them, by name with underscores', () => {
    const made = compileFormulas(
      { 'pressure-ratio': 'manifold_pressure / barometric_pressure', 'ratio build': 'rate(pressure_ratio, 0.4 s)' },
      parser,
    );
    expect(made.map(({ unit }) => unit)).toEqual(['1', '1/s']);
    expect(made[1]!.names).toEqual(['pressure_ratio']);
  });

  it.each([
    [{ a: 'a + 1' }, /here or further down/],
    [{ a: 'b + 1', b: 'a + 1' }, /here or further down/],
    [{ a: 'b + 1', b: '2' }, /here or further down/],
    [{ 'a b': '1', 'a-b': '2' }, /Two formulas are called a_b/],
    [{ 'manifold pressure': '1' }, /already means something/],
    [{ sqrt: '1' }, /already means something/],
    [{ __proto__x: '1' }, /cannot be the name/],
    [{ 'a.b': '1' }, /cannot be the name/],
    [{ '': '1' }, /cannot be the name/],
    [{ '\u001b[31m': '1' }, /cannot be the name/],
  ])('%j is refused', (formulas, message) => {
    expect(refusal(formulas as Record<string, string>).what).toMatch(message);
  });
});
