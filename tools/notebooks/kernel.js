import { existsSync, mkdirSync, statSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import { root, runProgram } from '../process.js';

const folder = path.join(root, 'notebooks/kernel');

/** What `JUPYTER_PATH` must name so that Jupyter finds the kernel. */
export const kernelPath = path.join(folder, 'share/jupyter');

/** Debian's packages that execute and export notebooks. */
const debianPackages = 'jupyter-client jupyter-nbconvert python3-nbclient python3-ipykernel';

/**
 * Puts the TypeScript kernel into the checkout: its packages below notebooks/kernel, and the file by which Jupyter finds it. Nothing outside the checkout is touched.
 * @returns {Promise<string | null>} what went wrong, null when it is there
 */
export async function putKernel() {
  if (!isInstalled()) {
    const { exitCode, output } = await runProgram('npm', ['ci', '--no-progress'], { cwd: folder, timeoutS: 300 });
    if (exitCode !== 0) return `npm ci in notebooks/kernel ends with exit code ${exitCode}\n${output}`;
  }
  const spec = path.join(kernelPath, 'kernels/tslab');
  mkdirSync(spec, { recursive: true });
  const argv = [process.execPath, path.join(folder, 'node_modules/tslab/bin/tslab'), 'kernel', '--config-path', '{connection_file}'];
  writeFileSync(path.join(spec, 'kernel.json'), `${JSON.stringify({ argv, display_name: 'TypeScript', language: 'typescript' })}\n`);
  return null;
}

/** True when what is installed is not older than what is to be. */
function isInstalled() {
  const installed = path.join(folder, 'node_modules/.package-lock.json');
  return existsSync(installed) && statSync(installed).mtimeMs >= statSync(path.join(folder, 'package-lock.json')).mtimeMs;
}

/**
 * Whether Jupyter can execute and export notebooks here.
 * @returns {Promise<string | null>} what is missing and how to install it, null when all is there
 */
export async function jupyterProblem() {
  const { exitCode } = await runProgram('jupyter', ['nbconvert', '--version'], { timeoutS: 60 });
  return exitCode === 0
    ? null
    : `Jupyter is missing, which executes the notebooks. On Debian: apt-get install --no-install-recommends ${debianPackages}`;
}
