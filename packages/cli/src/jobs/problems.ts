import { PullproofError } from '@pullproof/core';
import type { Io } from '../io.js';
import { problemText } from '../terminal/problemText.js';
import { styleFor } from '../terminal/style.js';

/** A fault of the input as it is; a fault of ours as one that says so. */
export function asProblem(cause: unknown): PullproofError {
  if (cause instanceof PullproofError) return cause;
  const what = cause instanceof Error ? (cause.stack ?? cause.message) : String(cause);
  const oneLine = what.replaceAll(/\s*\n\s*/g, ' | ');
  return new PullproofError(
    'E_INTERNAL',
    `Pullproof itself failed: ${oneLine}.`,
    {},
    'Please report this, with the smallest input that shows it.',
  );
}

/** An error as data, for `--json`. */
export function errorResult(problem: PullproofError): object {
  const { code, severity, message, where, fix } = problem.toFinding();
  return { schema: 'pullproof/error@1', error: { code, severity, message, where, fix } };
}

/** Says what went wrong on standard error. */
export function tellProblem(problem: PullproofError, io: Io): void {
  io.stderr.write(problemText(problem, styleFor(io.stderr, io.env)));
}
