import { type Finding, type Place, type PullproofError, placeText } from '@pullproof/core';
import { inertText } from './inertText.js';
import { type Style, shownBy } from './style.js';

const longestName = 120;
const longestMessage = 2000;

/** An error as people read it: *where: what. What to do. [CODE]*. */
export function problemText(problem: PullproofError, style: Style): string {
  const { code, what, where, fix } = problem;
  return `${style.red('error')} ${shownBy(sentence(where, what, fix, code), style)}\n`;
}

/** A finding in the same form, its severity first. */
export function findingText(finding: Finding, style: Style): string {
  const { code, severity, message, where, fix, count } = finding;
  // A message that gives the count itself is not followed by it.
  const times = count === undefined || count < 2 || message.includes(` ${count} `) ? '' : ` (${count} times)`;
  const word = severity === 'error' ? style.red('error') : severity === 'warning' ? style.yellow('warning') : 'note';
  return `${word} ${shownBy(sentence(where, `${message}${times}`, fix, code), style)}`;
}

function sentence(where: Place, what: string, fix: string, code: string): string {
  const { path, channel } = where;
  const cut = {
    ...where,
    ...(path === undefined ? {} : { path: inertText(path, longestName) }),
    ...(channel === undefined ? {} : { channel: inertText(channel, longestName) }),
  };
  return `${inertText(placeText(cut))}${inertText(what, longestMessage)} ${inertText(fix, longestMessage)} [${inertText(code)}]`;
}
