import { boostPulls } from '@pullproof/simulation';
import { describe, expect, test } from 'vitest';
import { boostLogText, ceilingSource, limitStudy, study } from '../../bench/ceilingStudy.js';
import { logCeilings } from '../../packages/core/src/pulls/logCeilings.js';

describe('pressure beyond a sensor’s end', () => {
  test('estimates of 120 simulated logs hold the truth, and none lies below the end', () => {
    let [points, inside, found] = [0, 0, 0];
    for (const row of study(120, 900_001).values()) {
      points += row.points;
      inside += row.inside;
      found += row.found;
    }
    expect(found).toBeGreaterThan(80);
    expect(points).toBeGreaterThan(80);
    // docs/boost-and-sensors.md: 95.0 % of 1,000 logs; so few logs scatter by 5 %, as the points of one log stand or fall together.
    expect(inside / points).toBeGreaterThan(0.85);
  });

  test('boost that its control holds is seldom taken for a sensor’s end, and never for sure where the duty is logged', () => {
    const told = limitStudy(40, 900_001);
    expect(told.ceiling).toBeLessThanOrEqual(1);
    expect(told.ceilingWithDuty).toBe(0);
  });

  test('a level that the same log exceeds elsewhere, or that differs from day to day, is told as a limit', () => {
    const made = boostPulls(7, 'blower');
    const endAt = (pulls: typeof made.after.pulls, kpa: number, name: string) =>
      ceilingSource(boostLogText(pulls, 1000 * kpa), pulls, name, 'after', made.stationPa);
    const top = Math.max(...made.after.pulls.flatMap(({ truePa }) => [...truePa])) / 1000;
    const alone = logCeilings([endAt(made.after.pulls, 0.95 * top, 'a.csv')]);
    expect(alone.results).toHaveLength(1);
    expect(alone.findings.map(({ code }) => code)).not.toContain('BOOST_LIMITED');
    const twoDays = logCeilings([endAt(made.after.pulls, 0.95 * top, 'a.csv'), endAt(made.after.pulls, 0.9 * top, 'b.csv')]);
    expect(twoDays.results).toHaveLength(0);
    const said = twoDays.findings.find(({ code }) => code === 'BOOST_LIMITED')!;
    expect(said.message).toContain('Boost is held there; the sensor did not run out of range');
    expect(said.message).toMatch(/(higher elsewhere|levels off elsewhere)/);
  });
});
