/** The text of a sample log with a number added to every lambda. */
export function pulledSampleLambda(text: string, leanerBy: number): string {
  const delimiter = text.startsWith('Time;') ? ';' : ',';
  const lines = text.split(/\r?\n/);
  const column = lines[0]!.split(delimiter).indexOf('Lambda');
  return lines
    .map((line) => {
      const cells = line.split(delimiter);
      const number = Number(cells[column]?.replace(',', '.'));
      if (cells[column] === undefined || cells[column] === '' || Number.isNaN(number)) return line;
      const moved = (number + leanerBy).toFixed(3);
      cells[column] = delimiter === ';' ? moved.replace('.', ',') : moved;
      return cells.join(delimiter);
    })
    .join('\n');
}
