import type { JSX } from 'preact';
import { useState } from 'preact/hooks';
import { type FieldPath, valueAt } from '../state/draft.js';
import { fieldName } from '../state/fieldPath.js';
import type { Store } from '../state/store.js';
import { entryOf, keyWords, type SchemaNode } from './schema.js';

interface Props {
  readonly store: Store;
  readonly path: FieldPath;
  readonly node: SchemaNode;
  readonly label: string;
  /** Of the field's id, where the same field stands twice in the page. */
  readonly place?: string;
}

/** One field of the trial, or a group or list of them, made from the trial file's own schema. */
export function Field(props: Props): JSX.Element {
  const entry = entryOf(props.node);
  switch (entry.kind) {
    case 'group':
      return (
        <fieldset>
          <legend>{props.label}</legend>
          <Fields store={props.store} path={props.path} fields={entry.fields} />
        </fieldset>
      );
    case 'list':
      return <List {...props} item={entry.item} />;
    case 'pairs':
      return <Pairs {...props} />;
    default:
      return <Line {...props} />;
  }
}

/** Fields side by side. */
export function Fields({
  store,
  path,
  fields,
}: {
  readonly store: Store;
  readonly path: FieldPath;
  readonly fields: readonly (readonly [key: string, node: SchemaNode])[];
}): JSX.Element {
  return (
    <div class="fields">
      {fields.map(([key, node]) => (
        <Field key={key} store={store} path={[...path, key]} node={node} label={keyWords(key)} />
      ))}
    </div>
  );
}

/** One line to type or a word to choose; what is wrong with it stands below it. */
export function Line({ store, path, node, label, place = '' }: Props): JSX.Element {
  const entry = entryOf(node);
  const field = fieldName(path);
  const name = `${place}${field}`;
  const value = valueAt(store.draft.value, path);
  const text = Array.isArray(value) ? value.join(', ') : value === undefined ? '' : String(value);
  const problem = problemAt(store, field);
  const help = `${name}-help`;
  const shared = { id: name, 'aria-invalid': problem !== null, 'aria-describedby': help };
  return (
    <p class="field">
      <label for={name}>{label}</label>
      {entry.kind === 'choice' ? (
        <select {...shared} value={text} onChange={({ currentTarget }) => store.enter(path, currentTarget.value)}>
          <option value="">not given</option>
          {entry.words.map((word) => (
            <option key={word}>{word}</option>
          ))}
        </select>
      ) : (
        <input
          {...shared}
          value={text}
          placeholder={node.examples === undefined ? '' : String(node.examples[0])}
          autocomplete="off"
          onChange={({ currentTarget }) => store.enter(path, typed(currentTarget.value, entry.kind))}
        />
      )}
      <span id={help} class={problem === null ? 'help' : 'help wrong'}>
        {problem ?? helpText(node)}
      </span>
    </p>
  );
}

function helpText({ description = '', examples = [] }: SchemaNode): string {
  const such = examples.length < 2 ? '' : ` Such as ${examples.join(', ')}.`;
  return `${description.replace(/: a number and its unit\.$/, '.')}${such}`;
}

function problemAt(store: Store, name: string): string | null {
  const { problem } = store.shown.value;
  return problem?.field === name ? `${problem.what} ${problem.fix}` : null;
}

function typed(text: string, kind: ReturnType<typeof entryOf>['kind']): unknown {
  const line = text.trim();
  if (line === '') return '';
  if (kind === 'numbers') return line.split(/[,;\s]+/).map((one) => (Number.isNaN(Number(one)) ? one : Number(one)));
  return line;
}

function List({ store, path, label, item }: Props & { readonly item: SchemaNode }): JSX.Element {
  const [added, setAdded] = useState(0);
  const given = (valueAt(store.draft.value, path) as readonly unknown[] | undefined)?.length ?? 0;
  const count = Math.max(given, added);
  return (
    <fieldset>
      <legend>{label}</legend>
      {Array.from({ length: count }, (_, index) => (
        <Field key={`${index}`} store={store} path={[...path, index]} node={item} label={`${label}, ${index + 1}`} />
      ))}
      <p class="actions">
        <button type="button" onClick={() => setAdded(count + 1)}>
          Add
        </button>
        {given === 0 ? null : (
          <button type="button" class="quiet" onClick={() => store.enter([...path, given - 1], undefined)}>
            Remove the last
          </button>
        )}
      </p>
    </fieldset>
  );
}

/** Names and what they mean, a line each: `name: meaning`. */
function Pairs({ store, path, node, label }: Props): JSX.Element {
  const name = fieldName(path);
  const value = (valueAt(store.draft.value, path) ?? {}) as { readonly [key: string]: unknown };
  const text = Object.entries(value)
    .map(([key, meaning]) => `${key}: ${String(meaning)}`)
    .join('\n');
  return (
    <p class="field">
      <label for={name}>{label}</label>
      <textarea
        id={name}
        rows={2}
        value={text}
        aria-describedby={`${name}-help`}
        onChange={({ currentTarget }) => store.enter(path, pairsIn(currentTarget.value))}
      />
      <span id={`${name}-help`} class="help">
        {node.description} One a line, the name and what it is: <code>Col 7: manifold-pressure kPa abs</code>
      </span>
    </p>
  );
}

function pairsIn(text: string): { readonly [key: string]: string } | undefined {
  const pairs = text.split('\n').flatMap((line): [string, string][] => {
    const at = line.lastIndexOf(':');
    return at < 1 ? [] : [[line.slice(0, at).trim(), line.slice(at + 1).trim()]];
  });
  return pairs.length === 0 ? undefined : Object.fromEntries(pairs);
}
