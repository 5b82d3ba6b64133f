import type { Finding } from '@pullproof/core';
import { cautionsOf } from './first/warningStrip.js';
import type { Block, Topic } from './section.js';
import { findingsList } from './sections/findings.js';
import { plural } from './topics/parts.js';

/** A topic with nothing that wants reading. */
export function plainTopic(id: string, title: string, sentence: string, blocks: readonly Block[], status = ''): Topic {
  return { id, title, state: 'plain', status, sentence, open: false, blocks };
}

/** The findings of a result as a topic; open where one is an error. */
export function findingsTopic(findings: readonly Finding[]): Topic[] {
  if (findings.length === 0) return [];
  const cautions = cautionsOf(findings);
  const errors = cautions.filter(({ severity }) => severity === 'error').length;
  return [
    {
      id: 'log-quality',
      title: 'Log quality',
      state: cautions.length > 0 ? 'look' : 'plain',
      status: errors > 0 ? plural(errors, 'error') : cautions.length > 0 ? plural(cautions.length, 'warning') : 'no warning',
      sentence: `${plural(errors, 'error')}, ${plural(cautions.length - errors, 'warning')}, ${plural(findings.length - cautions.length, 'note')}.`,
      open: errors > 0,
      blocks: [findingsList(findings)],
    },
  ];
}
