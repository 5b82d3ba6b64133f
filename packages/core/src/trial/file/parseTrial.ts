import type { z } from 'zod';
import { PullproofError } from '../../findings/index.js';
import { checkTrial } from './checkTrial.js';
import type { TrialDraft } from './draft.js';
import { FieldProblem, type PlacedProblem } from './fieldProblem.js';
import { shown } from './fields.js';
import { fillInMark } from './fillInMark.js';
import { inherit } from './inherit.js';
import { dataDocument, type FieldPath, fieldName, type TrialDocument, trialDocument } from './trialDocument.js';
import type { TrialFile } from './trialFile.js';
import { trialSchema } from './trialSchema.js';
import { unitsFor } from './unitsFor.js';

/**
 * Reads and checks a trial file: every key known, every quantity with its unit, every value within what can be meant.
 *
 * @param trial the YAML text, or the same as data
 * @param path of the file, for messages
 * @returns the file as checked, keys as written, quantities in SI
 * @throws E_TRIAL_SYNTAX, E_TRIAL_FILL_IN, E_TRIAL_UNKNOWN_KEY, E_TRIAL_MISSING, E_TRIAL_VALUE, E_TRIAL_IMPLAUSIBLE, E_TRIAL_REFERENCE, E_TRIAL_CONFLICT,
 * E_TRIAL_NEEDS, E_TRIAL_VERSION, E_TRIAL_EMPTY, or a unit's own code; each names line and field, and tells how many more there are
 *
 * @example
 * ```ts
 * import { parseTrial } from '@pullproof/core';
 * const file = parseTrial('trial: 1\ncar: { driver: 180 lb }\nsetups: [{ name: stock, runs: [{ log: a.csv }] }]', 'trial.yaml');
 * file.car.driver?.si.toFixed(2); // => '81.65'
 * file.units; // => 'imperial'
 * ```
 */
export function parseTrial(trial: string | TrialDraft, path: string): TrialFile {
  const document = typeof trial === 'string' ? trialDocument(trial, path) : dataDocument(trial, path);
  refuseMarks(document);
  const checked = trialSchema.safeParse(document.value);
  if (!checked.success)
    throw worded(
      checked.error.issues.flatMap((issue) => problemsOf(issue, document.value)),
      document,
    );
  const { data } = checked;
  const complete = inherit(data);
  const problems = checkTrial(data, complete);
  if (problems.length > 0) throw worded(problems, document);
  return { ...complete, path, title: data.title ?? 'Untitled trial', ...unitsFor(data) };
}

function refuseMarks(document: TrialDocument): void {
  const marked = document.textsHolding(fillInMark);
  if (marked.length === 0) return;
  const fix = 'Give the value, or take the line out to have it assumed.';
  throw worded(
    marked.map((at) => ({ at, problem: new FieldProblem('E_TRIAL_FILL_IN', `It is still marked ${fillInMark}.`, fix) })),
    document,
  );
}

/** All problems as one error: the first in the file in full, the others by place. What is missing comes last, as a mistyped key also makes its right spelling missing. */
function worded(problems: readonly PlacedProblem[], document: TrialDocument): PullproofError {
  const placed = problems
    .map(({ at, problem, atKey }) => ({ line: document.lineOf(at, atKey === true), field: fieldName(at), problem }))
    .sort((a, b) => missing(a) - missing(b) || (a.line ?? 0) - (b.line ?? 0));
  const first = placed[0]!;
  const others = placed.slice(1).map(({ line, field, problem }) => `${line === null ? '' : `line ${line} `}${field}: ${problem.message}`);
  const rest = others.length === 0 ? '' : ` ${others.length} more: ${others.slice(0, 20).join(' ')}${others.length > 20 ? ' …' : ''}`;
  return new PullproofError(
    first.problem.code,
    first.problem.message,
    { path: document.path, ...(first.line === null ? {} : { line: first.line }), field: first.field },
    `${first.problem.fix}${rest}`,
  );
}

function missing({ problem }: { readonly problem: FieldProblem }): number {
  return problem.code === 'E_TRIAL_MISSING' ? 1 : 0;
}

function problemsOf(issue: z.core.$ZodIssue, value: unknown, above: FieldPath = []): PlacedProblem[] {
  const at = [...above, ...issue.path.map((key) => (typeof key === 'symbol' ? String(key) : key))];
  switch (issue.code) {
    case 'custom': {
      const { code, fix } = issue.params as { code: string; fix: string };
      return [{ at, problem: new FieldProblem(code, issue.message, fix) }];
    }
    case 'unrecognized_keys':
      return issue.keys.map((key) => ({
        at: [...at, key],
        atKey: true,
        problem: new FieldProblem('E_TRIAL_UNKNOWN_KEY', `${shown(key)} is not a key that is known here.`, issue.message),
      }));
    case 'invalid_union': {
      const branches = issue.errors.map((issues) => issues.flatMap((one) => problemsOf(one, value, at)));
      return branches.reduce((best, branch) => (deepest(branch) > deepest(best) ? branch : best));
    }
    default: {
      const given = at.reduce<unknown>((inside, key) => (inside as Record<string | number, unknown> | undefined)?.[key], value);
      const wanted = issue.code === 'invalid_type' && issue.expected === 'array' ? 'a list' : 'a group of keys';
      if (issue.code === 'too_small')
        return [{ at, problem: new FieldProblem('E_TRIAL_MISSING', 'The list is empty.', 'Add at least one entry.') }];
      return [
        given === undefined
          ? { at, problem: new FieldProblem('E_TRIAL_MISSING', 'It is missing.', `Add it: ${wanted}.`) }
          : {
              at,
              problem: new FieldProblem(
                'E_TRIAL_VALUE',
                `${shown(given)} is given where ${wanted} is needed.`,
                `Write ${wanted}, or take it out.`,
              ),
            },
      ];
    }
  }
}

function deepest(problems: readonly PlacedProblem[]): number {
  return Math.max(...problems.map(({ at }) => at.length));
}
