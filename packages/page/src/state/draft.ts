import type { Draft } from '../worker/messages.js';

/** Keys and places from the top of a trial down to a field. */
export type FieldPath = readonly (string | number)[];

interface SetupDraft {
  readonly name: string;
  readonly runs?: readonly RunDraft[];
}
interface RunDraft {
  readonly log: string;
  readonly channels?: { readonly [column: string]: string };
}

/** The setups of a draft, with their runs. */
export function setupsOf(draft: Draft): readonly SetupDraft[] {
  return (draft.setups as readonly SetupDraft[] | undefined) ?? [];
}

/** Names of the logs that a draft's runs are of. */
export function logsOf(draft: Draft): string[] {
  return setupsOf(draft).flatMap(({ runs = [] }) => runs.map(({ log }) => log));
}

/** Names of all logs that a draft names: those of its runs, and those of its slips, which are no runs. */
export function namedLogsOf(draft: Draft): string[] {
  const slips = Array.isArray(draft.slips) ? (draft.slips as readonly { readonly log?: string }[]) : [];
  return [...logsOf(draft), ...slips.flatMap(({ log }) => log ?? [])];
}

export function valueAt(draft: unknown, path: FieldPath): unknown {
  return path.reduce<unknown>((inside, key) => (inside as { [key: string]: unknown } | undefined)?.[key], draft);
}

/** The draft with another value at a place; `undefined` takes the field out, and with it the groups that stand empty then. */
export function withValue<Whole>(whole: Whole, path: FieldPath, value: unknown): Whole {
  const [key, ...rest] = path;
  if (key === undefined) return value as Whole;
  if (typeof key === 'number') {
    const list = [...((whole as readonly unknown[] | undefined) ?? [])];
    const inside = withValue(list[key], rest, value);
    if (inside === undefined) list.splice(key, 1);
    else list[key] = inside;
    return (list.length === 0 ? undefined : list) as Whole;
  }
  const group: { [key: string]: unknown } = { ...(whole as object | undefined) };
  const inside = withValue(group[key], rest, value);
  if (inside === undefined) delete group[key];
  else group[key] = inside;
  return (Object.keys(group).length === 0 ? undefined : group) as Whole;
}

/** Where the run of a log stands. */
function placeOf(draft: Draft, log: string): { readonly setup: number; readonly run: number } | null {
  for (const [setup, { runs = [] }] of setupsOf(draft).entries()) {
    const run = runs.findIndex((one) => one.log === log);
    if (run >= 0) return { setup, run };
  }
  return null;
}

/** The draft without a log; a setup that has no run left goes with it. */
export function withoutLog(draft: Draft, log: string): Draft {
  return withSetups(
    draft,
    setupsOf(draft).map((setup) => ({ ...setup, runs: (setup.runs ?? []).filter((run) => run.log !== log) })),
  );
}

/** The draft with a log moved into a setup, by its place; a place behind the last makes a setup of that name. */
export function withLogIn(draft: Draft, log: string, setup: number, newName: string): Draft {
  const place = placeOf(draft, log);
  const moved: RunDraft = place === null ? { log } : setupsOf(draft)[place.setup]!.runs![place.run]!;
  const left = setupsOf(draft).map((one) => ({ ...one, runs: (one.runs ?? []).filter((run) => run.log !== log) }));
  if (setup >= left.length) left.push({ name: freeName(newName, left), runs: [] });
  return withSetups(
    draft,
    left.map((one, index) => (index === setup ? { ...one, runs: [...one.runs, moved] } : one)),
  );
}

/** The draft with another setup first: the one that others are compared with. */
export function withFirst(draft: Draft, setup: number): Draft {
  const setups = setupsOf(draft);
  return { ...draft, setups: [setups[setup], ...setups.filter((_, index) => index !== setup)] };
}

/** Logs of another draft added: into the setup of that name where there is one. */
export function merged(draft: Draft, added: Draft): Draft {
  if (setupsOf(draft).length === 0) return { ...added, ...draft, setups: added.setups };
  const setups = setupsOf(draft).map((setup) => ({ ...setup }));
  for (const { name, runs = [], ...rest } of setupsOf(added)) {
    const same = setups.find((one) => one.name === name);
    if (same === undefined) setups.push({ ...rest, name, runs });
    else Object.assign(same, { runs: [...(same.runs ?? []), ...runs] });
  }
  return { ...draft, setups };
}

function withSetups(draft: Draft, setups: readonly SetupDraft[]): Draft {
  return { ...draft, setups: setups.filter(({ runs = [] }) => runs.length > 0) };
}

function freeName(wanted: string, setups: readonly SetupDraft[]): string {
  let name = wanted;
  for (let n = 2; setups.some((one) => one.name === name); n++) name = `${wanted} ${n}`;
  return name;
}
