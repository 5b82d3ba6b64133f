import { isUnitsRow } from './layout.js';

/** What a row of words, or several, turned out to be once the next row of data came. */
export interface SettledWords {
  /** Lines of rows that are neither header nor footer. */
  readonly dropped: readonly number[];
  /** Line on which another table starts; null when none does. */
  readonly otherTableLine: number | null;
}

const nothing: SettledWords = { dropped: [], otherTableLine: null };

/** Rows of words among the data wait here until the next row of data tells what they were: another header, a remark, or, at the end, a footer. */
export class WordRows {
  private readonly names: readonly string[];
  private readonly isText: (cell: string) => boolean;
  private pending: { readonly cells: readonly string[]; readonly line: number } | null = null;
  private earlier: number[] = [];
  private afterHeader = false;

  constructor(names: readonly string[], isText: (cell: string) => boolean) {
    this.names = names;
    this.isText = isText;
  }

  /** Takes a row that is not one of data: true when it repeats the header; null when it holds numbers and is a misshapen row of data. */
  take(cells: readonly string[], line: number): 'header' | 'words' | null {
    const present = cells.filter((cell) => cell.trim() !== '');
    const words = present.every((cell) => this.isText(cell));
    if (words && this.repeatsHeader(cells)) {
      this.afterHeader = true;
      return 'header';
    }
    if (words && (this.afterHeader || this.pending !== null) && isUnitsRow(cells, 'words')) return 'words';
    if (!words && !(/\p{L}/u.test(cells[0]!) && this.isText(cells[0]!))) return null;
    if (this.pending !== null) this.earlier.push(this.pending.line);
    this.pending = { cells, line };
    return 'words';
  }

  /** Settles what is waiting, now that a row of `width` fields of data follows. */
  settle(width: number): SettledWords {
    const { pending, earlier } = this;
    this.afterHeader = false;
    if (pending === null) return nothing;
    this.pending = null;
    this.earlier = [];
    if (width > 1 && this.isOtherHeader(pending.cells, width)) return { dropped: earlier, otherTableLine: pending.line };
    return { dropped: [...earlier, pending.line], otherTableLine: null };
  }

  /** Rows of words that no data followed. */
  get footer(): { readonly rows: number; readonly line: number } {
    const { pending, earlier } = this;
    return pending === null ? { rows: 0, line: 0 } : { rows: earlier.length + 1, line: earlier[0] ?? pending.line };
  }

  private isOtherHeader(cells: readonly string[], width: number): boolean {
    const names = cells.filter((cell) => cell.trim() !== '' && this.isText(cell));
    const distinct = new Set(names).size === names.length;
    return distinct && names.length >= 2 && names.length >= width - 1 && Math.abs(cells.length - width) <= 1;
  }

  private repeatsHeader(cells: readonly string[]): boolean {
    const rest = cells.slice(this.names.length);
    return this.names.every((name, i) => (cells[i] ?? '').trim() === name.trim()) && rest.every((cell) => cell.trim() === '');
  }
}
