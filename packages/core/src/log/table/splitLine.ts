/** Delimiters that are considered. `spaces` is any run of spaces, `wide spaces` a run of two or more. */
export const delimiters: readonly string[] = [',', ';', '\t', '|', 'spaces', 'wide spaces'];

const runs: Readonly<Record<string, RegExp>> = { spaces: /"(?:[^"\r\n]|"")*"| +/g, 'wide spaces': /"(?:[^"\r\n]|"")*"| {2,}/g };

/** True for a delimiter that is a run of spaces; such text is rewritten with tabs before it is taken apart. */
export function isSpaces(delimiter: string): boolean {
  return delimiter === 'spaces' || delimiter === 'wide spaces';
}

/** Text of whole lines with each run of spaces between cells turned into one tab; quoted text stays as it is. */
export function tabbed(text: string, delimiter: string): string {
  return text.replace(/^ +| +$/gm, '').replace(runs[delimiter]!, (found) => (found.startsWith('"') ? found : '\t'));
}

/**
 * Fields of one line, quotes respected: a quote opens at the start of a field and closes before a delimiter or the end.
 * For weighing dialects only; the table itself is taken apart by papaparse or by the pass over bytes.
 */
export function splitLine(line: string, delimiter: string): string[] {
  if (isSpaces(delimiter)) return splitLine(tabbed(line, delimiter), '\t');
  if (!line.includes('"')) return line.split(delimiter);
  const fields: string[] = [];
  let at = 0;
  for (;;) {
    const quoted = line[at] === '"';
    let end = quoted ? closingQuote(line, at, delimiter) : line.indexOf(delimiter, at);
    if (end < 0 || end > line.length) end = line.length;
    const field = line.slice(at, end);
    fields.push(quoted ? field.trimEnd().replace(/^"|"$/g, '').replaceAll('""', '"') : field);
    if (end >= line.length) return fields;
    at = end + 1;
  }
}

function closingQuote(line: string, from: number, delimiter: string): number {
  for (let at = line.indexOf('"', from + 1); at >= 0; at = line.indexOf('"', at + 1)) {
    if (line[at + 1] === '"') {
      at++;
      continue;
    }
    let end = at + 1;
    while (line[end] === ' ') end++;
    if (end >= line.length || line[end] === delimiter) return end;
  }
  return line.length;
}
