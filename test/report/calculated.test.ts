import type { CalculatedResult, TrialResult } from '@pullproof/core';
import { calculatedFigure, calculatedUnit } from '@pullproof/figures';
import { renderReport } from '@pullproof/report';
import { describe, expect, test } from 'vitest';
import { calculatedLines } from '../../packages/cli/src/terminal/calculatedText.js';
import { styleFor } from '../../packages/cli/src/terminal/style.js';
import { inventedTrials } from './inventedTrials.js';
import { topicOf } from './reportText.js';

const [invented] = Object.values(inventedTrials) as [TrialResult];
const names = invented.setups.map(({ name }) => name);

/** A quantity that is `value` in the first setup and missing in the others. */
function quantity(value: number, unit: string, given: Partial<CalculatedResult> = {}): CalculatedResult {
  const flat = (at: number): (number | null)[] => [at, at, at];
  const curve = {
    engineSpeedRpm: [3000, 4000, 5000],
    value: flat(value),
    low: flat(value * 0.9),
    high: flat(value * 1.1),
    level: 0.95,
    simultaneous: false,
    bound: null,
  };
  return {
    name: 'pressure-ratio',
    formula: 'manifold_pressure / barometric_pressure',
    unit,
    setups: names.map((setup, i) =>
      i === 0 ? { setup, curve, status: null } : { setup, curve: null, status: 'It has no value in the pulls.' },
    ),
    ...given,
  };
}

const withCalculated = (...calculated: CalculatedResult[]): TrialResult => ({ ...invented, calculated });

describe('calculated quantities as they are shown', () => {
  test.each([
    [1.62, '1', 'metric', '', 2, 1.62],
    [161_800, 'Pa', 'metric', 'kPa', 0, 161.8],
    [161_800, 'Pa', 'imperial', 'psi', 1, 23.4671],
    [21.1, 'K', 'imperial', 'K', 1, 21.1],
    [0.0035, '1/s', 'metric', '1/s', 5, 0.0035],
    [0, 'rpm', 'metric', 'rpm', 0, 0],
  ] as const)('%d %s, %s', (value, unit, units, symbol, decimals, shown) => {
    const made = calculatedUnit(quantity(value, unit), units);
    expect([made.symbol, made.decimals]).toEqual([symbol, decimals]);
    expect(made.fromSi(value)).toBeCloseTo(shown, 3);
  });

  test('figure: a curve where there is one, the reason where there is none', () => {
    const figure = calculatedFigure(withCalculated(), { calculated: quantity(1.6, '1') });
    expect(figure.status).toBeNull();
    expect(JSON.stringify(figure.notes)).toContain('It has no value in the pulls');
    const none = quantity(1.6, '1', { setups: [{ setup: 'base', curve: null, status: 'No pull could be used.' }] });
    expect(calculatedFigure(withCalculated(), { calculated: none }).status).toContain('No pull could be used');
  });

  test('report: a section only where there are some, and their text is inert', () => {
    expect(topicOf(renderReport(invented), 'power')).not.toContain('by formula');
    const page = renderReport(withCalculated(quantity(1.6, '1', { name: '<b>x</b>', formula: '<img src=x onerror=alert(1)> \u202e' })));
    expect(topicOf(page, 'power')).toContain('by formula');
    expect(page).toContain('&lt;img src=x');
    expect(page).not.toMatch(/<img src=x|<b>x<|\u202e/);
  });

  test('terminal: one line each, a dash where there is nothing', () => {
    const style = styleFor({ write: () => undefined, isTTY: false, columns: 120 }, { LANG: 'C.UTF-8' });
    expect(calculatedLines(withCalculated(), style)).toEqual([]);
    const text = calculatedLines(withCalculated(quantity(161_800, 'Pa', { name: 'p\u001b[31m' })), style).join('\n');
    expect(text).toContain('p\\u{1b}[31m');
    expect(text).toMatch(/161\.8|162|23\.5/);
    expect(text).toContain('–');
    expect(text).not.toContain('\u001b');
  });
});
