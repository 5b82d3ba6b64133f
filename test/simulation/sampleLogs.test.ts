import { readdirSync, readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { effectiveMassKg, moistAirDensity, roadLoadN, sampleCar, sampleLogs, sampleRuns } from '../../packages/simulation/src/index.js';

const folder = new URL('../../sample-logs/', import.meta.url);
const files = sampleLogs();
interface Truth {
  engineSpeedRpm: number[];
  setups: { name: string; wheelPowerW: number[] }[];
  differences: { before: string; after: string; wheelPowerW: number[]; share: number[] }[];
  runs: { log: string; massKg: number; pulls: { scale: number; startS: number; endS: number; wheelPowerW: number[] }[] }[];
}
const truth = JSON.parse(files.get('truth.json')!) as Truth;

/** Cells by header, units row and dialect taken care of. */
function table(name: string): Map<string, number[]> {
  const text = files.get(name)!;
  const semicolon = text.startsWith('Time;');
  const lines = text.trimEnd().split(/\r?\n/);
  const headers = lines[0]!.split(semicolon ? ';' : ',').map((header) => header.replace(/ \(.*\)$/, ''));
  const rows = lines
    .slice(semicolon ? 2 : 1)
    .map((line) => (semicolon ? line.replaceAll(',', '.').split(';') : line.split(',')).map(Number));
  return new Map(headers.map((header, c) => [header, rows.map((row) => row[c]!)]));
}

describe('sampleLogs', () => {
  it('are the committed files, byte for byte, and small', () => {
    let all = 0;
    for (const [name, text] of files) {
      expect(readFileSync(new URL(name, folder), 'utf8') === text, `${name} differs: run node tools/makeSampleLogs.js`).toBe(true);
      const bytes = Buffer.byteLength(text);
      expect(bytes).toBeLessThan(1.5e6);
      all += bytes;
    }
    expect(all).toBeLessThan(6e6);
    const logs = readdirSync(folder).filter((name) => name.endsWith('.csv'));
    expect(logs.sort()).toEqual([...files.keys()].filter((name) => name.endsWith('.csv')).sort());
  });

  it.each(sampleRuns.map((run) => run.log))('%s: the true power explains how long its pulls took', (name) => {
    const run = sampleRuns.find((r) => r.log === name)!;
    const { pulls, massKg } = truth.runs.find((r) => r.log === name)!;
    const car = sampleCar(run.fuelL);
    expect(car.massKg).toBeCloseTo(massKg, 3);
    const north = run.direction === 'north' ? 1 : -1;
    const around = {
      airDensityKgPerM3: moistAirDensity(run.temperatureC + 273.15, 1000 * run.pressureKPa, run.humidityPercent / 100),
      headwindMps: north * run.outing.windNorthMps,
      grade: north * 0.002,
    };
    const columns = table(name);
    const [time, rpm, kmh] = ['Time', 'Engine speed', 'Road speed'].map((header) => columns.get(header)!) as [number[], number[], number[]];
    // Time and speed at an engine speed, by straight lines through the readings within 150 rpm.
    const at = (values: number[], pull: { startS: number; endS: number }, wanted: number): number => {
      const near = rpm.map((_n, i) => i).filter((i) => Math.abs(rpm[i]! - wanted) < 150 && time[i]! > pull.startS && time[i]! < pull.endS);
      const mean = (f: (i: number) => number): number => near.reduce((sum, i) => sum + f(i), 0) / near.length;
      const [n, y] = [mean((i) => rpm[i]!), mean((i) => values[i]!)];
      const slope = mean((i) => (rpm[i]! - n) * (values[i]! - y)) / mean((i) => (rpm[i]! - n) ** 2);
      return y + slope * (wanted - n);
    };
    for (const pull of pulls) {
      let seconds = 0;
      for (let k = 0; k + 1 < truth.engineSpeedRpm.length; k++) {
        const [fromRpm, toRpm] = [truth.engineSpeedRpm[k]!, truth.engineSpeedRpm[k + 1]!];
        if (fromRpm < 3150 || toRpm > 5950) continue;
        const [v0, v1] = [at(kmh, pull, fromRpm) / 3.6, at(kmh, pull, toRpm) / 3.6];
        const v = (v0 + v1) / 2;
        const powerW = (pull.wheelPowerW[k]! + pull.wheelPowerW[k + 1]!) / 2;
        seconds += (effectiveMassKg(car, 3) * v * (v1 - v0)) / (powerW - roadLoadN(car, around, v) * v);
      }
      const logged = at(time, pull, 5950) - at(time, pull, 3150);
      expect(Math.abs(logged / seconds - 1)).toBeLessThan(0.004);
    }
  });

  it('tell the story: the pulley gains low down and loses it in the middle third, the cooler gains most at the top', () => {
    const [cooler, pulley] = truth.differences as [Truth['differences'][number], Truth['differences'][number]];
    const at = (shares: number[], rpm: number): number => shares[truth.engineSpeedRpm.indexOf(rpm)]!;
    expect(at(pulley.share, 3150)).toBeGreaterThan(0.05);
    expect(at(pulley.share, 3850)).toBeGreaterThan(0.05);
    expect(Math.abs(at(pulley.share, 5150))).toBeLessThan(0.01);
    expect(Math.abs(at(pulley.share, 6250))).toBeLessThan(0.01);
    const half = truth.engineSpeedRpm.find((_, i) => pulley.share[i]! < 0.0275)!;
    // Middle third of 2400 to 6600 rpm.
    expect(half).toBeGreaterThan(3800);
    expect(half).toBeLessThan(5200);
    expect(at(cooler.share, 6250)).toBeGreaterThan(2 * at(cooler.share, 3150));
    expect(at(cooler.share, 3150)).toBeGreaterThan(0.01);
  });

  it('hold what a run should: engine off, idle, steady driving, three pulls, neutral', () => {
    for (const { log } of sampleRuns) {
      const c = table(log);
      const rpm = c.get('Engine speed')!;
      const kmh = c.get('Road speed')!;
      const pedal = c.get('Pedal position')!;
      const pressure = c.get('Manifold pressure')!;
      const off = rpm.filter((n) => n === 0).length;
      expect(off).toBeGreaterThan(100);
      // Engine off: the manifold reads the air outside.
      const baro = c.get('Barometric pressure')!;
      const mean = (xs: number[]): number => xs.reduce((a, b) => a + b, 0) / xs.length;
      expect(mean(pressure.slice(0, off)) - mean(baro.slice(0, off))).toBeCloseTo(0, 0);
      expect(rpm.filter((n, i) => n > 800 && n < 900 && kmh[i] === 0).length).toBeGreaterThan(200);
      const starts = pedal.filter((p, i) => p > 95 && pedal[i - 1]! <= 95).length;
      expect(starts).toBe(3);
      expect(rpm.filter((n, i) => n < 900 && kmh[i]! > 70).length).toBeGreaterThan(600);
      expect(Math.max(...pressure)).toBeGreaterThan(155);
    }
  });
});
