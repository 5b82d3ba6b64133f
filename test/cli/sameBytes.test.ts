import { execFileSync } from 'node:child_process';
import { mkdtempSync, readFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { fileURLToPath } from 'node:url';
import { expect, it } from 'vitest';

const root = fileURLToPath(new URL('../../', import.meta.url));

/** JSON and report of the sample trial, made by the command in its own process. */
function made(cwd: string, env: Record<string, string>): { json: string; report: string } {
  const folder = mkdtempSync(path.join(tmpdir(), 'pullproof-bytes-'));
  const json = path.join(folder, 'result.json');
  const report = path.join(folder, 'report.html');
  const trial = path.relative(cwd, path.join(root, 'sample-logs/trial.yaml'));
  const bin = path.join(root, 'packages/cli/bin/pullproof.js');
  execFileSync(process.execPath, [bin, 'compare', trial, '--json', json, '--report', report, '--anywhere'], {
    cwd,
    env: { ...process.env, ...env },
  });
  return { json: readFileSync(json, 'utf8'), report: readFileSync(report, 'utf8') };
}

it('the sample trial gives the same bytes again, in another locale, time zone and working folder', () => {
  const first = made(root, { LC_ALL: 'C', TZ: 'UTC' });
  const again = made(root, { LC_ALL: 'C', TZ: 'UTC' });
  const elsewhere = made(tmpdir(), { LC_ALL: 'de_DE.UTF-8', LANG: 'de_DE.UTF-8', TZ: 'Pacific/Auckland' });
  expect(again.json).toBe(first.json);
  expect(again.report).toBe(first.report);
  expect(elsewhere.json).toBe(first.json);
  expect(elsewhere.report).toBe(first.report);
  expect(first.json.length).toBeGreaterThan(10_000);
});
