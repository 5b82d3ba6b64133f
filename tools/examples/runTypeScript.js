import { mkdirSync, rmSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import ts from 'typescript';
import { root, runProgram, scratch } from '../process.js';
import { instrument } from './instrument.js';

/**
 * Compiles examples against the built packages, runs each in a process of its own set, and compares what stands behind their arrows.
 * @param {readonly import('./extract.js').Example[]} examples
 * @param {{ label: string, cwd?: string }} options
 * @returns {Promise<{ problems: string[], assertions: number }>}
 */
export async function runTypeScript(examples, { label, cwd = root }) {
  const folder = path.join(scratch, label);
  rmSync(folder, { recursive: true, force: true });
  mkdirSync(folder, { recursive: true });
  const problems = examples.length === 0 ? [] : typeProblems(examples, folder);
  /** @type {{ file: string, assertions: number, example: import('./extract.js').Example }[]} */
  const modules = [];
  examples.forEach((example, index) => {
    try {
      const { code, assertions } = instrument(example.code);
      if (assertions === 0)
        problems.push(`${example.file} line ${example.firstLine}: the example asserts nothing; write \`expression; // => value\``);
      const { outputText } = ts.transpileModule(code, {
        compilerOptions: { module: ts.ModuleKind.ESNext, target: ts.ScriptTarget.ES2022, verbatimModuleSyntax: true },
      });
      const file = path.join(folder, `example${index}.mjs`);
      writeFileSync(file, outputText);
      modules.push({ file, assertions, example });
    } catch (error) {
      problems.push(`${example.file} line ${example.firstLine}: ${/** @type {Error} */ (error).message}`);
    }
  });
  const resultFile = path.join(folder, 'results.json');
  const listFile = path.join(folder, 'list.json');
  writeFileSync(listFile, JSON.stringify(modules.map(({ file }) => file)));
  const { exitCode, output } = await runProgram(process.execPath, [path.join(root, 'tools/examples/execute.js'), listFile, resultFile], {
    cwd,
  });
  if (exitCode !== 0) return { problems: [...problems, output], assertions: 0 };
  /** @type {{ default: { error: string | null, checks: { line: number, problem: string | null }[] }[] }} */
  const { default: results } = await import(resultFile, { with: { type: 'json' } });
  let assertions = 0;
  modules.forEach((module, index) => {
    const { file, firstLine } = module.example;
    const result = results[index];
    for (const { line, problem } of result?.checks ?? [])
      if (problem !== null) problems.push(`${file} line ${firstLine + line}: ${problem}`);
    if (result === undefined || result.error !== null)
      problems.push(`${file} line ${firstLine}: the example stops: ${result?.error ?? 'it was never run'}`);
    else if (result.checks.length < module.assertions)
      problems.push(`${file} line ${firstLine}: ${module.assertions - result.checks.length} of its assertions were never reached`);
    assertions += result?.checks.length ?? 0;
  });
  return { problems, assertions };
}

/**
 * @param {readonly import('./extract.js').Example[]} examples
 * @param {string} folder
 * @returns {string[]}
 */
function typeProblems(examples, folder) {
  const files = new Map(
    examples.map((example, index) => {
      const file = path.join(folder, `example${index}.ts`);
      writeFileSync(file, `${example.code}\nexport {};\n`);
      return [file, example];
    }),
  );
  const program = ts.createProgram([...files.keys()], {
    module: ts.ModuleKind.NodeNext,
    target: ts.ScriptTarget.ES2022,
    lib: ['lib.es2023.d.ts'],
    types: ['node'],
    typeRoots: [path.join(root, 'node_modules/@types')],
    strict: true,
    exactOptionalPropertyTypes: true,
    skipLibCheck: true,
    noEmit: true,
  });
  return ts.getPreEmitDiagnostics(program).map(({ file, start, messageText }) => {
    const example = file === undefined ? undefined : files.get(path.resolve(file.fileName));
    const line = file === undefined || start === undefined ? 0 : file.getLineAndCharacterOfPosition(start).line;
    const place = example === undefined ? (file?.fileName ?? 'examples') : `${example.file} line ${example.firstLine + line}`;
    return `${place}: ${ts.flattenDiagnosticMessageText(messageText, '\n')}`;
  });
}
