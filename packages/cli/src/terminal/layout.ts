/** Columns that a text takes on a terminal; colours take none. */
export function visibleWidth(text: string): number {
  let width = 0;
  for (const character of text.replaceAll(/\u001b\[\d+m/g, '')) {
    if (/\p{M}/u.test(character)) continue;
    width += wide.test(character) ? 2 : 1;
  }
  return width;
}

const wide =
  /[\u1100-\u115f\u2e80-\ua4cf\uac00-\ud7a3\uf900-\ufaff\ufe30-\ufe6f\uff00-\uff60\uffe0-\uffe6\u{1f300}-\u{1faff}\u{20000}-\u{3fffd}]/u;

/** Breaks a text at spaces into lines of a width; later lines are indented by `hanging`. A longer word stands alone. */
export function wrapped(text: string, width: number, first: string = '', hanging: string = first): string[] {
  const lines: string[] = [];
  let line = first;
  let empty = true;
  for (const word of text.split(' ')) {
    if (!empty && visibleWidth(line) + 1 + visibleWidth(word) > width) {
      lines.push(line);
      line = hanging;
      empty = true;
    }
    line += empty ? word : ` ${word}`;
    empty = false;
  }
  return [...lines, line];
}

/** A column of a table. */
export interface Column {
  readonly title: string;
  readonly align?: 'left' | 'right';
  /** May be cut to make the table fit. */
  readonly flexible?: boolean;
}

/** How wide a table may be, and what stands for what was cut. */
export interface TableFit {
  readonly width: number;
  readonly unicode: boolean;
}

const indent = '  ';

/** A table in aligned columns, two spaces apart; flexible columns are cut until it fits. */
export function table(columns: readonly Column[], rows: readonly (readonly string[])[], fit: TableFit): string[] {
  const all = [columns.map(({ title }) => title), ...rows];
  const widths = columns.map((_, c) => Math.max(...all.map((row) => visibleWidth(row[c] ?? ''))));
  const total = () => widths.reduce((sum, one) => sum + one + 2, indent.length - 2);
  while (total() > fit.width) {
    let widest = -1;
    columns.forEach((column, c) => {
      if (column.flexible === true && widths[c]! > 8 && (widest < 0 || widths[c]! > widths[widest]!)) widest = c;
    });
    if (widest < 0) break;
    widths[widest]!--;
  }
  return all.map((row) =>
    `${indent}${columns.map(({ align }, c) => cell(row[c] ?? '', widths[c]!, align ?? 'left', fit.unicode ? '…' : '..')).join('  ')}`.trimEnd(),
  );
}

function cell(text: string, width: number, align: 'left' | 'right', cutMark: string): string {
  const letters = Array.from(text);
  let shown = text;
  while (visibleWidth(shown) > width) {
    letters.pop();
    shown = `${letters.join('')}${cutMark}`;
  }
  const space = ' '.repeat(width - visibleWidth(shown));
  return align === 'right' ? space + shown : shown + space;
}
