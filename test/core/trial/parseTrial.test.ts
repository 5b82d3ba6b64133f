import { PullproofError, parseTrial } from '@pullproof/core';
import { describe, expect, test } from 'vitest';
import { fullTrial } from './fullTrial.js';

function refusal(text: string): PullproofError {
  try {
    parseTrial(text, 'trial.yaml');
  } catch (problem) {
    if (problem instanceof PullproofError) return problem;
    throw problem;
  }
  throw new Error('the file was accepted');
}

function changed(from: string, to: string): string {
  expect(fullTrial, 'the text to change is in the file').toContain(from);
  return fullTrial.replace(from, to);
}

describe('a trial file with every key', () => {
  const file = parseTrial(fullTrial, 'trial.yaml');

  test('is read, quantities in SI beside their text', () => {
    expect(file.title).toBe('Smaller blower pulley');
    expect(file.car.weighed?.mass).toEqual({ si: 3478 * 0.45359237, text: '3478 lb', system: 'imperial' });
    expect(file.car['gear-ratios']).toEqual([3.32, 2.08, 1.43, 1, 0.76]);
    expect(file.car['drag-area']).toMatchObject({ si: 0.706 });
    expect(file.car.injectors?.flow).toMatchObject({ kind: 'volume' });
    expect(file.car.launch?.['driven-axle-share']?.si).toBe(0.52);
    expect(file.setups[0]!['map-sensor']?.fitted['at-5V'].si).toBeCloseTo(315600, 6);
    expect(file.setups[0]!.changes?.fasteners?.[0]).toMatchObject({ size: 'M8', class: '8.8', torque: { si: 25 } });
    expect(file.setups[0]!.runs?.[0]?.to?.si).toBe(300);
    expect([...file.setups[0]!.runs![0]!.channels!]).toEqual([['Col 7', 'manifold-pressure kPa abs']]);
    expect(file.calculated).toEqual(new Map([['pressure-ratio', 'manifold_pressure / barometric_pressure']]));
  });

  test('keeps slips with their overrides', () => {
    const [slip] = file.slips as Exclude<typeof file.slips, string | undefined>;
    expect(slip!.times['1320ft']?.si).toBe(13.24);
    expect(slip!.speeds?.['1320ft']?.si).toBeCloseTo(106.3 * 0.44704, 10);
    expect(slip!.driver?.si).toBeCloseTo(180 * 0.45359237, 10);
  });

  test('keeps names that look like numbers as typed', () => {
    const text = 'trial: 1\nsetups: [ { name: 1.10, calibration: 7, runs: [ { log: a.csv, outing: 02 } ] } ]';
    const { setups } = parseTrial(text, 'trial.yaml');
    expect([setups[0]!.name, setups[0]!.calibration, setups[0]!.runs![0]!.outing]).toEqual(['1.10', '7', '02']);
  });

  test('reads a file with a byte-order mark and CRLF', () => {
    expect(parseTrial(`\uFEFF${fullTrial.replaceAll('\n', '\r\n')}`, 'trial.yaml')).toEqual(file);
  });

  test('a column may be called __proto__', () => {
    const { setups } = parseTrial(changed('"Col 7"', '"__proto__"'), 'trial.yaml');
    expect([...setups[0]!.runs![0]!.channels!.keys()]).toEqual(['__proto__']);
  });

  test('keeps what is stated about the form of a log', () => {
    const reading =
      '{ delimiter: semicolon, decimal: comma, encoding: windows-1252, time-unit: ms, rate: 25 Hz, table: 2, max-gap: 500 ms }';
    const { setups } = parseTrial(`trial: 1\nsetups: [ { name: a, runs: [ { log: a.csv, reading: ${reading} } ] } ]`, 'trial.yaml');
    expect(setups[0]!.runs![0]!.reading).toMatchObject({
      delimiter: ';',
      decimal: ',',
      encoding: 'windows-1252',
      'time-unit': 'ms',
      rate: { si: 25 },
      table: 2,
      'max-gap': { si: 0.5 },
    });
  });

  test('groups whose lines were all taken out count as left out', () => {
    const { car, setups } = parseTrial('trial: 1\ncar:\n  weighed:\nsetups: [ { name: a, runs: [ { log: a.csv, air: } ] } ]', 'trial.yaml');
    expect([car.weighed, setups[0]!.runs![0]!.air]).toEqual([undefined, undefined]);
  });

  test.each([
    ['slips: slips.csv', 'slips.csv'],
    ['slips: []', []],
  ])('%s', (line, slips) => {
    expect(parseTrial(`trial: 1\nsetups: [ { name: a } ]\n${line}`, 'trial.yaml').slips).toEqual(slips);
  });

  test.each([
    ['imperial', 'car: { driver: 180 lb, cargo: 6 kg, weighed: { mass: 3478 lb } }'],
    ['metric', 'car: { driver: 82 kg }'],
    ['metric', 'car: { redline: 6700 rpm }'],
  ])('units for people follow what is written: %s for %s', (units, car) => {
    expect(parseTrial(`trial: 1\n${car}\nsetups: [ { name: a } ]`, 'trial.yaml').units).toBe(units);
  });
});

