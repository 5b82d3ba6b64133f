import ts from 'typescript';

/**
 * What stands behind `// =>`, as plain data that survives being written into a program.
 * @typedef {(
 *   | { kind: 'number', value: number, tolerance: number }
 *   | { kind: 'special', value: 'NaN' | 'Infinity' | '-Infinity' | 'undefined' }
 *   | { kind: 'exact', value: string | boolean | null }
 *   | { kind: 'list', items: Pattern[], more: boolean }
 *   | { kind: 'object', entries: [string, Pattern][], more: boolean }
 *   | { kind: 'throws', code: string }
 * )} Pattern
 */

/**
 * Reads an expected value. A number with decimals is met within half a unit of its last digit, an integer exactly; `≈` before a number allows half a
 * unit of the last digit also for integers. `...` at the end of a list or an object allows more. `throws CODE` expects that error. Text behind a
 * number is a note.
 * @param {string} text
 * @returns {Pattern}
 */
export function readPattern(text) {
  const trimmed = text.trim();
  const thrown = /^throws ([A-Z][A-Z0-9_]*)$/.exec(trimmed);
  if (thrown !== null) return { kind: 'throws', code: /** @type {string} */ (thrown[1]) };
  const numeric = /^(?:≈\s*)?-?(?:\d+\.?\d*|\.\d+)(?:e[+-]?\d+)?(?=$|[\s,;])/i.exec(trimmed);
  if (numeric !== null) return numberPattern(numeric[0]);
  const plain = trimmed
    .replace(/\b(Float64|Float32|Uint8|Uint16|Uint32|Int8|Int16|Int32)Array(\(\d+\))?\s*(?=\[)/g, '')
    .replace(/(\.\.\.|…)(?=\s*\])/g, '__more')
    .replace(/(\.\.\.|…)(?=\s*\})/g, '__more');
  const source = ts.createSourceFile('expected.ts', `(${plain})`, ts.ScriptTarget.ES2022, true);
  const [statement] = source.statements;
  const broken = /** @type {{ parseDiagnostics?: unknown[] }} */ (/** @type {unknown} */ (source)).parseDiagnostics ?? [];
  if (source.statements.length !== 1 || broken.length > 0 || !statement || !ts.isExpressionStatement(statement)) {
    throw new Error(`cannot read the expected value \`${trimmed}\``);
  }
  return patternOf(statement.expression);
}

/**
 * @param {string} text
 * @returns {Pattern}
 */
function numberPattern(text) {
  const loose = text.startsWith('≈');
  const digits = text.replace(/^≈\s*/, '');
  const value = Number(digits);
  const [, decimals = '', exponent = '0'] = /^-?\d*\.?(\d*)(?:e([+-]?\d+))?$/i.exec(digits) ?? [];
  const halfUnit = 0.5 * 10 ** (Number(exponent) - decimals.length);
  const rounding = 1e-12 * Math.abs(value);
  return { kind: 'number', value, tolerance: loose || decimals !== '' ? halfUnit * (1 + 1e-9) + rounding : rounding };
}

/**
 * @param {import('typescript').Expression} node
 * @returns {Pattern}
 */
function patternOf(node) {
  if (ts.isParenthesizedExpression(node)) return patternOf(node.expression);
  if (ts.isNumericLiteral(node)) return numberPattern(node.getText());
  if (ts.isPrefixUnaryExpression(node) && node.operator === ts.SyntaxKind.MinusToken) {
    if (ts.isNumericLiteral(node.operand)) return numberPattern(`-${node.operand.getText()}`);
    if (node.operand.getText() === 'Infinity') return { kind: 'special', value: '-Infinity' };
  }
  if (ts.isStringLiteral(node) || ts.isNoSubstitutionTemplateLiteral(node)) return { kind: 'exact', value: node.text };
  if (node.kind === ts.SyntaxKind.TrueKeyword || node.kind === ts.SyntaxKind.FalseKeyword) {
    return { kind: 'exact', value: node.kind === ts.SyntaxKind.TrueKeyword };
  }
  if (node.kind === ts.SyntaxKind.NullKeyword) return { kind: 'exact', value: null };
  if (ts.isIdentifier(node) && (node.text === 'NaN' || node.text === 'Infinity' || node.text === 'undefined')) {
    return { kind: 'special', value: node.text };
  }
  if (ts.isArrayLiteralExpression(node)) {
    const more = node.elements.some(isMore);
    return { kind: 'list', items: node.elements.filter((item) => !isMore(item)).map(patternOf), more };
  }
  if (ts.isObjectLiteralExpression(node)) {
    /** @type {[string, Pattern][]} */
    const entries = [];
    let more = false;
    for (const property of node.properties) {
      if (ts.isShorthandPropertyAssignment(property) && property.name.text === '__more') more = true;
      else if (ts.isPropertyAssignment(property) && !ts.isComputedPropertyName(property.name)) {
        entries.push([property.name.text, patternOf(property.initializer)]);
      } else throw new Error(`cannot read the expected value \`${node.getText()}\``);
    }
    return { kind: 'object', entries, more };
  }
  throw new Error(`cannot read the expected value \`${node.getText()}\``);
}

/** @param {import('typescript').Expression} node */
function isMore(node) {
  return ts.isIdentifier(node) && node.text === '__more';
}
