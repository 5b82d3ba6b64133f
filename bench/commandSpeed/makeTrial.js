// Writes a trial of two ten-minute logs, 50 rows a second, 24 columns, of the invented car with two blower pulleys.
//   node bench/commandSpeed/makeTrial.js FOLDER
import { mkdirSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import { fileURLToPath } from 'node:url';
import {
  baseSetup,
  blownEngine,
  makeLog,
  moistAirDensity,
  pulleySetup,
  sampleCar,
  sampleEngine,
  sampleLogger,
  sampleLogs,
} from '@pullproof/simulation';

const rows = 30_000;
const pulls = 6;
const { channels, ...logger } = sampleLogger('point');
/** Channels that loggers write besides: the same sensors read a second time, as they come. */
const further = [
  ['Aux 1', 'manifoldPa', 1e-3, 0.5, 2],
  ['Aux 2', 'speedMps', 1, 0.02, 3],
  ['Aux 3', 'intakeK', 1, 0.1, 2],
  ['Aux 4', 'lambda', 1, 0.004, 3],
  ['Aux 5', 'batteryV', 1, 0.03, 3],
  ['Aux 6', 'coolantK', 1, 0.2, 2],
].map(([header, source, factor, noise, decimals]) => ({ header, source, written: (value) => factor * value, noise, decimals }));

function longLog(setup, seed) {
  const airK = 294;
  const airPa = 98_900;
  const drive = [
    { kind: 'key-on', durationS: 6 },
    { kind: 'idle', durationS: 30 },
  ];
  for (let i = 0; i < pulls; i++) {
    drive.push({ kind: 'cruise', durationS: 60, speedMps: 21, gear: 4, wanderMps: 0.3 });
    drive.push({ kind: 'pull', gear: 3, fromRpm: 2400, toRpm: 6600, scale: 1 + 0.004 * Math.sin(seed + 2.4 * i) });
  }
  drive.push(
    { kind: 'coast', fromSpeedMps: 33, toSpeedMps: 19 },
    { kind: 'cruise', durationS: 300, speedMps: 24, gear: 4, wanderMps: 0.3 },
  );
  const { text } = makeLog({
    car: sampleCar(40),
    around: { airDensityKgPerM3: moistAirDensity(airK, airPa, 0.48), headwindMps: 0, grade: 0 },
    engine: blownEngine(sampleEngine(setup, airK, airPa)),
    phases: drive,
    logger: { ...logger, rateHz: 50, jitterS: 0.001, channels: [...channels, ...further] },
    seed,
  });
  const lines = text.split('\n').slice(0, rows + 1);
  if (lines.length !== rows + 1 || lines.at(-1) === '') throw new Error(`the drive gave only ${lines.length - 1} rows`);
  return `${lines.join('\n')}\n`;
}

/** Writes the trial and its logs; the same bytes every time. Returns the paths. */
export function makeTrial(folder) {
  mkdirSync(folder, { recursive: true });
  const at = (name) => path.join(folder, name);
  writeFileSync(at('before.csv'), longLog(baseSetup, 11));
  writeFileSync(at('after.csv'), longLog(pulleySetup, 12));
  const car = sampleLogs().get('trial.yaml').split('setups:\n')[0];
  const air = 'air: { temperature: 20.85 degC, pressure: 98.9 kPa, humidity: 48 % }';
  const run = (log) => `    runs: [ { log: ${log}, outing: saturday, fuel-in-tank: 40 L, wind: 0 m/s, grade: 0 %, ${air} } ]`;
  const setups = [
    'setups:',
    ...['  - name: 79 mm pulley', '    blower-pulley: 79 mm', run('before.csv')],
    ...['  - name: 74 mm pulley', '    blower-pulley: 74 mm', run('after.csv')],
    '',
  ];
  writeFileSync(at('trial.yaml'), car + setups.join('\n'));
  return { trial: at('trial.yaml'), before: at('before.csv'), after: at('after.csv') };
}

if (process.argv[1] === fileURLToPath(import.meta.url)) console.log(makeTrial(process.argv[2] ?? '.'));
