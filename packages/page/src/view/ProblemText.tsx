import type { JSX } from 'preact';
import type { Problem } from '../worker/messages.js';

/** Place, cause, remedy. */
export function ProblemText({ problem }: { readonly problem: Problem }): JSX.Element {
  return (
    <p class="problem">
      {problem.place === '' ? null : <b>{problem.place}: </b>}
      {problem.what} {problem.fix} <span class="code">{problem.code}</span>
    </p>
  );
}
