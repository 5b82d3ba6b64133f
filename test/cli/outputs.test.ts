import { execFileSync } from 'node:child_process';
import { createHash } from 'node:crypto';
import { mkdirSync, readdirSync, readFileSync, rmSync, statSync, symlinkSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { PullproofError } from '@pullproof/core';
import { describe, expect, test } from 'vitest';
import { checkOutput, checkOutputFolder } from '../../packages/cli/src/files/checkOutput.js';
import { jsonText } from '../../packages/cli/src/files/jsonText.js';
import { readInput } from '../../packages/cli/src/files/readInput.js';
import { writeOutput } from '../../packages/cli/src/files/writeOutput.js';
import { folderWith } from './commandLine.js';

const sha256 = (content: string | Uint8Array): string => createHash('sha256').update(content).digest('hex');
const plain = { force: false, anywhere: false };
const ours = '{\n  "schema": "pullproof/result@1"\n}\n';

function codeOf(act: () => unknown): string {
  try {
    act();
  } catch (problem) {
    if (problem instanceof PullproofError) return problem.code;
    throw problem;
  }
  return 'accepted';
}

describe('writing', () => {
  test('a new file, folders on the way included, and nothing beside it', () => {
    const folder = folderWith({});
    writeOutput('out/deep/r.json', ours, folder, 'json', plain);
    expect(readdirSync(path.join(folder, 'out/deep'))).toEqual(['r.json']);
    expect(readFileSync(path.join(folder, 'out/deep/r.json'), 'utf8')).toBe(ours);
  });

  test('a file that we wrote is replaced; any other only with force', () => {
    const folder = folderWith({ 'own.txt': 'precious', 'empty.json': '' });
    for (const kind of ['json', 'report'] as const) {
      const text = kind === 'json' ? ours : '<!doctype html>\n<p>x</p>';
      writeOutput(kind, text, folder, kind, plain);
      writeOutput(kind, text, folder, kind, plain);
      expect(readFileSync(path.join(folder, kind), 'utf8').startsWith(text)).toBe(true);
    }
    expect(codeOf(() => writeOutput('own.txt', ours, folder, 'json', plain))).toBe('E_WRITE');
    expect(
      codeOf(() => writeOutput('json', '<!doctype html>', folder, 'report', plain)),
      'a report does not replace JSON',
    ).toBe('E_WRITE');
    expect(readFileSync(path.join(folder, 'own.txt'), 'utf8')).toBe('precious');
    expect(codeOf(() => writeOutput('empty.json', ours, folder, 'json', plain))).toBe('accepted');
    writeOutput('own.txt', ours, folder, 'json', { ...plain, force: true });
    expect(readFileSync(path.join(folder, 'own.txt'), 'utf8')).toBe(ours);
  });

  test.each([
    ['E_OUTPUT_PATH', 'a\0b.json'],
    ['E_OUTPUT_PATH', 'CON'],
    ['E_OUTPUT_PATH', 'con.json'],
    ['E_OUTPUT_PATH', 'sub/NUL.html'],
    ['E_OUTPUT_PATH', 'COM1 .x'],
    ['E_OUTPUT_PATH', ''],
    ['E_OUTPUT_PATH', 'folder'],
    ['E_OUTPUT_PATH', 'folder/'],
    ['E_OUTPUT_PATH', 'link.json'],
    ['E_OUTPUT_PATH', '/dev/null'],
    ['E_WRITE', 'file.txt/r.json'],
    ['accepted', 'console.json'],
    ['E_OUTPUT_PATH', '../beside.json'],
    ['E_OUTPUT_PATH', 'deeper/../../beside.json'],
    ['E_OUTPUT_PATH', path.join(tmpdir(), 'absolute.json')],
    ['E_OUTPUT_PATH', 'away/r.json'],
    ['E_OUTPUT_PATH', 'away/new/r.json'],
    ['accepted', '..json'],
  ])('%s for %j, force or not', (code, name) => {
    const folder = folderWith({ 'file.txt': '', 'target.json': ours });
    mkdirSync(path.join(folder, 'folder'));
    symlinkSync('target.json', path.join(folder, 'link.json'));
    symlinkSync(tmpdir(), path.join(folder, 'away'));
    expect(codeOf(() => checkOutput(name, folder, 'json', plain))).toBe(code);
    expect(codeOf(() => checkOutput(name, folder, 'json', { ...plain, force: true }))).toBe(code);
  });

  test('an absolute name within the folder is one in the folder; elsewhere only when that is allowed', () => {
    const folder = folderWith({});
    const elsewhere = folderWith({});
    symlinkSync(elsewhere, path.join(folder, 'away'));
    const beside = path.join(elsewhere, 'r.json');
    expect(codeOf(() => checkOutput(path.join(folder, 'r.json'), folder, 'json', plain))).toBe('accepted');
    expect(codeOf(() => checkOutputFolder(elsewhere, folder, plain))).toBe('E_OUTPUT_PATH');
    expect(codeOf(() => checkOutputFolder('..', folder, plain))).toBe('E_OUTPUT_PATH');
    for (const name of [beside, path.relative(folder, beside), 'away/r.json']) {
      expect(codeOf(() => writeOutput(name, ours, folder, 'json', plain))).toBe('E_OUTPUT_PATH');
      expect(readdirSync(elsewhere)).toEqual([]);
      writeOutput(name, ours, folder, 'json', { ...plain, anywhere: true });
      expect(readFileSync(beside, 'utf8')).toBe(ours);
      rmSync(beside);
    }
  });

  test('nothing half written is left when the write fails', () => {
    const folder = folderWith({ file: 'x' });
    const full = '/dev/full';
    expect(codeOf(() => writeOutput('file/r.json', ours, folder, 'json', plain))).toBe('E_WRITE');
    expect(readdirSync(folder)).toEqual(['file']);
    expect(codeOf(() => checkOutput(full, folder, 'json', plain))).toBe('E_OUTPUT_PATH');
  });

  test('JSON is the same value, lists of numbers on one line, and NaN is refused', () => {
    const value = { a: [1, null, 2.5], b: [{ c: 'x\u2028' }], d: {}, e: [], f: undefined, 'g"': -0 };
    const text = jsonText(value);
    expect(JSON.parse(text)).toEqual(JSON.parse(JSON.stringify(value)));
    expect(text).toContain('"a": [1, null, 2.5]');
    for (const bad of [Number.NaN, Number.POSITIVE_INFINITY]) expect(codeOf(() => jsonText({ deep: [[bad]] }))).toBe('E_NOT_FINITE');
  });
});

describe('reading', () => {
  const noInput = { stdin: () => [] };

  test('gives the bytes and their hash', () => {
    const bytes = Uint8Array.from({ length: 3_000_000 }, (_, i) => (i * 31) % 251);
    const folder = folderWith({ 'a.bin': bytes });
    const input = readInput('a.bin', folder, noInput);
    expect(Buffer.concat([...input.chunks]).equals(bytes)).toBe(true);
    expect(input.sha256()).toBe(sha256(bytes));
    expect(input.findings()).toEqual([]);
  });

  test('W_GREW when the file changes meanwhile, and the hash is of the bytes read', () => {
    const folder = folderWith({ 'a.csv': 'x'.repeat(2_500_000) });
    const file = path.join(folder, 'a.csv');
    const input = readInput('a.csv', folder, noInput);
    let read = 0;
    for (const chunk of input.chunks) {
      if (read === 0) writeFileSync(file, 'y'.repeat(1000), { flag: 'a' });
      read += chunk.length;
    }
    expect(read).toBe(statSync(file).size);
    expect(input.findings().map(({ code }) => code)).toEqual(['W_GREW']);
    expect(input.sha256()).toBe(sha256(readFileSync(file)));
  });

  test('a symbolic link is read, a pipe is not waited for', () => {
    const folder = folderWith({ 'a.csv': 'abc' });
    symlinkSync('a.csv', path.join(folder, 'link.csv'));
    expect(Buffer.concat([...readInput('link.csv', folder, noInput).chunks]).toString()).toBe('abc');
    execFileSync('mkfifo', [path.join(folder, 'pipe')]);
    expect(codeOf(() => readInput('pipe', folder, noInput))).toBe('E_NOT_REGULAR');
    expect(codeOf(() => readInput('a\0.csv', folder, noInput))).toBe('E_INPUT');
  });

  test('the hash is SHA-256', () => {
    // Source: FIPS 180-4 example values (NIST Cryptographic Standards and Guidelines): a million times the letter a.
    const input = readInput('a.txt', folderWith({ 'a.txt': 'a'.repeat(1_000_000) }), noInput);
    expect([...input.chunks].length).toBeGreaterThan(0);
    expect(input.sha256()).toBe('cdc76e5c9914fb9281a1c7e284d73e67f1809a48a497200e046d39ccc7112cd0');
  });

  test('- is standard input', () => {
    const input = readInput('-', '.', { stdin: () => [Uint8Array.of(104), Uint8Array.of(105)] });
    expect(Buffer.concat([...input.chunks]).toString()).toBe('hi');
    expect(input.sha256()).toBe(sha256('hi'));
  });
});
