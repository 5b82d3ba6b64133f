import type { JSX } from 'preact';
import { useState } from 'preact/hooks';
import { logsOf, setupsOf } from '../state/draft.js';
import type { Store } from '../state/store.js';
import { Card } from './Card.js';
import { dropAttribute } from './drag.js';

const narrow = matchMedia('(max-width: 48rem)');

const foldWords = (logs: number): string => (logs === 1 ? 'one log' : `${logs} logs`);

/** The cards of a setup: on a phone they fold away once there is an answer, so that it is in sight. */
function Fold({
  store,
  summary,
  children,
}: {
  readonly store: Store;
  readonly summary: string;
  readonly children: (JSX.Element | null)[];
}): JSX.Element {
  const [chosen, setChosen] = useState<boolean | null>(null);
  const open = chosen ?? !(narrow.matches && store.shown.value.answer !== null);
  return (
    <details class="fold" open={open}>
      {/* biome-ignore lint/a11y/noStaticElementInteractions: a summary is a button by itself */}
      <summary
        onClick={(event) => {
          event.preventDefault();
          setChosen(!open);
        }}
      >
        {summary}
      </summary>
      <div class="cards">{children}</div>
    </details>
  );
}

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
            <Fold store={store} summary={foldWords(runs.length)}>
              {runs.map(({ log }) => {
                const card = logs.find((one) => one.name === log);
                return card === undefined ? null : <Card key={log} store={store} card={card} setup={s} />;
              })}
            </Fold>
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
