/** Delimiters that are considered. `spaces` is any run of spaces, `wide spaces` a run of two or more. */
export const delimiters: readonly string[] = [',', ';', '\t', '|', 'spaces', 'wide spaces'];

/** Signs that a cell may be quoted with. */
export type Quote = '"' | "'";

const runs: Readonly<Record<string, RegExp>> = { spaces: /"(?:[^"\r\n]|"")*"| +/g, 'wide spaces': /"(?:[^"\r\n]|"")*"| {2,}/g };

/** True for a delimiter that is a run of spaces; such text is rewritten with tabs before it is taken apart. */
export function isSpaces(delimiter: string): boolean {
  return delimiter === 'spaces' || delimiter === 'wide spaces';
}

/** One line with each run of spaces between cells turned into one tab; quoted text stays as it is. */
function tabbed(line: string, delimiter: string): string {
  let end = line.length;
  while (line[end - 1] === ' ') end--;
  return line
    .slice(0, end)
    .replace(/^ +/, '')
    .replace(runs[delimiter]!, (found) => (found.startsWith('"') ? found : '\t'));
}

/** Fields of one line, and what its quotes are like. */
export interface LineFields {
  readonly cells: string[];
  /** Fields with a quote that neither opens nor closes one, and is part of the text. */
  readonly stray: number;
  /** True where a field opens with a quote that this line does not close: it was taken as text. */
  readonly open: boolean;
}

/**
 * Fields of one line. A quote opens at the start of a field, blanks aside, and closes before a delimiter or the end; within, two quotes stand for one.
 * A quote that the line does not close is text, and so is any other one.
 *
 * @param text one line, or a record over several lines
 * @param plain true to take a quote that holds further quotes inside as text
 */
export function lineFields(text: string, delimiter: string, quote: Quote = '"', plain = false): LineFields {
  if (isSpaces(delimiter)) return lineFields(tabbed(text, delimiter), '\t', quote, plain);
  if (!text.includes(quote)) return { cells: text.split(delimiter), stray: 0, open: false };
  const cells: string[] = [];
  let stray = 0;
  let open = false;
  let at = 0;
  for (;;) {
    const first = afterBlanks(text, at, delimiter);
    const close = text[first] === quote ? closingQuote(text, first, delimiter, quote) : null;
    if (close === null || (plain && close.inner > 0)) {
      let end = text.indexOf(delimiter, at);
      if (end < 0) end = text.length;
      const cell = text.slice(at, end);
      if (cell.includes(quote)) stray++;
      if (text[first] === quote && close === null && first < end) open = true;
      cells.push(cell);
      if (end >= text.length) break;
      at = end + 1;
    } else {
      if (close.inner > 0) stray++;
      cells.push(text.slice(first + 1, close.quote).replaceAll(quote + quote, quote));
      if (close.end >= text.length) break;
      at = close.end + 1;
    }
  }
  return { cells, stray, open };
}

/** Fields of one line. */
export function splitLine(line: string, delimiter: string, quote: Quote = '"'): string[] {
  return lineFields(line, delimiter, quote).cells;
}

function afterBlanks(text: string, from: number, delimiter: string): number {
  let at = from;
  while (text[at] === ' ' || (text[at] === '\t' && delimiter !== '\t')) at++;
  return at;
}

/** Where a quoted field closes and ends, and how many single quotes it holds inside; null where it never closes. */
function closingQuote(
  text: string,
  from: number,
  delimiter: string,
  quote: Quote,
): { readonly quote: number; readonly end: number; readonly inner: number } | null {
  let inner = 0;
  for (let at = text.indexOf(quote, from + 1); at >= 0; at = text.indexOf(quote, at + 1)) {
    if (text[at + 1] === quote) {
      at++;
      continue;
    }
    const end = afterBlanks(text, at + 1, delimiter);
    if (end >= text.length || text[end] === delimiter) return { quote: at, end, inner };
    inner++;
  }
  return null;
}
