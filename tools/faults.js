/**
 * @typedef {{ read(file: string): string, write(file: string, text: string): void, remove(file: string): void }} Copy
 * @typedef {{ step: string, what: string, needs?: readonly string[], plant(copy: Copy): void, says: RegExp }} Fault  Something that a step must find: `says` is met by what it then prints.
 */

/** @param {Copy} copy @param {string} file @param {string} text */
const append = (copy, file, text) => copy.write(file, `${copy.read(file)}${text}`);

/** @param {Copy} copy @param {string} file @param {string} text */
const prepend = (copy, file, text) => copy.write(file, `${text}${copy.read(file)}`);

/** @param {string} example */
const planted = (example) => `/**\n * Planted.\n * @example\n * \`\`\`ts\n${example.replace(/^/gm, ' * ')}\n * \`\`\`\n */\nexport {};\n`;

/** @param {Copy} copy @param {(lock: { packages: Record<string, object> }) => void} change */
function changeLock(copy, change) {
  const lock = JSON.parse(copy.read('package-lock.json'));
  change(lock);
  copy.write('package-lock.json', JSON.stringify(lock));
}

/** @param {Copy} copy @param {object} manifest */
function plantPackage(copy, manifest) {
  copy.write('node_modules/planted/package.json', JSON.stringify({ name: 'planted', version: '1.0.0', ...manifest }));
  changeLock(copy, (lock) => {
    lock.packages['node_modules/planted'] = { version: '1.0.0' };
  });
}

const core = 'packages/core/src';

