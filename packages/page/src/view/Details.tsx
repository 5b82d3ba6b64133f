import type { JSX } from 'preact';
import { useState } from 'preact/hooks';
import { setupsOf } from '../state/draft.js';
import type { Store } from '../state/store.js';
import { Field, Fields } from './Field.js';
import { entryOf, type SchemaNode } from './schema.js';

type FieldList = readonly (readonly [key: string, node: SchemaNode])[];

/** All that a trial may say, part by part; what is left out is assumed. */
export function Details({ store }: { readonly store: Store }): JSX.Element | null {
  const schema = store.schema.value as SchemaNode | null;
  const setups = setupsOf(store.draft.value);
  if (schema === null || setups.length === 0) return null;
  const top = fieldsOf(schema);
  const part = (key: string): SchemaNode => top.find(([one]) => one === key)?.[1] ?? {};
  const setupFields = fieldsOf(itemOf(part('setups')));
  const runFields = fieldsOf(itemOf(setupFields.find(([key]) => key === 'runs')?.[1] ?? {}));
  const others = top.filter(([key]) => !['trial', 'car', 'setups', 'slips'].includes(key));
  return (
    <section aria-labelledby="details-title">
      <h2 id="details-title">Everything else you know</h2>
      <p class="muted">Optional. What you leave out is assumed, listed in the report, and widens the margin.</p>
      <Part title="The car: weight, tires, gearing, engine, targets">
        <Fields store={store} path={['car']} fields={fieldsOf(part('car'))} />
      </Part>
      {setups.map(({ name, runs = [] }, s) => (
        <Part key={`${s}`} title={`${name}: weather, fuel, road and what was changed`}>
          {runs.map(({ log }, r) => (
            <Part key={log} title={log}>
              <Fields store={store} path={['setups', s, 'runs', r]} fields={without(runFields, 'log')} />
            </Part>
          ))}
          <Fields store={store} path={['setups', s]} fields={without(setupFields, 'name', 'runs')} />
        </Part>
      ))}
      <Part title="Timeslips, as printed">
        <Field store={store} path={['slips']} node={part('slips')} label="Slips" />
      </Part>
      <Part title="Title, units and calculated quantities">
        <Fields store={store} path={[]} fields={others} />
      </Part>
    </section>
  );
}

/** Its fields are made when it is opened. */
function Part({
  title,
  children,
}: {
  readonly title: string;
  readonly children: JSX.Element | (JSX.Element | JSX.Element[])[];
}): JSX.Element {
  const [open, setOpen] = useState(false);
  return (
    <details class="part" open={open} onToggle={({ currentTarget }) => setOpen(currentTarget.open)}>
      <summary>{title}</summary>
      {open ? children : null}
    </details>
  );
}

function fieldsOf(node: SchemaNode): FieldList {
  const entry = entryOf(node);
  return entry.kind === 'group' ? entry.fields : [];
}

function itemOf(node: SchemaNode): SchemaNode {
  const entry = entryOf(node);
  return entry.kind === 'list' ? entry.item : {};
}

function without(fields: FieldList, ...keys: readonly string[]): FieldList {
  return fields.filter(([key]) => !keys.includes(key));
}
