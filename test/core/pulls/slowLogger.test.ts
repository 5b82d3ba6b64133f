import { findChannel, readLog, runTrial, type TrialResult } from '@pullproof/core';
import { type SlowCase, slowTrial } from '@pullproof/simulation';
import { describe, expect, it } from 'vitest';
import { findStretches } from '../../../packages/core/src/stretches/index.js';

const bytes = (text: string): Uint8Array => new TextEncoder().encode(text);

function answer(one: SlowCase, seed: number, change: (trial: string) => string = (trial) => trial): TrialResult {
  const { trial, logs } = slowTrial(one, seed);
  return runTrial(change(trial), 'trial.yaml', (path) => ({ chunks: bytes(logs.get(path)!), sha256: () => path }));
}

const phone: SlowCase = { rateHz: 3, satellite: '1 Hz late', gear: 3, engine: 'petrol', gainShare: 0 };
const firstLog = (one: SlowCase, seed: number): string => slowTrial(one, seed).logs.get('before.csv')!;

describe('a phone that asks in turn, with a satellite speed on its own clock', () => {
  const log = readLog(bytes(firstLog(phone, 1)), { path: 'before.csv' });
  const refresh = (quantity: 'engine-speed' | 'road-speed' | 'gps-speed'): number => findChannel(log, quantity)!.refreshS!.median;

  it('is read by the clock of each channel: neither hides the other’s', () => {
    expect(refresh('engine-speed')).toBeGreaterThan(0.3);
    expect(refresh('engine-speed')).toBeLessThan(0.37);
    expect(refresh('road-speed')).toBeCloseTo(refresh('engine-speed'), 1);
    expect(refresh('gps-speed')).toBeCloseTo(1, 1);
    expect(findChannel(log, 'engine-speed')!.freshBy).toMatch(/by its changes new about every 0\.3\d? s/);
  });

  it('has its lag told and taken out: 0.8 s, less the 0.05 s of engine speed', () => {
    const { road, satellite } = findStretches(log).signals;
    expect(road!.channel.quantity).toBe('road-speed');
    expect(satellite!.lagS).toBeGreaterThan(0.6);
    expect(satellite!.lagS).toBeLessThan(0.9);
  });

  it('serves for the scale of the car’s own speed, and the answer says so', () => {
    const result = answer({ ...phone, speedScale: 1 / 1.03 }, 2);
    expect(result.setups[0]!.pulls[0]!.speedSource).toMatch(/calibrated to Vehicle speed \(km\/h\), with .*(satellite speed|GPS Speed)/);
    const { engineSpeedRpm, value } = result.setups[0]!.curves.wheelPowerW!;
    const { truthW } = slowTrial(phone, 2);
    const errors = engineSpeedRpm.map((rpm, i) => value[i]! / truthW(rpm) - 1);
    // 3 % of speed would be 6 % of power.
    expect(Math.abs(errors.reduce((sum, error) => sum + error, 0) / errors.length)).toBeLessThan(0.025);
  });

  it('is left out by one line', () => {
    const ignored = answer(phone, 2, (trial) => trial.replaceAll('grade: 0 % }', 'grade: 0 %, channels: { "GPS Speed (km/h)": ignore } }'));
    expect(ignored.setups[0]!.pulls[0]!.speedSource).not.toMatch(/satellite|GPS/);
    expect(ignored.overall[0]!.verdict).toBe('no clear change');
  });
});

describe('stated gearing beside a road speed that reads 3 % high', () => {
  const wrong: SlowCase = { ...phone, satellite: 'none', speedScale: 1 / 1.03 };
  const biasOf = (one: SlowCase): number => {
    const { engineSpeedRpm, value } = answer(one, 3).setups[0]!.curves.wheelPowerW!;
    const { truthW } = slowTrial(one, 3);
    return engineSpeedRpm.reduce((sum, rpm, i) => sum + value[i]! / truthW(rpm) - 1, 0) / engineSpeedRpm.length;
  };

  it('takes half of the error out, and the margin holds the rest', () => {
    expect(biasOf(wrong)).toBeLessThan(0.045);
    const { engineSpeedRpm, low, high } = answer(wrong, 3).setups[0]!.curves.wheelPowerW!;
    const { truthW } = slowTrial(wrong, 3);
    const held = engineSpeedRpm.filter((rpm, i) => low[i]! <= truthW(rpm) && truthW(rpm) <= high[i]!);
    expect(held.length / engineSpeedRpm.length).toBeGreaterThan(0.9);
  });
});

describe('pulls with few readings', () => {
  it('are used together at one reading a second in a long gear', () => {
    const result = answer({ ...phone, satellite: 'none', rateHz: 1, engine: 'diesel' }, 1);
    expect(result.setups.every(({ curves }) => curves.wheelPowerW !== undefined)).toBe(true);
    expect(result.overall[0]!.verdict).not.toBe('cannot tell');
  });

  it('are refused with their number and what would help', () => {
    const result = answer({ ...phone, satellite: 'none', rateHz: 0.7, gear: 2 }, 1);
    const told = result.findings.find(({ code }) => code === 'TOO_FEW_READINGS')!;
    expect(told.message).toMatch(/has (at most )?\d engine-speed readings? that surely belong to full throttle; 3 are needed/);
    expect(told.fix).toMatch(/^Log only engine speed, road speed and pedal/);
  });
});

describe('engine speed without road speed', () => {
  const alone: SlowCase = { ...phone, satellite: 'none', without: 'road speed', gainShare: 0.05 };

  it('gives power with the run’s gear and stated gearing', () => {
    const result = answer(alone, 1);
    expect(result.setups[0]!.pulls[0]!).toMatchObject({ gear: 3, used: true });
    expect(result.setups[0]!.pulls[0]!.speedSource).toMatch(/by gear ratio, final drive and tyre radius/);
    expect(result.overall[0]!.verdict).toBe('gain');
  });

  it('names the one field that would change it where the gear is not stated', () => {
    const told = answer(alone, 1, (trial) => trial.replaceAll(', gear: 3', '')).findings.find(({ code }) => code === 'NO_ROAD_SPEED')!;
    expect(told.fix).toMatch(/gear: 3/);
  });
});
