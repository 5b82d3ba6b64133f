import { createHash } from 'node:crypto';
import { readFileSync } from 'node:fs';
import { deflateSync } from 'node:zlib';
import { type OpenedLog, runTrial, type TrialResult } from '@pullproof/core';
import { renderReport } from '@pullproof/report';

const folder = new URL('../../sample-logs/', import.meta.url);
const open = (name: string): OpenedLog => {
  const chunks = readFileSync(new URL(name, folder));
  return { chunks, sha256: () => createHash('sha256').update(chunks).digest('hex') };
};
const text = readFileSync(new URL('trial.yaml', folder), 'utf8');
const pack = (plain: string): string => deflateSync(plain, { level: 9 }).toString('base64');
const sample = (options: Parameters<typeof runTrial>[3]): TrialResult => runTrial(text, 'trial.yaml', open, options);

/** The report on the sample trial as the command line writes it. */
export function sampleReport(): string {
  return renderReport(sample({ traces: true }), { otherUnits: sample({ units: 'imperial' }), pack });
}

/** Five setups with one pull each: those of the sample, and two more names for the first pulls of two of them. */
export function fiveSetups(): string {
  const short = text.replace(/\n {2}- name: [\s\S]*/, '');
  const setups = ['base', 'large charge cooler', '74 mm pulley', 'larger throttle body', 'base again'];
  const logs = ['base-north', 'cooler-north', 'pulley-north', 'cooler-south', 'base-again-north'];
  const trial = `${short}\n${setups
    .map(
      (name, index) =>
        `  - name: ${name}\n    runs:\n      - { log: ${logs[index]}.csv, outing: saturday, fuel-in-tank: 40 L, air: { temperature: 21.5 degC, pressure: 98.9 kPa, humidity: 48 % } }`,
    )
    .join('\n')}\n`;
  const result = runTrial(trial, 'trial.yaml', (name) => onePull(open(name)), { traces: true });
  return renderReport(result, { pack });
}

/** A log up to the end of its first pull: full pedal, then none. */
function onePull(log: OpenedLog): OpenedLog {
  const lines = Buffer.from(log.chunks as Uint8Array)
    .toString('latin1')
    .split(/\r?\n/);
  const separator = lines[0]!.includes(';') ? ';' : ',';
  const column = lines[0]!.split(separator).findIndex((name) => /edal/.test(name));
  const pedals = lines.map((line) => Number((line.split(separator)[column] ?? '').replace(',', '.')));
  const full = pedals.findIndex((pedal, row) => row > 3 && pedal > 95 && pedals.slice(row, row + 60).every((one) => one > 95));
  const end = pedals.findIndex((pedal, row) => row > full && pedal < 5);
  return { ...log, chunks: Buffer.from(lines.slice(0, end + 40).join('\n'), 'latin1') };
}
