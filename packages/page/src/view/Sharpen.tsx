import type { JSX } from 'preact';
import { useState } from 'preact/hooks';
import { fieldPath } from '../state/fieldPath.js';
import type { Store } from '../state/store.js';
import { Line } from './Field.js';
import { entryOf, type SchemaNode } from './schema.js';

/** So many are shown at first. */
const fewInputs = 3;

/** Inputs in the order of what they bring to the margin, each with what it brings and the field to type it in. */
export function Sharpen({ store }: { readonly store: Store }): JSX.Element | null {
  const [all, setAll] = useState(false);
  const { answer } = store.shown.value;
  const inputs = (answer?.result.sharpen ?? []).filter(({ field }) => field !== 'outing');
  const schema = store.schema.value as SchemaNode | null;
  if (inputs.length === 0 || schema === null) return null;
  const groups = [...new Set(inputs.map(({ group }) => group))];
  const shown = all ? groups : groups.slice(0, fewInputs);
  return (
    <aside aria-labelledby="sharpen-title">
      <h2 id="sharpen-title">What would sharpen this</h2>
      <ol>
        {shown.map((group) => {
          const own = inputs.filter((input) => input.group === group);
          return (
            <li key={group}>
              <p class="muted">{own[0]!.sentence}</p>
              {own.map(({ field, label }) => (
                <Line key={field} store={store} path={fieldPath(field)} node={nodeAt(schema, field)} label={label} place="sharpen-" />
              ))}
            </li>
          );
        })}
      </ol>
      {groups.length > shown.length ? (
        <button type="button" class="quiet" onClick={() => setAll(true)}>
          {groups.length - shown.length} more
        </button>
      ) : null}
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
