/**
 * @typedef {{
 *   file: string,
 *   firstLine: number,
 *   language: 'ts' | 'sh',
 *   code: string,
 *   leftOut: string | null,
 * }} Example  A block of code: the file and the line it starts on, and why it is not run (null when it is).
 */

/**
 * Code blocks below `@example` in the docblocks of a source file.
 * @param {string} file
 * @param {string} text
 * @returns {Example[]}
 */
export function examplesOfSource(file, text) {
  /** @type {Example[]} */
  const examples = [];
  for (const comment of text.matchAll(/\/\*\*[\s\S]*?\*\//g)) {
    const firstLine = text.slice(0, comment.index).split('\n').length;
    const lines = comment[0].split('\n').map((line) => line.replace(/^\s*(\/\*\*|\*(?!\/)) ?/, '').replace(/\s*\*\/$/, ''));
    let inExample = false;
    /** @type {{ start: number, lines: string[] } | null} */
    let block = null;
    lines.forEach((line, index) => {
      if (block !== null) {
        if (/^\s*```\s*$/.test(line)) {
          examples.push({ file, firstLine: firstLine + block.start, language: 'ts', code: block.lines.join('\n'), leftOut: null });
          block = null;
        } else block.lines.push(line);
      } else if (/^\s*```(ts|typescript)\b/.test(line) && inExample) block = { start: index + 1, lines: [] };
      else if (/^\s*@\w+/.test(line)) inExample = /^\s*@example\b/.test(line);
    });
    if (block !== null) throw new Error(`${file} line ${firstLine}: the code block of an @example has no end`);
  }
  return examples;
}

/**
 * Every `@example` of a source file must hold a code block; gives the lines of those that do not.
 * @param {string} text
 * @returns {number[]}
 */
export function examplesWithoutCode(text) {
  const lines = text.split('\n');
  return lines.flatMap((line, index) => {
    if (!/^\s*(\/\*\*|\*)\s*@example\b/.test(line)) return [];
    const rest = lines.slice(index + 1);
    const end = rest.findIndex((next) => /\*\/|^\s*\*\s*@\w+/.test(next));
    return rest.slice(0, end === -1 ? rest.length : end).some((next) => /```(ts|typescript)\b/.test(next)) ? [] : [index + 1];
  });
}

/**
 * Blocks of TypeScript and shell in a Markdown file. The line `<!-- not run: why -->` above a block leaves it out.
 * @param {string} file
 * @param {string} text
 * @returns {Example[]}
 */
export function examplesOfMarkdown(file, text) {
  /** @type {Example[]} */
  const examples = [];
  const lines = text.split('\n');
  for (let index = 0; index < lines.length; index++) {
    const fence = /^( *)(`{3,})(\S*)\s*$/.exec(lines[index] ?? '');
    if (fence === null) continue;
    const [, indent = '', ticks = '', language] = fence;
    const end = lines.indexOf(`${indent}${ticks}`, index + 1);
    if (end === -1) throw new Error(`${file} line ${index + 1}: the code block has no end`);
    if (language === 'ts' || language === 'sh') {
      const above = lines.slice(0, index).findLast((line) => line.trim() !== '') ?? '';
      const leftOut = /^<!-- not run: (.+) -->$/.exec(above.trim());
      const code = lines.slice(index + 1, end).map((line) => line.slice(indent.length));
      examples.push({ file, firstLine: index + 2, language, code: code.join('\n'), leftOut: leftOut?.[1] ?? null });
    }
    index = end;
  }
  return examples;
}
