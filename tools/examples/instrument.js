import ts from 'typescript';
import { readPattern } from './pattern.js';

/**
 * Turns `expression; // => value` into a call that compares the two; the lines stay where they are.
 * @param {string} code
 * @returns {{ code: string, assertions: number }}
 */
export function instrument(code) {
  const source = ts.createSourceFile('example.ts', code, ts.ScriptTarget.ES2022, true);
  const lines = code.split('\n');
  const arrows = new Map(
    lines.flatMap((line, index) => {
      const arrow = /\/\/ ?=> ?(.+)$/.exec(line);
      return arrow === null ? [] : [[index, { text: /** @type {string} */ (arrow[1]), alone: line.trimStart().startsWith('//') }]];
    }),
  );
  /** @type {{ from: number, to: number, text: string }[]} */
  const edits = [];

  /** @param {import('typescript').Node} node */
  function visit(node) {
    if (ts.isExpressionStatement(node) || ts.isVariableStatement(node)) {
      const endLine = source.getLineAndCharacterOfPosition(node.end).line;
      const below = arrows.get(endLine + 1);
      const at = arrows.has(endLine) ? endLine : below?.alone ? endLine + 1 : null;
      if (at !== null) {
        const { text } = /** @type {{ text: string }} */ (arrows.get(at));
        arrows.delete(at);
        edits.push(comparison(node, JSON.stringify(readPattern(text)), at));
        return;
      }
    }
    ts.forEachChild(node, visit);
  }
  visit(source);
  if (arrows.size > 0)
    throw new Error(
      `line ${[...arrows.keys()].map((line) => line + 1).join(', ')} of the example: an arrow without an expression before it`,
    );

  let result = code;
  for (const { from, to, text } of edits.sort((a, b) => b.from - a.from)) result = result.slice(0, from) + text + result.slice(to);
  return { code: result, assertions: edits.length };
}

/**
 * @param {import('typescript').ExpressionStatement | import('typescript').VariableStatement} node
 * @param {string} pattern
 * @param {number} line
 */
function comparison(node, pattern, line) {
  if (ts.isExpressionStatement(node)) {
    const shown = printed(node.expression) ?? node.expression;
    return { from: node.getStart(), to: node.end, text: `await __expect(${line}, ${pattern}, async () => (${shown.getText()}));` };
  }
  const [declaration] = node.declarationList.declarations;
  if (node.declarationList.declarations.length !== 1 || declaration === undefined || !ts.isIdentifier(declaration.name)) {
    throw new Error(`\`${node.getText()}\`: an arrow stands behind one plain declaration or an expression`);
  }
  return { from: node.end, to: node.end, text: ` await __expect(${line}, ${pattern}, async () => ${declaration.name.text});` };
}

/**
 * The one argument of a call to console.log; null for anything else.
 * @param {import('typescript').Expression} expression
 */
function printed(expression) {
  if (!ts.isCallExpression(expression) || expression.expression.getText() !== 'console.log' || expression.arguments.length !== 1)
    return null;
  return expression.arguments[0] ?? null;
}
