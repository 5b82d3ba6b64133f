import { cpSync } from 'node:fs';
import path from 'node:path';
import { fileURLToPath } from 'node:url';
import { expect, it } from 'vitest';
import { folderWith, pullproof } from './commandLine.js';

const samples = fileURLToPath(new URL('../../sample-logs', import.meta.url));

it('shows a change of power in one way, in the sentence and in the table below it', async () => {
  const folder = folderWith({});
  cpSync(samples, folder, { recursive: true });
  const { out } = await pullproof(['compare', path.join(folder, 'trial.yaml'), '--all'], { cwd: folder });
  const text = out.replace(/\s+/g, ' ');
  const told = [...text.matchAll(/(?:Gain|Loss) from ([\d,]+) to ([\d,]+) rpm: (\S+) kW \((\S+) to (\S+)\)/g)];
  expect(told.length).toBeGreaterThan(1);
  for (const [, from, to, mean, low, high] of told) {
    const row = new RegExp(
      `${from} to ${to} (?:gain|loss) ${mean!.replace('+', '\\+')} ${low!.replace('+', '\\+')} to ${high!.replace('+', '\\+')} `,
    );
    expect(text).toMatch(row);
  }
  expect(told.some(([, , , mean]) => /^[+−]\d\d$/.test(mean!))).toBe(true);
}, 60_000);
