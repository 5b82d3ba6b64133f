import { existsSync, mkdirSync, readdirSync, readFileSync } from 'node:fs';
import path from 'node:path';
import { noiseOnly25Hz } from '@pullproof/simulation';
import { describe, expect, test } from 'vitest';
import { folderWith, pullproof } from './commandLine.js';

/** What SECURITY.md says, and the test that holds it: a text in SECURITY.md, a file, a text in it. */
const held: readonly (readonly [claim: string, file: string, says: string])[] = [
  ['control, escape and bidirectional characters are shown as text', 'test/cli/terminal.test.ts', 'are shown, not acted on'],
  ['are text or JSON with `<`, `>`, `&`', 'test/report/html.test.ts', 'u2028'],
  [
    'under a content policy that allows only the report',
    'test/browser/report.test.ts',
    'stops a script and a request that are not its own',
  ],
  ['no request leaves the page', 'test/browser/report.test.ts', 'makes nothing of hostile names, and asks for nothing'],
  ['a spreadsheet would take for a formula is neutralised', 'test/core/fuel/measuredError.test.ts', 'cannot run in a spreadsheet'],
  ['a spreadsheet would take for a formula is neutralised', 'test/cli/manyLogs.test.ts', 'are neutralised'],
  ['a column called `__proto__` is a column', 'test/core/log/badInputs/layouts.ts', '__proto__, constructor, toString as names'],
  ['no text of a log reaches an expression parser', 'test/cli/security.test.ts', 'is never shown to the parser'],
  ['refuses the rest with its place', 'test/core/formulas/compileFormulas.test.ts', 'refused, with the place'],
  [
    'the shape only, with every number and name replaced by the same letter',
    'test/core/formulas/randomFormulas.test.ts',
    'is shown the shape only',
  ],
  ['Length, depth and work are limited', 'test/core/formulas/calculateChannels.test.ts', 'too much work is refused'],
  ['checked against a closed schema', 'test/core/trial/parseTrial.test.ts', 'E_TRIAL_UNKNOWN_KEY'],
  ['opens no network connection, starts no other program', 'tools/faults.js', "step: 'network'"],
  ['those of a folder that you name', 'test/cli/security.test.ts', 'stay in the folder that was named'],
  ['a full disk', 'test/cli/faults.test.ts', 'a full disk'],
  ['a closed stream', 'test/cli/faults.test.ts', 'a stream that is closed'],
  ['an interrupt or a killed process', 'test/cli/faults.test.ts', 'ended at any moment'],
  ['A symbolic link, a device or a file that Pullproof did not write is not written over', 'test/cli/outputs.test.ts', "'link.json'"],
  ['has an install script', 'tools/faults.js', 'has an install script'],
  ['known to us to be vulnerable', 'test/tools/lockFile.test.ts', 'nothing in it is known to be vulnerable'],
];

describe('SECURITY.md', () => {
  const security = readFileSync('SECURITY.md', 'utf8');
  test.each(held)('"%s" is held by %s', (claim, file, says) => {
    expect(security).toContain(claim);
    expect(readFileSync(file, 'utf8').toLowerCase()).toContain(says.toLowerCase());
  });
});

describe('hostile names, end to end', () => {
  const { logs, trial } = noiseOnly25Hz(7);
  const nasty = ['\u001b[31mred', '<script>alert(1)</script>', '=cmd|x', '\u202eevil', 'constructor.constructor("return process")()'];

  /** The log with five more columns of hostile names and cells. */
  const hostileLog = (text: string): string =>
    text
      .trimEnd()
      .split('\n')
      .map(
        (line, i) =>
          `${line},${nasty.map((name) => (i === 0 ? `"${name.replaceAll('"', '""')}"` : `"${name.replaceAll('"', '""')}${i}"`)).join(',')}`,
      )
      .join('\n');
  const files = new Map([...logs].map(([name, text]) => [name, hostileLog(text)]));

  test('reach neither terminal nor page as more than text, and their text is never shown to the parser', async () => {
    const cwd = folderWith(new Map([...files, ['trial.yaml', `${trial}\ncalculated: { twice: engine_speed * 2 }\n`]]));
    const compared = await pullproof(['compare', 'trial.yaml', '--report', 'r.html', '--json', 'r.json'], { cwd });
    expect(compared.exit).toBe(0);
    const checked = await pullproof(['check', [...files.keys()][0]!, '--report', 'c.html', '--json', 'c.json'], { cwd });
    expect(checked.exit).toBe(0);
    for (const { out, err } of [compared, checked])
      expect(out + err).not.toMatch(/[\u0000-\u0009\u000b-\u001f\u007f-\u009f\u202a-\u202e\u2066-\u2069]/);
    for (const name of ['r.html', 'c.html']) {
      const page = readFileSync(path.join(cwd, name), 'utf8');
      expect(page).not.toContain('<script>alert');
      expect(page).not.toContain('\u202e');
    }
    expect(() => JSON.parse(readFileSync(path.join(cwd, 'c.json'), 'utf8')) as unknown).not.toThrow();
    expect(JSON.stringify(JSON.parse(readFileSync(path.join(cwd, 'c.json'), 'utf8')))).toContain('constructor.constructor');
  });

  test('files of an archive stay in the folder that was named, whatever the logs are called', async () => {
    const [, log] = [...files][0]!;
    const cwd = folderWith({ 'up.csv': log });
    mkdirSync(path.join(cwd, 'inner'));
    const inner = path.join(cwd, 'inner');
    const { exit } = await pullproof(['check', '../up.csv', path.join(cwd, 'up.csv'), '--parquet', 'store'], { cwd: inner });
    expect(exit).toBe(0);
    expect(readdirSync(cwd).sort()).toEqual(['inner', 'up.csv']);
    expect(readdirSync(inner)).toEqual(['store']);
    expect(readdirSync(path.join(inner, 'store/channels')).every((name) => /^[0-9a-f]{16}-up\.csv\.parquet$/.test(name))).toBe(true);
    expect(existsSync(path.join(inner, 'store/logs.parquet'))).toBe(true);
  });
});
