import { existsSync, mkdirSync, readFileSync } from 'node:fs';
import path from 'node:path';
import { Extractor, ExtractorConfig, ExtractorLogLevel } from '@microsoft/api-extractor';
import { root, scratch } from '../process.js';

/** Packages whose public surface is kept as a report in docs/api and reviewed when it changes. */
const reported = ['core', 'figures', 'report', 'notebook'];

/** The public surface of the packages against the committed reports. Needs a build. `--update` rewrites the reports. */
export const api = {
  name: 'api',
  what: 'public surface as in docs/api',
  /** @param {import('../check.js').Context} context */
  async run({ update }) {
    const problems = reported.flatMap((name) => reportProblems(name, update));
    return {
      passed: problems.length === 0 ? 1 : 0,
      failed: problems.length === 0 ? 0 : 1,
      report: problems.join('\n'),
      note: reported.join(', '),
    };
  },
};

/**
 * @param {string} name
 * @param {boolean} update
 * @returns {string[]}
 */
function reportProblems(name, update) {
  const folder = path.join(root, 'packages', name);
  const entry = path.join(folder, 'dist/index.d.ts');
  if (!existsSync(entry)) return [`packages/${name} is not built (tsc -b)`];
  const reportFile = `docs/api/${name}.api.md`;
  if (!update && !existsSync(path.join(root, reportFile))) return [`${reportFile} is missing: npm run check -- --only api --update`];
  mkdirSync(path.join(root, 'docs/api'), { recursive: true });
  const config = ExtractorConfig.prepare({
    configObjectFullPath: undefined,
    packageJsonFullPath: path.join(folder, 'package.json'),
    configObject: {
      projectFolder: folder,
      mainEntryPointFilePath: entry,
      newlineKind: 'lf',
      compiler: { tsconfigFilePath: path.join(folder, 'tsconfig.json'), skipLibCheck: true },
      apiReport: {
        enabled: true,
        reportFileName: `${name}.api.md`,
        reportFolder: path.join(root, 'docs/api'),
        reportTempFolder: path.join(scratch, 'api'),
      },
      docModel: { enabled: false },
      dtsRollup: { enabled: false },
      tsdocMetadata: { enabled: false },
      messages: {
        compilerMessageReporting: { default: { logLevel: ExtractorLogLevel.Error } },
        extractorMessageReporting: {
          default: { logLevel: ExtractorLogLevel.Error },
          'ae-forgotten-export': { logLevel: ExtractorLogLevel.None, addToApiReportFile: true },
          'ae-missing-release-tag': { logLevel: ExtractorLogLevel.None },
          'ae-undocumented': { logLevel: ExtractorLogLevel.None },
          'ae-unresolved-link': { logLevel: ExtractorLogLevel.None },
        },
        tsdocMessageReporting: { default: { logLevel: ExtractorLogLevel.None } },
      },
    },
  });
  /** @type {string[]} */
  const problems = [];
  const { apiReportChanged } = Extractor.invoke(config, {
    localBuild: update,
    messageCallback(message) {
      message.handled = true;
      if (message.logLevel === ExtractorLogLevel.Error && message.category !== 'console')
        problems.push(`packages/${name}: ${message.text}`);
    },
  });
  if (apiReportChanged && !update) {
    problems.push(
      `${reportFile} differs from what packages/${name} exports: look at the difference, then npm run check -- --only api --update`,
    );
  }
  const surface = readFileSync(path.join(scratch, 'api', `${name}.api.md`), 'utf8');
  for (const [, exported] of surface.matchAll(/\(undocumented\)\nexport (?:declare )?(?:abstract )?((?:function|class) \w+)/g)) {
    problems.push(`packages/${name}: ${exported} has no docblock`);
  }
  return problems;
}
