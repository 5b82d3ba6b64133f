import { type Finding, nearestName } from '../findings/index.js';

/** Which way along a road a run was driven: opposite headings see its slope and the wind with opposite signs. */
export interface Heading {
  readonly heading: 1 | -1;
  /** Runs with the same road share its slope; null where no direction is given. */
  readonly road: string | null;
}

const opposites: readonly (readonly [string, string])[] = [
  ['north', 'south'],
  ['east', 'west'],
  ['northeast', 'southwest'],
  ['northwest', 'southeast'],
  ['out', 'back'],
  ['there', 'back'],
  ['up', 'down'],
  ['uphill', 'downhill'],
];

/**
 * Pairs up the directions that a trial names: words that are opposites, or the only two that there are.
 *
 * @param directions Direction of each run, null where none is given.
 * @returns Heading and road of each name; a name without an opposite is a road of its own.
 */
export function headingsOf(directions: readonly (string | null)[]): (direction: string | null) => Heading {
  const names = [...new Set(directions.filter((name) => name !== null))];
  const found = new Map<string, Heading>();
  const pair = (one: string, other: string): void => {
    const road = `road ${one} and ${other}`;
    found.set(one, { heading: 1, road });
    found.set(other, { heading: -1, road });
  };
  for (const [one, other] of opposites) {
    const a = names.find((name) => plain(name) === one && !found.has(name));
    const b = names.find((name) => plain(name) === other && !found.has(name));
    if (a !== undefined && b !== undefined) pair(a, b);
  }
  if (names.length === 2 && found.size === 0 && meantFor(names[0]!, names) === null && meantFor(names[1]!, names) === null)
    pair(names[0]!, names[1]!);
  return (direction) => {
    if (direction === null) return { heading: 1, road: null };
    return found.get(direction) ?? { heading: 1, road: `direction ${direction}` };
  };
}

const knownWords: readonly string[] = [...new Set(opposites.flat())];

function plain(name: string): string {
  return name.toLowerCase().replace(/[\s-]|(bound|wards?)$/g, '');
}

/** The direction of the trial that a word which is none known was probably meant for; null where nothing says so. */
function meantFor(name: string, names: readonly string[]): string | null {
  if (knownWords.includes(plain(name))) return null;
  const near = nearestName(plain(name), knownWords);
  return near === null ? null : (names.find((other) => other !== name && plain(other) === near) ?? null);
}

/**
 * Directions that stand alone though others are named: their runs pair up with none, and count as a road of their own.
 *
 * @param runs direction, log and setup of each
 * @returns a warning for each such direction, which names the nearest word that is known
 */
export function directionFindings(
  runs: readonly { readonly direction: string | null; readonly log: string; readonly setup: string }[],
): Finding[] {
  const names = [...new Set(runs.flatMap(({ direction }) => (direction === null ? [] : [direction])))];
  const along = headingsOf(names);
  const alone = names.filter((name) => names.every((other) => other === name || along(other).road !== along(name).road));
  return alone.flatMap((name): Finding[] => {
    const known = knownWords.includes(plain(name));
    const near = known ? null : nearestName(plain(name), knownWords);
    // One direction throughout is a plain one-way trial, unless it looks like a slip of the pen.
    if (names.length === 1 && near === null) return [];
    const { log, setup } = runs.find(({ direction }) => direction === name)!;
    return [
      {
        code: 'W_DIRECTION_ALONE',
        severity: 'warning',
        message: `Direction "${name}" has no opposite in the trial: its runs count as driven on a road of their own, and pair up with none.`,
        where: { path: log, setup, field: 'direction' },
        fix: near === null ? `Name the ways of one road by opposites, such as north and south.` : `If ${near} is meant, write ${near}.`,
      },
    ];
  });
}
