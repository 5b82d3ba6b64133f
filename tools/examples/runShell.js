import { cpSync, existsSync, mkdirSync, rmSync, symlinkSync } from 'node:fs';
import path from 'node:path';
import { root, runProgram, scratch } from '../process.js';

/** What a reader of the documents has in front of them: linked where it is only read, copied where a command may write. */
const linked = ['node_modules', 'packages', 'tools', 'package.json'];
const copied = ['sample-logs', 'notebooks'];

/**
 * A folder that looks like the checkout, for the snippets of one document.
 * @param {string} label
 * @returns {string}
 */
export function makeWorkFolder(label) {
  const folder = path.join(scratch, label);
  rmSync(folder, { recursive: true, force: true });
  mkdirSync(folder, { recursive: true });
  for (const name of linked) symlinkSync(path.join(root, name), path.join(folder, name));
  for (const name of copied)
    if (existsSync(path.join(root, name))) cpSync(path.join(root, name), path.join(folder, name), { recursive: true });
  return folder;
}

/**
 * Runs a shell block; every line `# => text` is text that its output must contain.
 * @param {import('./extract.js').Example} example
 * @param {string} cwd
 * @returns {Promise<string[]>}
 */
export async function runShell(example, cwd) {
  const where = `${example.file} line ${example.firstLine}`;
  const { exitCode, output } = await runProgram('bash', ['-euo', 'pipefail', '-c', example.code], { cwd });
  if (exitCode !== 0) return [`${where}: the commands end with exit code ${exitCode}\n${output}`];
  return example.code.split('\n').flatMap((line) => {
    const expected = /#\s*=> ?(.+)$/.exec(line)?.[1]?.trim();
    return expected === undefined || output.includes(expected) ? [] : [`${where}: the output does not contain \`${expected}\`\n${output}`];
  });
}
