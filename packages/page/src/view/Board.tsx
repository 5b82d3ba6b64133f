import type { JSX } from 'preact';
import { logsOf, setupsOf } from '../state/draft.js';
import type { Store } from '../state/store.js';
import { Card } from './Card.js';
import { dropAttribute } from './drag.js';

/** The logs in their setups. */
export function Board({ store }: { readonly store: Store }): JSX.Element | null {
  const logs = store.logs.value;
  if (logs.length === 0 && store.missing.value.length === 0) return null;
  const setups = setupsOf(store.draft.value);
  const placed = new Set(logsOf(store.draft.value));
  const loose = logs.filter(({ name }) => !placed.has(name));
  return (
    <section aria-labelledby="setups-title">
      <h2 id="setups-title">Your logs</h2>
      {store.missing.value.length === 0 ? null : (
        <p class="problem">
          The trial names {store.missing.value.length === 1 ? 'a log that is' : 'logs that are'} not here: {store.missing.value.join(', ')}.
          Drop {store.missing.value.length === 1 ? 'it' : 'them'} here too.
        </p>
      )}
      {loose.length === 0 ? null : (
        <div class="cards">
          {loose.map((card) => (
            <Card key={card.name} store={store} card={card} setup={null} />
          ))}
        </div>
      )}
      <div class="setups">
        {setups.map(({ name, runs = [] }, s) => (
          <section key={`${s}`} class="setup" {...{ [dropAttribute]: s }} aria-label={`Setup ${name}`}>
            <header>
              <label>
                <span class="muted">{s === 0 ? 'Before' : 'After'}</span>{' '}
                <input
                  class="name"
                  value={name}
                  aria-label={`Name of setup ${s + 1}`}
                  onChange={({ currentTarget }) => store.enter(['setups', s, 'name'], currentTarget.value.trim() || name)}
                />
              </label>
              {s === 0 ? null : (
                <button type="button" class="quiet" onClick={() => store.putFirst(s)}>
                  Compare with this one
                </button>
              )}
            </header>
            <div class="cards">
              {runs.map(({ log }) => {
                const card = logs.find((one) => one.name === log);
                return card === undefined ? null : <Card key={log} store={store} card={card} setup={s} />;
              })}
            </div>
          </section>
        ))}
        {setups.length === 0 ? null : (
          <div class="setup new" {...{ [dropAttribute]: setups.length }}>
            <p class="muted">Move a log here for a new setup.</p>
          </div>
        )}
      </div>
    </section>
  );
}
