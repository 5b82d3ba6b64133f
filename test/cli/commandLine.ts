import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { afterAll } from 'vitest';
import { type Io, run } from '../../packages/cli/src/index.js';

/** What a run of the command line gave. */
export interface Ran {
  readonly exit: number;
  readonly out: string;
  readonly err: string;
}

export interface RunOptions {
  readonly cwd?: string;
  readonly env?: Readonly<Record<string, string>>;
  readonly terminal?: boolean;
  readonly stdin?: string;
  /** Milliseconds that the clock moves between two looks at it. */
  readonly tickMs?: number;
}

/** Runs the command line as a function, its streams kept. */
export async function pullproof(args: readonly string[], options: RunOptions = {}): Promise<Ran> {
  const { terminal = false, tickMs = 0 } = options;
  const out: string[] = [];
  const err: string[] = [];
  let nowMs = 0;
  const io: Io = {
    cwd: options.cwd ?? process.cwd(),
    env: options.env ?? { LANG: 'C.UTF-8' },
    stdout: kept(out, terminal),
    stderr: kept(err, terminal),
    stdin: () => [new TextEncoder().encode(options.stdin ?? '')],
    now: () => {
      nowMs += tickMs;
      return nowMs;
    },
  };
  const exit = await run(args, io);
  return { exit, out: out.join(''), err: err.join('') };
}

function kept(texts: string[], isTTY: boolean): Io['stdout'] {
  return {
    write: (text) => {
      texts.push(text);
    },
    isTTY,
    columns: 80,
  };
}

const folders: string[] = [];

/** A folder of its own with these files, gone after the tests of the file. */
export function folderWith(files: Readonly<Record<string, string | Uint8Array>> | ReadonlyMap<string, string>): string {
  const folder = mkdtempSync(path.join(tmpdir(), 'pullproof-test-'));
  folders.push(folder);
  for (const [name, content] of files instanceof Map ? files : Object.entries(files)) writeFileSync(path.join(folder, name), content);
  return folder;
}

afterAll(() => {
  for (const folder of folders.splice(0)) rmSync(folder, { recursive: true, force: true });
});
