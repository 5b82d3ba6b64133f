import { checkSpeedByGears, randomStream, readLog } from '@pullproof/core';
import { describe, expect, it } from 'vitest';
import { utf8 } from './fixture.js';

// An invented five-speed car. Source: engine speed = road speed × final drive × gear ratio × 60 / (2π × rolling radius), kinematics of a rolling wheel.
const radiusM = 0.318;
const rpmPerMps = [3.32, 2.08, 1.43, 1.0, 0.76].map((ratio) => (ratio * 3.73 * 60) / (2 * Math.PI * radiusM));

/** A drive through the gears, its road speed written after a factor. */
function drive(factor: number, spread = 0) {
  const random = randomStream(2);
  const rows = Array.from({ length: 600 }, (_, i) => {
    const mps = 8 + 40 * (i / 600);
    const gear = Math.min(4, 1 + Math.floor(i / 200));
    const rpm = mps * rpmPerMps[gear]! * (1 + 0.005 * random.normal() + spread * random.uniform());
    return `${(i * 0.05).toFixed(2)},${rpm.toFixed(0)},${(mps * 3.6 * factor).toFixed(1)}`;
  });
  return readLog(utf8(`Time (s),Engine speed (rpm),Road speed (km/h)\n${rows.join('\n')}\n`), { path: 'a.csv' });
}

describe('the unit of road speed by the gears', () => {
  it('says nothing of a right one', () => expect(checkSpeedByGears(drive(1), rpmPerMps)).toBeNull());

  it.each([
    [1 / 1.609344, 'mph logged as km/h'],
    [1 / 3.6, 'm/s logged as km/h'],
  ])('sees a factor of %d', (factor, likely) => {
    expect(checkSpeedByGears(drive(factor), rpmPerMps)?.message).toContain(likely);
    expect(checkSpeedByGears(drive(factor), rpmPerMps)?.code).toBe('W_IMPLAUSIBLE');
  });

  it('says nothing where the driveline slips all the way', () => expect(checkSpeedByGears(drive(1 / 1.609344, 1.5), rpmPerMps)).toBeNull());

  it('refuses a gear of zero', () => expect(() => checkSpeedByGears(drive(1), [0])).toThrow(/E_ARGUMENT/));
});
