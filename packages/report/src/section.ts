import type { TrialResult } from '@pullproof/core';
import type { Figure } from '@pullproof/figures';
import type { Html } from './html.js';

/** A figure with its caption. */
export interface FigureBlock {
  readonly figure: Figure;
  /** Raw text. */
  readonly caption: string;
}

/** What a section is made of, in order. Figures that stand in one array are set side by side where there is room. */
export type Block = Html | FigureBlock | readonly FigureBlock[];

/** One part of a topic. It reads the result and nothing else. */
export interface ReportSection {
  /** Anchor in the page. */
  readonly id: string;
  readonly title: string;
  /** Blocks of the section; null where the result has nothing for it, and then it is left out. */
  readonly render: (result: TrialResult) => readonly Block[] | null;
}

/** How a topic stands: `stop` and `look` want reading, `plain` does not, `none` has nothing to show. */
export type TopicState = 'stop' | 'look' | 'plain' | 'none';

/** Something that can be read about a result, closed until it is asked for or needs reading. */
export interface Topic {
  /** Anchor, and name in the address. */
  readonly id: string;
  readonly title: string;
  readonly state: TopicState;
  /** A word or two that say how it stands. */
  readonly status: string;
  /** One sentence, in the closed topic. */
  readonly sentence: string;
  /** True where it must be read. */
  readonly open: boolean;
  readonly blocks: readonly Block[];
}
