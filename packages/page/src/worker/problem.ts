import { PullproofError, placeText } from '@pullproof/core';
import type { Problem } from './messages.js';

/** What a person needs of an error; an error that nobody meant says so. */
export function problemOf(error: unknown): Problem {
  if (error instanceof PullproofError) {
    const { code, what, where, fix } = error;
    return { code, place: placeText(where).replace(/: $/, ''), what, fix, field: where.field ?? null };
  }
  const memory = error instanceof RangeError && /memory|allocation|array length/i.test(error.message);
  return {
    code: memory ? 'E_TOO_LARGE' : 'E_INTERNAL',
    place: '',
    what: memory
      ? 'This browser has no memory left for that.'
      : `This is a bug in Pullproof: ${error instanceof Error ? error.message : String(error)}.`,
    fix: memory ? 'Leave out columns or logs, or use the command line.' : 'Save the trial, reload the page, and report what you did.',
    field: null,
  };
}
