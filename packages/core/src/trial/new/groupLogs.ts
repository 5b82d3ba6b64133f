/** Logs of one setup, as far as names and content tell. */
export interface LogGroup<Log extends NamedLog> {
  readonly name: string;
  readonly logs: readonly Log[];
}

/** What is known of a log before it belongs to a setup. */
export interface NamedLog {
  readonly path: string;
  /** What was found in it, where it was read. */
  readonly stretches?: readonly { readonly kind: string }[];
}

/**
 * Puts logs into setups: by name (`base-a.csv`, `base-b.csv` go together), and by content: a log without a pull, such as an idle or a coast-down,
 * makes no setup of its own. The setup whose name says that it is the state before comes first; else the order of the logs stays.
 *
 * @param logs at least one, in the order they were given
 * @returns setups with their logs, names all different
 *
 * @example
 * ```ts
 * import { groupLogs } from '@pullproof/core';
 * groupLogs([{ path: 'after-1.csv' }, { path: 'before-1.csv' }, { path: 'before-2.csv' }]).map(({ name, logs }) => [name, logs.length]); // => [['before', 2], ['after', 1]]
 * ```
 */
export function groupLogs<Log extends NamedLog>(logs: readonly Log[]): LogGroup<Log>[] {
  const groups = new Map<string, Log[]>();
  for (const log of logs) {
    const name = setupName(log.path);
    groups.set(name, [...(groups.get(name) ?? []), log]);
  }
  const withPulls = [...groups].filter(([, own]) => own.some(mayHavePulls));
  const homes = withPulls.length === 0 ? [...groups] : withPulls;
  const strays = withPulls.length === 0 ? [] : [...groups].filter(([, own]) => !own.some(mayHavePulls));
  const placed = homes.map(([name, own]) => ({ name, logs: [...own] }));
  for (const [name, own] of strays) nearest(name, placed).logs.push(...own);
  return [...placed].sort((a, b) => Number(saysBefore(b.name)) - Number(saysBefore(a.name)));
}

/** A name for a setup from its logs: that of the file, without folder, ending, and a last letter or number that counts runs. */
export function setupName(path: string): string {
  const stem = fileStem(path);
  const base = stem.replace(
    /[-_ .]+(?:[a-z]|\d{1,3}|(?:run|pull|log)[-_ ]?\d*|north|south|east|west|again|repeat|rerun|first|second|idle|cruise|coast(?:down)?)$/i,
    '',
  );
  return base === '' || base === stem ? numbered(stem) : setupName(base);
}

/** File name without folder and ending. */
export function fileStem(path: string): string {
  const file = path.split(/[\\/]/).at(-1)!;
  return file.replace(/\.[A-Za-z]\w{0,3}$/, '') || file;
}

/** `before1` counts runs of `before`; `79mm` and `stage2` do not end in a count of three digits or have no letters before it. */
function numbered(stem: string): string {
  const word = /^(before|after|base|baseline|stock|old|new)\d{1,3}$/i.exec(stem)?.[1];
  return word ?? stem;
}

function mayHavePulls({ stretches }: NamedLog): boolean {
  return stretches === undefined || stretches.some(({ kind }) => kind === 'pull');
}

function saysBefore(name: string): boolean {
  return /(?:^|[^a-z])(?:before|base|baseline|stock|old)(?:[^a-z]|$)/i.test(name);
}

/** The group whose name begins most like this one. */
function nearest<Group extends { readonly name: string }>(name: string, groups: readonly Group[]): Group {
  const alike = (other: string): number => {
    let length = 0;
    while (length < name.length && name[length]!.toLowerCase() === other[length]?.toLowerCase()) length++;
    return length;
  };
  return groups.reduce((best, group) => (alike(group.name) > alike(best.name) ? group : best));
}
