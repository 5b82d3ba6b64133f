import { createHash, randomUUID } from 'node:crypto';
import { readdirSync, rmSync } from 'node:fs';
import { hostname } from 'node:os';
import path from 'node:path';

/** This machine in a few characters: files of a run on another one, in a shared folder, are left alone. */
const machine = createHash('sha256').update(hostname()).digest('hex').slice(0, 8);
const temporary = /\.([0-9a-f]{8})-(\d+)-[0-9a-f]{8}-[0-9a-f-]{27}\.tmp$/;
const swept = new Set<string>();

/** A tag of its own for a temporary file, by which a later run knows who left it behind. */
export function runTag(): string {
  return `${machine}-${process.pid}-${randomUUID()}`;
}

/** Takes away temporary files that a run left behind in a folder when it was killed; once a folder. What a living run writes is left alone. */
export function sweep(folder: string): void {
  if (swept.has(folder)) return;
  swept.add(folder);
  for (const name of readdirSync(folder)) {
    const [, where, pid] = temporary.exec(name) ?? [];
    if (where !== machine || isAlive(Number(pid))) continue;
    rmSync(path.join(folder, name), { force: true });
  }
}

function isAlive(pid: number): boolean {
  try {
    process.kill(pid, 0);
    return true;
  } catch (cause) {
    // A process that may not be asked is there all the same.
    return (cause as NodeJS.ErrnoException).code !== 'ESRCH';
  }
}
