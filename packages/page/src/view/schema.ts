/** What a form needs of the trial file's JSON Schema. */
export interface SchemaNode {
  readonly type?: string | readonly string[];
  readonly description?: string;
  readonly examples?: readonly unknown[];
  readonly enum?: readonly unknown[];
  readonly const?: unknown;
  readonly properties?: { readonly [key: string]: SchemaNode };
  readonly additionalProperties?: boolean | SchemaNode;
  readonly items?: SchemaNode;
  readonly anyOf?: readonly SchemaNode[];
  readonly required?: readonly string[];
  /** Another spelling of a field. */
  readonly deprecated?: boolean;
}

/** How a field is entered. */
export type Entry =
  | { readonly kind: 'group'; readonly node: SchemaNode; readonly fields: readonly (readonly [key: string, node: SchemaNode])[] }
  | { readonly kind: 'list'; readonly node: SchemaNode; readonly item: SchemaNode }
  | { readonly kind: 'numbers'; readonly node: SchemaNode }
  | { readonly kind: 'pairs'; readonly node: SchemaNode }
  | { readonly kind: 'choice'; readonly node: SchemaNode; readonly words: readonly string[] }
  | { readonly kind: 'line'; readonly node: SchemaNode; readonly isNumber: boolean };

/** How a part of the schema is entered: groups and lists by their parts, all else as one line. */
export function entryOf(node: SchemaNode): Entry {
  const inner = node.anyOf?.find((one) => one.properties !== undefined || one.items !== undefined);
  if (inner !== undefined) return entryOf({ description: node.description ?? '', ...inner });
  if (node.properties !== undefined)
    return { kind: 'group', node, fields: Object.entries(node.properties).filter(([, one]) => one.deprecated !== true) };
  if (node.items !== undefined) {
    const plain = hasType(node.items, 'number') || hasType(node.items, 'integer');
    return plain && !hasType(node.items, 'string') ? { kind: 'numbers', node } : { kind: 'list', node, item: node.items };
  }
  if (hasType(node, 'object')) return { kind: 'pairs', node };
  if (node.enum !== undefined) return { kind: 'choice', node, words: [...new Set(node.enum.filter((word) => typeof word === 'string'))] };
  const isNumber = (hasType(node, 'number') || hasType(node, 'integer')) && !hasType(node, 'string');
  return { kind: 'line', node, isNumber };
}

function hasType(node: SchemaNode, type: string): boolean {
  return typeof node.type === 'string' ? node.type === type : (node.type?.includes(type) ?? false);
}

/** A key as a person reads it. */
export function keyWords(key: string): string {
  const words = key.replaceAll('-', ' ');
  return words.charAt(0).toUpperCase() + words.slice(1);
}
