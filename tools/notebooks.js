// Puts the kernel into the checkout, executes the notebooks and exports them as pages: npm run notebooks [-- NAME…] [--update] [--kernel]
import path from 'node:path';
import { pathToFileURL } from 'node:url';
import { parseArgs } from 'node:util';
import { executeNotebook, outputFolder } from './notebooks/execute.js';
import { differences, readGolden, shownLines, writeGolden } from './notebooks/golden.js';
import { jupyterProblem, kernelPath, putKernel } from './notebooks/kernel.js';
import { notebookNames, textProblems } from './notebooks/notebook.js';
import { pageProblems } from './notebooks/openPages.js';
import { root } from './process.js';

/**
 * Executes notebooks and holds what they show against the golden numbers. Needs a build.
 * @param {{ names?: readonly string[], update?: boolean, tell?: (line: string) => void }} [options] `update` rewrites the golden numbers
 * @returns {Promise<{ ran: number, problems: string[] }>}
 */
export async function runNotebooks({ names = notebookNames(), update = false, tell = () => {} } = {}) {
  const known = notebookNames();
  const unknown = names.filter((name) => !known.includes(name));
  if (unknown.length > 0) return { ran: 0, problems: [`no notebook is called ${unknown.join(', ')}; there are: ${known.join(', ')}`] };
  if (names.length === 0) return { ran: 0, problems: ['there is no notebook'] };
  const problem = (await jupyterProblem()) ?? (await putKernel());
  if (problem !== null) return { ran: 0, problems: [problem] };
  const golden = readGolden();
  /** @type {string[]} */
  const problems = Object.keys(golden)
    .filter((name) => !known.includes(name) && !update)
    .map((name) => `notebooks/golden.json holds ${name}, which is no notebook`);
  const waiting = [...names];
  /** @returns {Promise<void>} */
  const work = async () => {
    for (let name = waiting.shift(); name !== undefined; name = waiting.shift()) {
      const own = [...textProblems(name), ...(await executeNotebook(name))];
      if (own.length === 0) {
        const shown = shownLines(`${outputFolder}/${name}.ipynb`);
        if (shown.length === 0) own.push(`${name} shows nothing`);
        if (update) golden[name] = shown;
        else
          own.push(
            ...differences(golden[name] ?? [], shown).map((difference) => `${name} shows something else than before:\n${difference}`),
          );
      }
      tell(`${own.length === 0 ? 'ok    ' : 'FAILED'} ${outputFolder}/${name}.html`);
      problems.push(...own);
    }
  };
  await Promise.all([work(), work()]);
  problems.push(...(await pageProblems(names.map((name) => `${outputFolder}/${name}.html`))));
  if (update) writeGolden(Object.fromEntries(known.flatMap((name) => (golden[name] === undefined ? [] : [[name, golden[name]]]))));
  return { ran: names.length, problems };
}

if (import.meta.url === pathToFileURL(process.argv[1] ?? '').href) {
  const { values, positionals } = parseArgs({
    options: { update: { type: 'boolean', default: false }, kernel: { type: 'boolean', default: false } },
    allowPositionals: true,
  });
  if (values.kernel) {
    const problem = await putKernel();
    console.log(problem ?? `The kernel is in ${path.relative(root, kernelPath)}. Start Jupyter with JUPYTER_PATH=${kernelPath}`);
    process.exitCode = problem === null ? 0 : 1;
  } else {
    const names = positionals.map((name) => path.basename(name, '.ipynb'));
    const { ran, problems } = await runNotebooks({
      update: values.update,
      tell: (line) => console.log(line),
      ...(names.length > 0 ? { names } : {}),
    });
    for (const problem of problems) console.error(`\n${problem}`);
    if (problems.length > 0) console.error('\nIf changed numbers are meant: npm run notebooks -- --update');
    console.log(`${ran} notebooks, ${problems.length} problems`);
    process.exitCode = problems.length === 0 && ran > 0 ? 0 : 1;
  }
}
