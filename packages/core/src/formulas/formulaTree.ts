import { type FormulaSource, refuseFormula, type Span } from './formulaFault.js';
import type { FormulaToken } from './formulaTokens.js';
import type { UnitValue } from './formulaUnit.js';

/** A formula as a tree, each part with its place in the text. */
export type FormulaTree =
  | (Span & { readonly kind: 'number'; readonly value: UnitValue })
  | (Span & { readonly kind: 'name'; readonly name: string })
  | (Span & { readonly kind: 'sign'; readonly sign: '+' | '-'; readonly of: FormulaTree })
  | (Span & { readonly kind: 'pair'; readonly sign: '+' | '-' | '*' | '/' | '^'; readonly left: FormulaTree; readonly right: FormulaTree })
  | (Span & { readonly kind: 'call'; readonly name: string; readonly of: readonly FormulaTree[] });

/** What is used of the parser's nodes. */
interface ParsedNode {
  readonly type: string;
  readonly op?: string;
  readonly args?: readonly ParsedNode[];
  readonly content?: ParsedNode;
}

/** Reads the shape of expressions; made by {@link loadFormulaParser}. */
export interface FormulaParser {
  readonly parse: (shape: string) => unknown;
}

/**
 * Loads the parser that formulas are read with. It takes a third of a second, so it is only loaded by those who have formulas.
 *
 * @returns the parser, to be handed on to `compileFormulas` or `runTrial`
 *
 * @example
 * ```ts
 * import { compileFormulas, loadFormulaParser } from '@pullproof/core';
 * const parser = await loadFormulaParser();
 * compileFormulas({ ratio: 'manifold_pressure / barometric_pressure' }, parser)[0]?.unit; // => '1'
 * ```
 */
export async function loadFormulaParser(): Promise<FormulaParser> {
  const { parse } = await import('mathjs/number');
  return { parse: (shape) => parse(shape) };
}

/**
 * The tree of a formula. The parser is shown the formula's shape only, in which every number, name and function is the same letter: no word of the text can
 * mean anything to it. What stands at each place is taken from our own tokens, in the order of the text.
 *
 * @throws E_FORMULA with the place where the shape is broken
 */
export function formulaTree(source: FormulaSource, tokens: readonly FormulaToken[], parser: FormulaParser): FormulaTree {
  let shape = ''.padEnd(source.text.length);
  for (const token of tokens) {
    const { from, to } = token;
    shape = shape.slice(0, from) + (token.kind === 'sign' ? token.sign : 'x'.padEnd(to - from)) + shape.slice(to);
  }
  const operands = tokens.filter((token) => token.kind !== 'sign');
  return treeOf(shaped(source, shape, parser), operands, source);
}

function shaped(source: FormulaSource, shape: string, parser: FormulaParser): ParsedNode {
  try {
    return parser.parse(shape) as ParsedNode;
  } catch (cause) {
    const { char } = cause as { readonly char?: unknown };
    if (!(cause instanceof SyntaxError) || typeof char !== 'number') throw cause;
    const at = Math.min(Math.max(char - 1, 0), source.text.length);
    return refuseFormula(
      source,
      { from: at, to: Math.min(at + 1, source.text.length) },
      'something is missing here, or one sign too many.',
      'Check signs, commas and that every bracket is closed.',
    );
  }
}

type Operand = Exclude<FormulaToken, { kind: 'sign' }>;

/** Takes operands in the order in which they stand in the text, which is the order in which the tree is walked. */
function treeOf(parsed: ParsedNode, operands: readonly Operand[], source: FormulaSource): FormulaTree {
  let next = 0;
  const take = <K extends Operand['kind']>(...kinds: readonly K[]): Extract<Operand, { kind: K }> => {
    const token = operands[next++];
    if (token === undefined || !kinds.includes(token.kind as K)) return refuseShape(source);
    return token as Extract<Operand, { kind: K }>;
  };
  const walk = (node: ParsedNode): FormulaTree => {
    const args = node.args ?? [];
    switch (node.type) {
      case 'ParenthesisNode':
        return walk(node.content!);
      case 'SymbolNode':
        return take('number', 'name');
      case 'FunctionNode': {
        const { name, from } = take('function');
        const of = args.map(walk);
        return { kind: 'call', name, of, from, to: closing(source.text, of.at(-1)?.to ?? from) };
      }
      case 'OperatorNode': {
        const [first, second] = args;
        if (args.length === 1 && (node.op === '-' || node.op === '+')) {
          const of = walk(first!);
          return { kind: 'sign', sign: node.op, of, from: signBefore(source.text, of.from), to: of.to };
        }
        if (args.length !== 2 || !isPairSign(node.op)) return refuseShape(source);
        const left = walk(first!);
        const right = walk(second!);
        return { kind: 'pair', sign: node.op, left, right, from: left.from, to: right.to };
      }
      default:
        return refuseShape(source);
    }
  };
  const tree = walk(parsed);
  return next === operands.length ? tree : refuseShape(source);
}

function refuseShape(source: FormulaSource): never {
  return refuseFormula(
    source,
    { from: 0, to: source.text.length },
    'this is no formula.',
    'Use numbers, names, + - * / ^, brackets and functions.',
  );
}

function isPairSign(op: string | undefined): op is '+' | '-' | '*' | '/' | '^' {
  return op !== undefined && op.length === 1 && '+-*/^'.includes(op);
}

/** Just behind the bracket that closes a call. */
function closing(text: string, from: number): number {
  const at = text.indexOf(')', from);
  return at < 0 ? text.length : at + 1;
}

/** Where the sign before an operand stands, over brackets and blanks. */
function signBefore(text: string, from: number): number {
  let at = from - 1;
  while (at > 0 && /[\s(]/.test(text[at]!)) at--;
  return Math.max(at, 0);
}
