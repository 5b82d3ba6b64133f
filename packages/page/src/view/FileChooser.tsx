import type { JSX } from 'preact';
import type { Store } from '../state/store.js';

/** Where files come in, besides being dropped anywhere. */
export function FileChooser({ store, sample }: { readonly store: Store; readonly sample: () => void }): JSX.Element {
  const first = store.logs.value.length === 0;
  return (
    <div class={first ? 'chooser first' : 'chooser'}>
      {first ? <p class="lead">Drop the logs from before and after the change here, or anywhere on this page.</p> : null}
      <p class="actions">
        <label class="button">
          {first ? 'Choose logs' : 'Add logs, or a saved trial'}
          <input
            type="file"
            multiple
            aria-label="Choose logs or a saved trial"
            onChange={({ currentTarget }) => {
              const files = [...(currentTarget.files ?? [])];
              currentTarget.value = '';
              void store.addFiles(files);
            }}
          />
        </label>
        {first ? (
          <button type="button" onClick={sample}>
            Try the sample
          </button>
        ) : null}
      </p>
      {first ? (
        <p class="muted">
          CSV from any logger, and the trial file of an earlier visit. Nothing leaves this machine: this page has no connection, and works
          without one.
        </p>
      ) : null}
    </div>
  );
}
