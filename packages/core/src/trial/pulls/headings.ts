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
  const plain = (name: string): string => name.toLowerCase().replace(/[\s-]|(bound|wards?)$/g, '');
  for (const [one, other] of opposites) {
    const a = names.find((name) => plain(name) === one && !found.has(name));
    const b = names.find((name) => plain(name) === other && !found.has(name));
    if (a !== undefined && b !== undefined) pair(a, b);
  }
  if (names.length === 2 && found.size === 0) pair(names[0]!, names[1]!);
  return (direction) => {
    if (direction === null) return { heading: 1, road: null };
    return found.get(direction) ?? { heading: 1, road: `direction ${direction}` };
  };
}
