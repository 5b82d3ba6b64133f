import { spawn } from 'node:child_process';
import { existsSync, rmSync } from 'node:fs';
import path from 'node:path';
import { fileURLToPath } from 'node:url';

/** Root of the checkout. */
export const root = path.resolve(path.dirname(fileURLToPath(import.meta.url)), '..');

/** Folder of this process for what nobody keeps, so that two checks at once do not meet; ignored by git, gone when the process ends. */
export const scratch = path.join(root, '.tmp', String(process.pid));
process.on('exit', () => rmSync(scratch, { recursive: true, force: true }));

/**
 * @typedef {{ exitCode: number, output: string, stdout: string, timedOut: boolean }} Finished
 */

/**
 * Runs one program to its end and gives back what it wrote. Never throws for a failing program; a program that outlives its time is ended and says so.
 * @param {string} program
 * @param {readonly string[]} args
 * @param {{ cwd?: string, timeoutS?: number, env?: Readonly<Record<string, string>> }} [options]
 * @returns {Promise<Finished>}
 */
export function runProgram(program, args, { cwd = root, timeoutS = 120, env = {} } = {}) {
  return new Promise((resolve) => {
    const child = spawn(program, args, {
      cwd,
      detached: true,
      env: { ...process.env, NO_COLOR: '1', FORCE_COLOR: '0', ...env },
      stdio: ['ignore', 'pipe', 'pipe'],
    });
    let output = '';
    let stdout = '';
    let timedOut = false;
    const timer = setTimeout(() => {
      timedOut = true;
      if (child.pid !== undefined) process.kill(-child.pid, 'SIGKILL');
    }, timeoutS * 1000);
    child.stdout.setEncoding('utf8').on('data', (text) => {
      stdout += text;
      output += text;
    });
    child.stderr.setEncoding('utf8').on('data', (text) => {
      output += text;
    });
    child.on('error', (error) => {
      clearTimeout(timer);
      resolve({ exitCode: 127, output: `${program}: ${error.message}`, stdout: '', timedOut: false });
    });
    child.on('close', (code) => {
      clearTimeout(timer);
      if (timedOut) output += `\nstopped after ${timeoutS} s`;
      resolve({ exitCode: timedOut ? 124 : (code ?? 1), output, stdout, timedOut });
    });
  });
}

/**
 * Runs a program of an installed package.
 * @param {string} name as it is linked in node_modules/.bin
 * @param {readonly string[]} args
 * @param {{ cwd?: string, timeoutS?: number, env?: Readonly<Record<string, string>> }} [options]
 * @returns {Promise<Finished>}
 */
export function runInstalled(name, args, options) {
  const program = path.join(root, 'node_modules', '.bin', name);
  if (!existsSync(program)) {
    return Promise.resolve({ exitCode: 127, output: `${name} is not installed: run npm ci first`, stdout: '', timedOut: false });
  }
  return runProgram(program, args, options);
}
