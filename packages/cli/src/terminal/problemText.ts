import { type Finding, type PullproofError, placeText } from '@pullproof/core';
import { inertText } from './inertText.js';
import { type Style, shownBy } from './style.js';

/** An error as people read it: *where: what. What to do. [CODE]*. */
export function problemText(problem: PullproofError, style: Style): string {
  return `${style.red('error')} ${shownBy(inertText(problem.message), style)}\n`;
}

/** A finding in the same form, its severity first. */
export function findingText(finding: Finding, style: Style): string {
  const { code, severity, message, where, fix, count } = finding;
  const times = count === undefined || count < 2 ? '' : ` (${count} times)`;
  const word = severity === 'error' ? style.red('error') : severity === 'warning' ? style.yellow('warning') : 'note';
  return `${word} ${shownBy(inertText(`${placeText(where)}${message}${times} ${fix} [${code}]`), style)}`;
}
