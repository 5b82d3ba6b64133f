import { closeSync, openSync, writeSync } from 'node:fs';
import { randomStream } from '@pullproof/core';

const names =
  'Time (s),Engine speed (rpm),Road speed (km/h),Manifold pressure (kPa abs),Barometric pressure (kPa),Intake air temperature (°C),Charge temperature (°C),Coolant temperature (°C),Lambda,Commanded lambda,Pedal position (%),Throttle position (%),Spark advance (deg),Knock retard (deg),Injector pulse width (ms),Injector duty (%),Fuel pressure (kPa gauge),Battery voltage (V),Mass air flow (g/s),Engine load (%),Exhaust temperature (°C),Aux 1,Aux 2,Aux 3,Aux 4'.split(
    ',',
  );
const middles = [0, 4200, 120, 160, 99, 31, 48, 91, 0.84, 0.82, 72, 74, 18, 0.6, 12, 58, 300, 13.8, 180, 78, 720, 5, 50, 500, 5000];

/** Writes a seeded log of 25 columns with three decimals, at least `bytes` long. Returns its rows of data. */
export function makeLog(file, bytes) {
  const random = randomStream(1);
  const handle = openSync(file, 'w');
  let written = writeSync(handle, `${names.join(',')}\n`);
  let rows = 0;
  while (written < bytes) {
    let text = '';
    for (let i = 0; i < 2000; i++) {
      text += (rows * 0.02).toFixed(3);
      // A gentle swing with noise: what sensors write, without a pull in it.
      for (let c = 1; c < middles.length; c++)
        text += `,${(middles[c] * (1 + 0.12 * Math.sin(rows / (90 + 7 * c)) + 0.02 * random.uniform())).toFixed(3)}`;
      text += '\n';
      rows++;
    }
    written += writeSync(handle, text);
  }
  closeSync(handle);
  return rows;
}
