/** What is wrong with one field of a trial file; where it stands is added by the reader. */
export class FieldProblem extends Error {
  readonly code: string;
  readonly fix: string;
  /** Keys below the field, when the problem lies deeper. */
  readonly below: readonly (string | number)[];

  constructor(code: string, what: string, fix: string, below: readonly (string | number)[] = []) {
    super(what);
    this.name = 'FieldProblem';
    this.code = code;
    this.fix = fix;
    this.below = below;
  }
}

/** A problem and the keys from the top of the file down to it. */
export interface PlacedProblem {
  readonly at: readonly (string | number)[];
  readonly problem: FieldProblem;
  /** True when the key itself is meant, not its value. */
  readonly atKey?: boolean;
}