describe('a trial file that cannot be used names line, field and code', () => {
  test.each([
    ['E_UNIT_MISSING', 7, 'car.driver', 'driver: 82 kg', 'driver: 82'],
    ['E_UNIT_MISSING', 44, 'setups[0].runs[0].air.humidity', 'humidity: 45 %', 'humidity: 45'],
    ['E_UNIT_MISSING', 60, 'slips[0].times.60ft', '60ft: 2.01 s', '60ft: 2.01'],
    ['E_UNIT_UNKNOWN', 7, 'car.driver', 'driver: 82 kg', 'driver: 82 kgg'],
    ['E_UNIT_DIMENSION', 7, 'car.driver', 'driver: 82 kg', 'driver: 82 L'],
    ['E_QUANTITY', 6, 'car.weighed.mass', 'mass: 3478 lb', 'mass: "3,478 lb"'],
    ['E_TRIAL_IMPLAUSIBLE', 14, 'car.tyre-radius', '0.318 m', '318 m'],
    ['E_TRIAL_IMPLAUSIBLE', 6, 'car.weighed.mass', '3478 lb', '34780 lb'],
    ['E_TRIAL_IMPLAUSIBLE', 15, 'car.gear-ratios[0]', '[3.32', '[33.2'],
    ['E_TRIAL_UNKNOWN_KEY', 12, 'car.drag-aera', 'drag-area:', 'drag-aera:'],
    ['E_TRIAL_UNKNOWN_KEY', 44, 'setups[0].runs[0].air.temprature', 'temperature: 22', 'temprature: 22'],
    ['E_TRIAL_UNKNOWN_KEY', 60, 'slips[0].times.30ft', '60ft: 2.01 s', '30ft: 2.01 s'],
    ['E_TRIAL_UNKNOWN_KEY', 7, 'car.__proto__', 'driver: 82 kg', '__proto__: { driver: 82 kg }'],
    ['E_TRIAL_UNKNOWN_KEY', 7, 'car.constructor', 'driver: 82 kg', 'constructor: 3'],
    ['E_TRIAL_REFERENCE', 44, 'setups[0].runs[0].air.pressure', '99.2 kPa', '14.2 psig'],
    ['E_TRIAL_REFERENCE', 49, 'setups[0].runs[0].channels.Col 7', 'manifold-pressure kPa abs', 'manifold-pressure kPa'],
    ['E_TRIAL_VALUE', 49, 'setups[0].runs[0].channels.Col 7', 'manifold-pressure kPa', 'manifold-presure kPa'],
    ['E_TRIAL_VALUE', 17, 'car.transmission', 'transmission: manual', 'transmission: manul'],
    ['E_TRIAL_VALUE', 40, 'setups[0].runs[0].when', '2026-05-02', '2026-02-30'],
    ['E_TRIAL_VALUE', 4, 'car', 'car:\n  name: demo coupe', 'car: [ 3 ]\nextra:\n  name: demo coupe'],
    ['E_TRIAL_MISSING', 7, 'car.driver', 'driver: 82 kg', 'driver:'],
    ['E_TRIAL_MISSING', 39, 'setups[0].runs[0].log', 'log: 74mm-a.csv\n        when', 'when'],
    ['E_TRIAL_VERSION', 1, 'trial', 'trial: 1', 'trial: 2'],
    ['E_TRIAL_CONFLICT', 15, 'car.gear-ratios[2]', '2.08, 1.43', '1.43, 2.08'],
    ['E_TRIAL_CONFLICT', 56, 'slips[0].setup', '- setup: 74 mm', '- setup: 75 mm'],
    ['E_TRIAL_CONFLICT', 50, 'setups[1].name', 'name: 70 mm', 'name: 74 mm'],
    ['E_TRIAL_CONFLICT', 48, 'setups[0].runs[0].to', 'to: 5 min', 'to: 5 s'],
    ['E_TRIAL_CONFLICT', 53, 'setups[1].runs[0].air.dew-point', 'dew-point: 10', 'dew-point: 25'],
    ['E_TRIAL_CONFLICT', 43, 'setups[0].runs[0].fuel-in-tank', 'fuel-in-tank: 35 L', 'fuel-in-tank: 95 L'],
    ['E_TRIAL_CONFLICT', 14, 'car.tyre', 'tyre-radius: 0.318 m', 'tyre: 245/45R17\n  tyre-radius: 0.318 m'],
    ['E_TRIAL_NEEDS', 44, 'setups[0].runs[0].air.altimeter', 'pressure: 99.2 kPa', 'altimeter: 29.98 inHg'],
    ['E_TRIAL_NEEDS', 52, 'setups[1].runs[0].fuel-in-tank', '  tank: 70 L\n', ''],
    ['E_TRIAL_NEEDS', 20, 'car.engine-inertia', '  wheel-inertia: 4.6 kg m^2\n', '\n'],
    ['E_TRIAL_SYNTAX', 29, undefined, 'setups:', 'setups: ]['],
    ['E_TRIAL_SYNTAX', 8, undefined, 'driver: 82 kg', 'driver: 82 kg\n  driver: 83 kg'],
    ['E_STATED', 49, 'setups[0].runs[0].reading.delimiter', 'channels: {', 'reading: { delimiter: abc }\n        channels: {'],
    ['E_TYRE', 14, 'car.tyre', 'tyre-radius: 0.318 m', 'tyre: 245/45'],
    ['E_TRIAL_FILL_IN', 7, 'car.driver', 'driver: 82 kg', 'driver: FILL IN'],
  ])('%s line %i %s', (code, line, field, from, to) => {
    const problem = refusal(changed(from, to));
    expect({ code: problem.code, line: problem.where.line, field: problem.where.field }).toEqual({ code, line, field });
    expect(problem.where.path).toBe('trial.yaml');
    expect(problem.fix).not.toBe('');
  });

  test('names the nearest known key, or all of them when none is near', () => {
    expect(refusal(changed('drag-area:', 'drag-aera:')).fix).toContain('drag-area');
    expect(refusal(changed('  name: demo coupe', '  xyzzyx: demo coupe')).fix).toContain('weighed, mass-without-fuel');
  });

  test('a mistyped required key is told before its right spelling is called missing', () => {
    expect(refusal('trial: 1\nsetup: []\n')).toMatchObject({ code: 'E_TRIAL_UNKNOWN_KEY', where: { line: 2, field: 'setup' } });
  });

  test('tells all problems at once, the first in full', () => {
    const problem = refusal(changed('driver: 82 kg\n  cargo: 6 kg', 'driver: 82\n  cargo: 6'));
    expect(problem.message).toMatch(/line 7 car\.driver: 82 has no unit.*1 more: line 8 car\.cargo: 6 has no unit/);
  });

  test('names every value still marked', () => {
    const problem = refusal(changed('driver: 82 kg\n  cargo: 6 kg', 'driver: FILL IN\n  cargo: FILL IN kg'));
    expect(problem.code).toBe('E_TRIAL_FILL_IN');
    expect(problem.message).toContain('line 8 car.cargo');
  });

  test.each([
    ['E_TRIAL_EMPTY', ' \n'],
    ['E_TRIAL_SYNTAX', '- 1\n- 2\n'],
    ['E_TRIAL_SYNTAX', 'trial: *nothing\n'],
    ['E_TRIAL_MISSING', 'trial: 1\n'],
    ['E_TRIAL_MISSING', 'trial: 1\nsetups: []\n'],
  ])('%s for %j', (code, text) => {
    expect(refusal(text).code).toBe(code);
  });

  test('a file that multiplies itself by references is refused, not expanded', () => {
    const doubled = Array.from({ length: 30 }, (_, i) => `l${i + 1}: &a${i + 1} [*a${i}, *a${i}]`).join('\n');
    expect(refusal(`l0: &a0 [1, 1]\n${doubled}\n`).code).toBe('E_TRIAL_SYNTAX');
  });
});