/** One way at least for every step to fail. @type {readonly Fault[]} */
export const faults = [
  {
    step: 'format',
    what: 'bad spacing',
    plant: (c) => append(c, `${core}/index.ts`, 'export   const planted  :number=1\n'),
    says: /index\.ts format/,
  },
  {
    step: 'format',
    what: 'lint',
    plant: (c) => c.write('tools/planted.js', 'export const planted = (a) => a == 1;\n'),
    says: /noDoubleEquals/,
  },
  {
    step: 'types',
    what: 'wrong type in a package',
    plant: (c) => append(c, `${core}/findings/finding.ts`, "export const planted: number = 'one';\n"),
    says: /TS2322/,
  },
  {
    step: 'types',
    what: 'wrong type in a test',
    plant: (c) => c.write('test/planted.test.ts', "const planted: number = 'one';\nexport { planted };\n"),
    says: /test\/planted\.test\.ts.*TS2322/,
  },
  {
    step: 'types',
    what: 'wrong type in a browser test',
    plant: (c) => c.write('test/browser/planted.test.ts', 'const planted: number = document.title;\nexport { planted };\n'),
    says: /test\/browser\/planted\.test\.ts.*TS2322/,
  },
  {
    step: 'types',
    what: 'wrong type in a tool',
    plant: (c) => c.write('tools/planted.js', "/** @type {number} */\nexport const planted = 'one';\n"),
    says: /tools\/planted\.js.*TS2322/,
  },
  {
    step: 'types',
    what: 'Node in core',
    plant: (c) => append(c, `${core}/findings/finding.ts`, 'export const planted: string = process.platform;\n'),
    says: /TS2591|TS2304|TS2580/,
  },
  {
    step: 'types',
    what: "Node's types let into core",
    plant: (c) => prepend(c, `${core}/findings/finding.ts`, '/// <reference types="node" />\n'),
    says: /must compile without/,
  },
  {
    step: 'types',
    what: 'the browser in core',
    plant: (c) => append(c, `${core}/findings/finding.ts`, 'export const planted: string = document.title;\n'),
    says: /TS2584|TS2304/,
  },
  {
    step: 'arrows',
    what: 'a folder looks right',
    plant: (c) => append(c, `${core}/findings/finding.ts`, "export type { TrialResult as Planted } from '../trial/index.js';\n"),
    says: /core-findings-looks-left/,
  },
  {
    step: 'arrows',
    what: 'a folder entered past its door',
    plant: (c) => c.write(`${core}/trial/planted.ts`, "export type { Finding as Planted } from '../findings/finding.js';\n"),
    says: /core-folder-door/,
  },
  {
    step: 'arrows',
    what: 'a circle',
    plant: (c) => {
      c.write(`${core}/trial/plantedA.ts`, "export * from './plantedB.js';\n");
      c.write(`${core}/trial/plantedB.ts`, "export * from './plantedA.js';\n");
    },
    says: /no-cycle/,
  },
  {
    step: 'arrows',
    what: 'a module of Node in core',
    plant: (c) => c.write(`${core}/trial/planted.ts`, "export { readFileSync } from 'node:fs';\n"),
    says: /no-node-in-pure-packages/,
  },
  {
    step: 'arrows',
    what: 'core looks at simulation',
    plant: (c) => c.write(`${core}/trial/planted.ts`, "export * from '@pullproof/simulation';\n"),
    says: /package-core/,
  },
  {
    step: 'arrows',
    what: 'simulation looks at core',
    plant: (c) => c.write('packages/simulation/src/planted.ts', "export * from '@pullproof/core';\n"),
    says: /package-simulation/,
  },
  {
    step: 'arrows',
    what: 'figures look at the report',
    plant: (c) => c.write('packages/figures/src/planted.ts', "export * from '@pullproof/report';\n"),
    says: /package-figures/,
  },
  {
    step: 'arrows',
    what: 'a path into another package',
    plant: (c) => c.write('packages/cli/src/planted.ts', "export type { Finding } from '../../core/src/findings/index.js';\n"),
    says: /package-door/,
  },
  {
    step: 'arrows',
    what: 'a dependency not declared',
    plant: (c) => c.write('packages/figures/src/planted.ts', "export * from 'yaml';\n"),
    says: /declared-dependencies/,
  },
  {
    step: 'arrows',
    what: 'an import that leads nowhere',
    plant: (c) => c.write('packages/cli/src/planted.ts', "export * from './nowhere.js';\n"),
    says: /no-unresolved/,
  },
  {
    step: 'arrows',
    what: 'a folder without a place',
    plant: (c) => c.write(`${core}/planted/index.ts`, 'export {};\n'),
    says: /has no place/,
  },
  {
    step: 'arrows',
    what: 'a name that says nothing',
    plant: (c) => c.write(`${core}/trial/utils.ts`, 'export {};\n'),
    says: /says nothing/,
  },
  {
    step: 'arrows',
    what: 'packages not built',
    plant: (c) => c.remove('packages/core/dist'),
    says: /were the packages built|no-unresolved/,
  },
  {
    step: 'unused',
    what: 'a file nobody imports',
    plant: (c) => c.write(`${core}/findings/planted.ts`, 'export const planted: number = 1;\n'),
    says: /Unused files[\s\S]*planted\.ts/,
  },
  {
    step: 'unused',
    what: 'an export nobody imports',
    plant: (c) => append(c, `${core}/findings/pullproofError.ts`, 'export const planted: number = 1;\n'),
    says: /Unused exports[\s\S]*planted/,
  },
  {
    step: 'unused',
    what: 'a dependency nobody imports',
    plant: (c) =>
      c.write(
        'packages/figures/package.json',
        c.read('packages/figures/package.json').replace('"dependencies": {', '"dependencies": { "yaml": "2.9.1",'),
      ),
    says: /Unused dependencies[\s\S]*yaml/,
  },
  {
    step: 'licences',
    what: 'an unknown licence',
    plant: (c) => plantPackage(c, { license: 'SEE LICENSE IN planted.txt' }),
    says: /planted 1\.0\.0: licence/,
  },
  { step: 'licences', what: 'no licence', plant: (c) => plantPackage(c, {}), says: /none stated/ },
  {
    step: 'licences',
    what: 'an install script',
    plant: (c) => plantPackage(c, { license: 'MIT', scripts: { postinstall: 'true' } }),
    says: /install script postinstall/,
  },
  {
    step: 'licences',
    what: 'an address in the lock file',
    plant: (c) =>
      changeLock(c, (lock) => Object.assign(lock.packages['node_modules/zod'] ?? {}, { resolved: 'https://example.org/zod.tgz' })),
    says: /carries an address/,
  },
  {
    step: 'licences',
    what: 'a version known to be vulnerable',
    plant: (c) => changeLock(c, (lock) => Object.assign(lock.packages['node_modules/mathjs'] ?? {}, { version: '15.1.9' })),
    says: /mathjs 15\.1\.9 is known to be vulnerable below 15\.2\.0/,
  },
  {
    step: 'licences',
    what: 'a tool with an install script',
    plant: (c) => changeLock(c, (lock) => Object.assign(lock.packages['node_modules/vitest'] ?? {}, { hasInstallScript: true })),
    says: /node_modules\/vitest has an install script/,
  },
  {
    step: 'licences',
    what: 'a package without a checksum',
    plant: (c) => changeLock(c, (lock) => Object.assign(lock.packages['node_modules/yaml'] ?? {}, { integrity: undefined })),
    says: /node_modules\/yaml has no checksum/,
  },
  {
    step: 'licences',
    what: 'a need that the lock file does not meet',
    plant: (c) =>
      changeLock(c, (lock) => {
        delete lock.packages['node_modules/seedrandom'];
      }),
    says: /needs seedrandom, which is not in the lock file/,
  },
  {
    step: 'licences',
    what: 'a package.json that the lock file does not know',
    plant: (c) => c.write('packages/core/package.json', c.read('packages/core/package.json').replace('"yaml": "2.9.1"', '"yaml": "2.9.0"')),
    says: /dependencies of packages\/core differ/,
  },
  {
    step: 'network',
    what: 'a module of the network',
    plant: (c) => c.write('packages/cli/src/planted.ts', "export const planted = (): Promise<unknown> => import('node:https');\n"),
    says: /planted\.ts line 1: 'node:https' can open/,
  },
  {
    step: 'network',
    what: 'a module by another door',
    plant: (c) =>
      c.write('packages/report/src/planted.ts', "import { createRequire } from 'node:module';\ncreateRequire(import.meta.url)('net');\n"),
    says: /planted\.ts line 2: 'net' can open/,
  },
  {
    step: 'network',
    what: 'a request of the page',
    plant: (c) => c.write('packages/report/src/inPage/planted.ts', 'export const planted = globalThis.fetch;\n'),
    says: /planted\.ts line 1: fetch can open/,
  },
  {
    step: 'network',
    what: 'a request by a name in a text',
    plant: (c) => c.write(`${core}/findings/planted.ts`, "export const planted = (globalThis as never)['WebSocket'];\n"),
    says: /'WebSocket' can open/,
  },
  {
    step: 'network',
    what: 'another program',
    plant: (c) => c.write('packages/notebook/src/planted.ts', "export { spawn } from 'child_process';\n"),
    says: /'child_process' can open/,
  },
  {
    step: 'sources',
    what: 'a source that is not listed',
    plant: (c) => c.write(`${core}/findings/planted.ts`, '/** Planted.\n *\n * Source: [PLANTED1999] p. 1\n */\nexport {};\n'),
    says: /\[PLANTED1999\] is not in/,
  },
  {
    step: 'sources',
    what: 'a source listed twice',
    plant: (c) => append(c, 'docs/references.md', '\n- **[PLANTED1999]** one\n- **[PLANTED1999]** two\n'),
    says: /\[PLANTED1999\] stands twice/,
  },
  {
    step: 'tests',
    what: 'a test that fails',
    plant: (c) => {
      c.remove('test');
      c.write('test/planted.test.ts', "import { expect, it } from 'vitest';\nit('planted', () => expect(1).toBe(2));\n");
    },
    says: /planted[\s\S]*0 passed, 1 failed/,
  },
  {
    step: 'tests',
    what: 'a test file that cannot be loaded',
    plant: (c) => {
      c.remove('test');
      c.write('test/planted.test.ts', "import './nowhere.js';\n");
    },
    says: /nowhere[\s\S]*0 passed, 1 failed/,
  },
  { step: 'tests', what: 'no test at all', plant: (c) => c.remove('test'), says: /0 passed, 1 failed/ },
  {
    step: 'examples',
    what: 'a wrong value',
    plant: (c) => c.write(`${core}/findings/planted.ts`, planted('1 + 1; // => 3')),
    says: /planted\.ts line 5: value is 2, the example says 3/,
  },
  {
    step: 'examples',
    what: 'a wrong last digit',
    plant: (c) => c.write(`${core}/findings/planted.ts`, planted('1.2041; // => 1.205')),
    says: /planted\.ts line 5: value is 1\.2041/,
  },
  {
    step: 'examples',
    what: 'a wrong type',
    plant: (c) => c.write(`${core}/findings/planted.ts`, planted("const a: number = 'one';\na; // => 'one'")),
    says: /planted\.ts line 5: Type 'string'/,
  },
  {
    step: 'examples',
    what: 'an example that stops',
    plant: (c) => c.write(`${core}/findings/planted.ts`, planted("throw new Error('planted');\n1; // => 1")),
    says: /stops: Error: planted/,
  },
  {
    step: 'examples',
    what: 'nothing asserted',
    plant: (c) => c.write(`${core}/findings/planted.ts`, planted('1 + 1;')),
    says: /asserts nothing/,
  },
  {
    step: 'examples',
    what: 'an assertion never reached',
    plant: (c) => c.write(`${core}/findings/planted.ts`, planted('const f = async () => {\n  1; // => 1\n};\nf;')),
    says: /never reached/,
  },
  {
    step: 'examples',
    what: 'no block of code',
    plant: (c) => c.write(`${core}/findings/planted.ts`, '/**\n * @example 1 + 1\n */\nexport {};\n'),
    says: /without a block/,
  },
  {
    step: 'examples',
    what: 'no example anywhere',
    plant: (c) => c.write('tools/files.js', c.read('tools/files.js').replace('.sort();', '.slice(0, 0);')),
    says: /no @example was found/,
  },
  { step: 'snippets', what: 'a command that fails', plant: (c) => append(c, 'README.md', '\n```sh\nfalse\n```\n'), says: /exit code 1/ },
  {
    step: 'snippets',
    what: 'output that is not there',
    plant: (c) => append(c, 'README.md', '\n```sh\necho one # => two\n```\n'),
    says: /does not contain `two`/,
  },
  {
    step: 'snippets',
    what: 'a wrong value',
    plant: (c) => append(c, 'README.md', '\n```ts\n1 + 1; // => 3\n```\n'),
    says: /README\.md line \d+: value is 2/,
  },
  {
    step: 'snippets',
    what: 'a link that leads nowhere',
    plant: (c) => append(c, 'README.md', '\n[planted](docs/planted.md)\n'),
    says: /a link leads nowhere: docs\/planted\.md/,
  },
  {
    step: 'start',
    what: 'a trial that cannot be used',
    plant: (c) => c.write('sample-logs/trial.yaml', 'trial: 1\nplanted: true\n'),
    says: /npm start ends with exit code 1[\s\S]*planted/,
  },
  {
    step: 'start',
    what: 'no report',
    plant: (c) => c.write('package.json', c.read('package.json').replace(' --report out/report.html', '')),
    says: /wrote no out\/report\.html/,
  },
  {
    step: 'api',
    what: 'a report that was not renewed',
    plant: (c) => c.write('docs/api/core.api.md', c.read('docs/api/core.api.md').replace('what: string', 'was: string')),
    says: /core\.api\.md differs/,
  },
  { step: 'api', what: 'a report that is missing', plant: (c) => c.remove('docs/api/figures.api.md'), says: /figures\.api\.md is missing/ },
  {
    step: 'api',
    what: 'a new export',
    needs: ['types'],
    plant: (c) => append(c, `${core}/index.ts`, 'export const planted: number = 1;\n'),
    says: /core\.api\.md differs/,
  },
  {
    step: 'api',
    what: 'a public function without docblock',
    needs: ['types'],
    plant: (c) => append(c, `${core}/index.ts`, 'export function planted(): number {\n  return 1;\n}\n'),
    says: /function planted has no docblock/,
  },
  {
    step: 'exports',
    what: 'a new export',
    needs: ['types'],
    plant: (c) => append(c, `${core}/index.ts`, 'export const planted: number = 1;\n'),
    says: /exports planted, which/,
  },
  {
    step: 'exports',
    what: 'an export gone',
    plant: (c) => append(c, 'test/core/exports.txt', 'planted\n'),
    says: /no longer exports planted/,
  },
  {
    step: 'notebooks',
    what: 'a number typed in the text of a notebook',
    plant: (c) =>
      c.write(
        'notebooks/1-look-at-a-log.ipynb',
        c.read('notebooks/1-look-at-a-log.ipynb').replace('It takes ten minutes', 'It takes 10 minutes'),
      ),
    says: /the number 10 is typed in the text/,
  },
  {
    step: 'notebooks',
    what: 'a number that is another than before',
    plant: (c) => c.write('notebooks/golden.json', c.read('notebooks/golden.json').replace('4,246', '4,240')),
    says: /held: .*4,240[\s\S]*shown: .*4,246/,
  },
  {
    step: 'notebooks',
    what: 'a cell that does not compile',
    plant: (c) =>
      c.write('notebooks/1-look-at-a-log.ipynb', c.read('notebooks/1-look-at-a-log.ipynb').replace('summary(checked)', 'summary(4)')),
    says: /1-look-at-a-log, cell \d+: .*'number' is not assignable/,
  },
  {
    step: 'reference',
    what: 'a link in a docblock that leads nowhere',
    plant: (c) => append(c, `${core}/index.ts`, '/** As {@link plantedNowhere}. */\nexport const planted: number = 1;\n'),
    says: /plantedNowhere/,
  },
  {
    step: 'reference',
    what: 'a type that is used and not shown',
    plant: (c) =>
      append(c, `${core}/index.ts`, 'interface Planted {\n  readonly one: number;\n}\nexport const planted: Planted = { one: 1 };\n'),
    says: /Planted[\s\S]*not included in the documentation/,
  },
  {
    step: 'reference',
    what: 'a folder without a question',
    plant: (c) =>
      c.write(
        'tools/reference/groupByQuestion.js',
        c.read('tools/reference/groupByQuestion.js').replace("'core/src/air/'", "'core/src/nowhere/'"),
      ),
    says: /nothing stands under the question: What was the air\?/,
  },
];
