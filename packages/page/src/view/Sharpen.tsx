import type { JSX } from 'preact';
import { fieldPath } from '../state/fieldPath.js';
import type { Store } from '../state/store.js';
import { Line } from './Field.js';
import { entryOf, type SchemaNode } from './schema.js';

/** Inputs in the order of what they bring to the margin, each with what is assumed now. */
export function Sharpen({ store }: { readonly store: Store }): JSX.Element | null {
  const { answer } = store.shown.value;
  const inputs =
    (answer?.result as { readonly sharpen?: readonly { field: string; label: string; sentence: string }[] } | undefined)?.sharpen ?? [];
  const schema = store.schema.value as SchemaNode | null;
  if (inputs.length === 0 || schema === null) return null;
  return (
    <aside aria-labelledby="sharpen-title">
      <h2 id="sharpen-title">What would sharpen this</h2>
      <ol>
        {inputs.map(({ field, label, sentence }) => (
          <li key={field}>
            <Line store={store} path={fieldPath(field)} node={nodeAt(schema, field)} label={label} />
            <p class="muted">{sentence}</p>
          </li>
        ))}
      </ol>
    </aside>
  );
}

function nodeAt(schema: SchemaNode, field: string): SchemaNode {
  return fieldPath(field).reduce<SchemaNode>((node, key) => {
    const entry = entryOf(node);
    if (entry.kind === 'group' && typeof key === 'string')
      return node.properties?.[key] ?? entry.fields.find(([one]) => one === key)?.[1] ?? {};
    return entry.kind === 'list' ? entry.item : {};
  }, schema);
}
