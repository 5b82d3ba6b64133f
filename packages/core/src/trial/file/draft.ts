/** A part of a trial as it stands in its file: texts, numbers, lists and groups; quantities as typed. */
export type DraftValue = string | number | boolean | null | readonly DraftValue[] | { readonly [key: string]: DraftValue };

export type DraftGroup = { readonly [key: string]: DraftValue };

/** A trial as data, before it is checked: what its file would hold. `parseTrial` takes it like the text of a file. */
export interface TrialDraft extends DraftGroup {
  readonly trial: 1;
  readonly setups: readonly DraftGroup[];
}
