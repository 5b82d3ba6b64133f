import { readFileSync } from 'node:fs';
import path from 'node:path';
import { filesBelow, packageNames } from '../files.js';
import { root } from '../process.js';

const bibliography = 'docs/references.md';

/** Every source that a comment names by its key stands in the bibliography, once. */
export const references = {
  name: 'sources',
  what: 'sources named in comments stand in docs/references.md',
  async run() {
    const keys = [...readFileSync(path.join(root, bibliography), 'utf8').matchAll(/^- \*\*\[([^\]]+)\]\*\*/gm)].map(
      (match) => match[1] ?? '',
    );
    const problems = keys.filter((key, index) => keys.indexOf(key) !== index).map((key) => `${bibliography}: [${key}] stands twice`);
    let named = 0;
    for (const file of packageNames().flatMap((name) => filesBelow(`packages/${name}/src`, /\.ts$/))) {
      const text = readFileSync(path.join(root, file), 'utf8');
      for (const [comment] of text.matchAll(/\/\*\*[\s\S]*?\*\/|(?:^\s*\/\/.*\n)+/gm)) {
        const source = /Sources?:([\s\S]*?)(?:\n\s*\*?\s*\n|\n\s*\* (?:@|[A-Z][a-z]+:)|\*\/|$)/.exec(comment)?.[1] ?? '';
        for (const [, key = ''] of source.matchAll(/\[([A-Z][A-Za-z0-9.-]{2,})\]/g)) {
          named += 1;
          if (!keys.includes(key)) problems.push(`${file}: [${key}] is not in ${bibliography}`);
        }
      }
    }
    if (named === 0) problems.push('no comment names a source by its key');
    return {
      passed: problems.length === 0 ? 1 : 0,
      failed: problems.length === 0 ? 0 : 1,
      report: problems.join('\n'),
      note: `${named} named, ${keys.length} listed`,
    };
  },
};
