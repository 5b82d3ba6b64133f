import { readFileSync } from 'node:fs';
import { runTrial, type TrialResult } from '@pullproof/core';
import { expectedRatioFigure, mixtureDriftFigure, quantityDifferenceFigure } from '@pullproof/figures';
import { renderReport } from '@pullproof/report';
import { describe, expect, test } from 'vitest';
import { changedSample } from '../core/trial/sampleText.js';
import { topicOf } from './reportText.js';

const folder = new URL('../../sample-logs/', import.meta.url);

function answer(sensor: (kpa: number) => number): TrialResult {
  return runTrial(readFileSync(new URL('trial.yaml', folder), 'utf8'), 'trial.yaml', (path) => ({
    chunks: new TextEncoder().encode(changedSample(readFileSync(new URL(path, folder), 'utf8'), 'Manifold pressure', sensor, 1)),
    sha256: () => 'f'.repeat(64),
  }));
}

const free = answer((kpa) => kpa);
const clipped = answer((kpa) => Math.min(kpa, 160));

const sectionOf = (result: TrialResult, id: string): string => topicOf(renderReport(result), id);

describe('sections of pressure and mixture', () => {
  test('pressure: boost, its difference, the pulley’s share, rotor speeds', () => {
    const section = sectionOf(free, 'pressure');
    expect(section).toContain('Boost, above the barometer');
    expect(section).toContain('74 mm pulley vs base');
    expect(section).toContain('what the pulley alone should give');
    expect(section).toContain('14,703');
    expect(section).not.toContain('Pegged');
  });

  test('mixture: drift, delay, measured error under that name, idle', () => {
    const section = sectionOf(free, 'mixture');
    expect(section).toContain('Mixture change');
    expect(section).toContain('Fueling error, base');
    expect(section).toContain('Idle, before and after');
    expect(section).not.toMatch(/new values|NaN|undefined|safe/i);
    expect(section).not.toContain('Ethanol');
  });

  test('the share of ethanol is shown where a log has it, and a dash where another has not', () => {
    const setups = free.setups.map((setup, at) => ({ ...setup, mixture: { ...setup.mixture!, ethanolShare: at === 1 ? 0.1234 : null } }));
    const section = sectionOf({ ...free, setups }, 'mixture');
    expect(section).toContain('Ethanol logged, %');
    expect(section).toMatch(/>12\.3<\/td>/);
    const cells = section
      .slice(section.indexOf('How lambda was read'))
      .split('</table>')[0]!
      .matchAll(/<td[^>]*>([^<]*)<\/td>/g);
    expect([...cells].map(([, cell]) => cell).filter((cell) => cell === '12.3' || cell === '–').length).toBeGreaterThanOrEqual(3);
  });

  test('a reading that is cut off is told with the boost that the sensor can show, and nothing is drawn there', () => {
    const section = sectionOf(clipped, 'pressure');
    expect(section).toContain('Pegged sensors');
    expect(section).toContain('psi');
    expect(section).toContain('in part at least');
    const figure = quantityDifferenceFigure(clipped, { comparison: 1, quantity: 'boostPa' });
    expect(figure.status ?? figure.notes.join(' ')).toMatch(/pegged|ceiling/);
  });
});

describe('figures without their numbers say why', () => {
  const bare: TrialResult = { ...free, comparisons: free.comparisons.map((one) => ({ ...one, pressure: null, mixture: null })) };

  test.each([
    ['difference', quantityDifferenceFigure(bare, { comparison: 0, quantity: 'boostPa' })],
    ['expected ratio', expectedRatioFigure(bare, { comparison: 0 })],
    ['drift', mixtureDriftFigure(bare, { comparison: 0 })],
  ])('%s', (_, figure) => {
    expect(figure.status).toMatch(/not/);
    expect(figure.data).toEqual([]);
  });
});
