import type { JSX } from 'preact';
import { setupsOf } from '../state/draft.js';
import type { LogCard, Store } from '../state/store.js';
import type { UnknownColumn } from '../worker/messages.js';
import { Sketch } from './Sketch.js';

/** Columns that were not recognized: each with its curve and what it could be; one click states it for all logs that have it. */
export function UnknownColumns({ store, card }: { readonly store: Store; readonly card: LogCard }): JSX.Element | null {
  const columns = card.seen?.unknown ?? [];
  if (columns.length === 0) return null;
  return (
    <details class="unknown">
      <summary>
        {columns.length === 1 ? 'One column was' : `${columns.length} columns were`} not recognized:{' '}
        {columns
          .slice(0, 3)
          .map(({ name }) => name)
          .join(', ')}
        {columns.length > 3 ? ' …' : ''}
      </summary>
      <ul>
        {columns.map((column) => (
          <li key={column.name}>
            <Column store={store} card={card} column={column} />
          </li>
        ))}
      </ul>
    </details>
  );
}

function Column({ store, card, column }: { readonly store: Store; readonly card: LogCard; readonly column: UnknownColumn }): JSX.Element {
  const stated = statedFor(store, card.name, column.name);
  const range = `${short(column.low)} to ${short(column.high)}${column.unit === '' ? '' : ` ${column.unit}`}`;
  return (
    <>
      <p>
        <b>{column.name}</b> <span class="muted">{range}</span>
      </p>
      <Sketch lines={[column.sketch]} label={`${column.name} along the log, ${range}`} across={false} />
      <p class="actions">
        {column.likely.slice(0, 5).map((one) => (
          <button
            key={one}
            type="button"
            aria-pressed={stated === one}
            onClick={() => state(store, column.name, stated === one ? '' : one)}
          >
            {one}
          </button>
        ))}
        <label>
          or{' '}
          <input
            list="quantities"
            value={stated}
            placeholder="quantity unit, or ignore"
            aria-label={`What ${column.name} is`}
            onChange={({ currentTarget }) => state(store, column.name, currentTarget.value.trim())}
          />
        </label>
      </p>
    </>
  );
}

function statedFor(store: Store, log: string, column: string): string {
  for (const { runs = [] } of setupsOf(store.draft.value)) for (const run of runs) if (run.log === log) return run.channels?.[column] ?? '';
  return '';
}

function state(store: Store, column: string, meaning: string): void {
  const having = new Set(store.logs.value.filter(({ seen }) => seen?.unknown.some(({ name }) => name === column)).map(({ name }) => name));
  setupsOf(store.draft.value).forEach(({ runs = [] }, s) => {
    runs.forEach(({ log }, r) => {
      if (having.has(log)) store.enter(['setups', s, 'runs', r, 'channels', column], meaning);
    });
  });
}

function short(value: number): string {
  return Number(value.toPrecision(3)).toString();
}
