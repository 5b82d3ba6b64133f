import type { CheckedLog } from '../../result/index.js';
import { inComment, quoted } from './draftLines.js';

/** What was found in a log, in a few words. */
export function seenInLog({ dialect, durationS, stretches }: CheckedLog): string {
  if (dialect === null) return 'could not be read; see pullproof check';
  const pulls = stretches.filter(({ kind }) => kind === 'pull');
  const long = durationS === null ? '' : `${durationS.toFixed(0)} s, `;
  if (pulls.length === 0) return `${long}no full-throttle pull found`;
  const shown = pulls.slice(0, 4).map(({ startS, endS }) => `${startS.toFixed(1)} to ${endS.toFixed(1)} s`);
  return `${long}${pulls.length === 1 ? 'one pull' : `${pulls.length} pulls`}: ${shown.join(', ')}${pulls.length > shown.length ? ' …' : ''}`;
}

/** Logs that have the same columns are of one kind, and told of once. */
function kindOf({ channels }: CheckedLog): string {
  return JSON.stringify(channels.map(({ name }) => name));
}

/** At most so many columns that were not recognized are listed; a logger may have hundreds. */
const mostListed = 12;

/** Columns that were not recognized, as a line to complete, below the first log of its kind. */
export function unknownColumns(log: CheckedLog, logs: readonly CheckedLog[]): string[] {
  if (logs.find((other) => kindOf(other) === kindOf(log)) !== log) return [];
  const unknown = log.channels.filter(({ quantity }) => quantity === null);
  if (unknown.length === 0) return [];
  const listed = unknown
    .slice(0, mostListed)
    .map(({ name, unit }) => `${quoted(name)}: QUANTITY ${unit === '' ? 'UNIT' : inComment(unit)}`);
  const more = unknown.length > mostListed ? ` and ${unknown.length - mostListed} more` : '';
  return [`        # channels: { ${listed.join(', ')} }  # not recognized${more}; name what you need, for a pressure abs or gauge`];
}

const lineWidth = 150;

/** What was recognized, once for each kind of log. */
export function columnLines(logs: readonly CheckedLog[]): string[] {
  const kinds = new Map<string, CheckedLog[]>();
  for (const log of logs) if (log.dialect !== null) kinds.set(kindOf(log), [...(kinds.get(kindOf(log)) ?? []), log]);
  return [...kinds.values()].flatMap((same) => {
    const known = same[0]!.channels.filter(({ quantity }) => quantity !== null);
    if (known.length === 0) return [];
    const paths = same.map(({ path }) => quoted(path));
    const of = paths.length > 6 ? `${paths.slice(0, 5).join(', ')} and ${paths.length - 5} more` : paths.join(', ');
    const words = known.map(
      ({ name, quantity, unit, standing, evidence }) =>
        `${quoted(name)}: ${quantity}${unit === '' ? '' : ` ${inComment(unit)}`}${standing === 'guessed' ? ` (guessed: ${inComment(evidence)})` : ''}`,
    );
    return [`# Recognized in ${of}:`, ...filled(words)];
  });
}

/** Parts joined by semicolons, as many a line as fit. */
function filled(words: readonly string[]): string[] {
  const lines: string[] = [];
  let line = '';
  for (const word of words) {
    if (line !== '' && line.length + word.length > lineWidth) {
      lines.push(`#   ${line};`);
      line = '';
    }
    line = line === '' ? word : `${line}; ${word}`;
  }
  return line === '' ? lines : [...lines, `#   ${line}`];
}
