import type { TrialResult } from '@pullproof/core';
import type { Figure } from '@pullproof/figures';
import type { Html } from './html.js';

/** A figure with its caption, numbered when the page is put together. */
export interface FigureBlock {
  readonly figure: Figure;
  /** Raw text. */
  readonly caption: string;
}

/** What a section is made of, in order. Figures that stand in one array are set side by side where there is room. */
export type Block = Html | FigureBlock | readonly FigureBlock[];

/** One section of the report. It reads the result and nothing else. */
export interface ReportSection {
  /** Anchor in the page. */
  readonly id: string;
  readonly title: string;
  /** Blocks of the section; null where the result has nothing for it, and then it is left out. */
  readonly render: (result: TrialResult) => readonly Block[] | null;
}
