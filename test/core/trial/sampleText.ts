/** The text of a sample log with the numbers of one column changed; `row` gives the other numbers of the row by the beginning of their column's name. */
export function changedSample(
  text: string,
  columnName: string,
  change: (value: number, row: (name: string) => number) => number,
  decimals: number,
): string {
  const delimiter = text.startsWith('Time;') ? ';' : ',';
  const lines = text.split(/\r?\n/);
  const names = lines[0]!.split(delimiter);
  const numberOf = (cell: string | undefined): number => (cell === undefined || cell === '' ? Number.NaN : Number(cell.replace(',', '.')));
  const column = names.findIndex((name) => name.startsWith(columnName));
  return lines
    .map((line) => {
      const cells = line.split(delimiter);
      const value = numberOf(cells[column]);
      if (Number.isNaN(value)) return line;
      const changed = change(value, (name) => numberOf(cells[names.findIndex((one) => one.startsWith(name))])).toFixed(decimals);
      cells[column] = delimiter === ';' ? changed.replace('.', ',') : changed;
      return cells.join(delimiter);
    })
    .join('\n');
}
