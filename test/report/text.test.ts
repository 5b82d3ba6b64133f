import { describe, expect, it } from 'vitest';
import { inputText } from '../../packages/report/src/text.js';
import { inventedTrials } from './inventedTrials.js';

const metric = { ...inventedTrials.gain!, units: 'metric' as const };
const imperial = { ...metric, units: 'imperial' as const };

describe('an input as people read it', () => {
  it('a difference of temperature has no zero to shift, a temperature has', () => {
    expect(inputText({ value: 0, spread: 8, unit: 'K' }, metric)).toBe('0.0\u00a0±\u00a08.0 °C');
    // 8 K are 14.4 °F by the definition of the scale.
    expect(inputText({ value: 0, spread: 8, unit: 'K' }, imperial)).toBe('0\u00a0±\u00a014 °F');
    expect(inputText({ value: 363.15, spread: null, unit: 'K' }, metric)).toBe('90 °C');
  });

  it('fuel for the energy at the crank has digits to read', () => {
    expect(inputText({ value: 287 / 3.6e9, spread: 25 / 3.6e9, unit: 'kg/J' }, metric)).toBe('287\u00a0±\u00a025 g/kWh');
    // 287 g/kWh × 0.74570 kWh/(hp h) ÷ 453.59 g/lb = 0.4718 lb/(hp h), worked by hand.
    expect(inputText({ value: 287 / 3.6e9, spread: 25 / 3.6e9, unit: 'kg/J' }, imperial)).toBe('0.472\u00a0±\u00a00.041 lb/(hp h)');
  });

  it('short times stand in ms; a limit without a spread has the digits it needs', () => {
    expect(inputText({ value: 1e-3, spread: 2.5e-4, unit: 's' }, metric)).toBe('1.00\u00a0±\u00a00.25 ms');
    expect(inputText({ value: 4, spread: null, unit: 'deg' }, metric)).toBe('4 deg');
    expect(inputText({ value: 0.9, spread: null, unit: '1' }, metric)).toBe('0.9');
  });
});
