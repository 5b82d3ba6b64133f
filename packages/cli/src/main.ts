import { readSync } from 'node:fs';
import type { Output } from './io.js';
import { run } from './run.js';

/** Wires the command line to the process. */
export async function main(): Promise<void> {
  process.stdout.on('error', ({ code }: NodeJS.ErrnoException) => {
    const what = code === 'EPIPE' ? 'Who reads it has gone.' : `It cannot be written (${code}).`;
    process.stderr.write(`error standard output: ${what} Send it to a file, or read it to its end. [E_WRITE]\n`, () => process.exit(1));
  });
  process.stderr.on('error', () => process.exit(1));
  process.exitCode = await run(process.argv.slice(2), {
    cwd: process.cwd(),
    env: process.env,
    stdout: outputOf(process.stdout),
    stderr: outputOf(process.stderr),
    stdin: standardInput,
    now: () => performance.now(),
    onInterrupt,
  });
}

const signals = ['SIGINT', 'SIGTERM', 'SIGHUP'] as const;

/** Ctrl-C and its like: tidy, then end as by that signal. */
function onInterrupt(tidy: () => void): () => void {
  const end = (signal: NodeJS.Signals): void => {
    leave();
    tidy();
    process.kill(process.pid, signal);
  };
  const leave = (): void => {
    for (const signal of signals) process.off(signal, end);
  };
  for (const signal of signals) process.on(signal, end);
  return leave;
}

function outputOf(stream: NodeJS.WriteStream): Output {
  return {
    write: (text) => {
      stream.write(text);
    },
    isTTY: stream.isTTY === true,
    columns: stream.columns ?? 80,
  };
}

function* standardInput(): Generator<Uint8Array> {
  const pause = new Int32Array(new SharedArrayBuffer(4));
  for (;;) {
    const chunk = new Uint8Array(1 << 16);
    let count: number;
    try {
      count = readSync(0, chunk, 0, chunk.length, null);
    } catch (cause) {
      const { code } = cause as NodeJS.ErrnoException;
      if (code === 'EOF') return;
      if (code !== 'EAGAIN') throw cause;
      Atomics.wait(pause, 0, 0, 20);
      continue;
    }
    if (count === 0) return;
    yield chunk.subarray(0, count);
  }
}
