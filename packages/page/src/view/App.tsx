import { cautions } from '@pullproof/report';
import type { JSX } from 'preact';
import type { Store } from '../state/store.js';
import { Answer } from './Answer.js';
import { Board } from './Board.js';
import { Details } from './Details.js';
import { FileChooser } from './FileChooser.js';
import { SaveBar } from './SaveBar.js';
import { Sharpen } from './Sharpen.js';
import { Topics } from './Topics.js';

/** One page that grows: logs, setups, answer, what would sharpen it, topics. */
export function App({ store, sample }: { readonly store: Store; readonly sample: () => void }): JSX.Element {
  const progress = store.progress.value;
  return (
    <>
      <header class="top">
        <h1>Pullproof</h1>
        <p>Did the part help? Ask your logs.</p>
      </header>
      <main>
        <FileChooser store={store} sample={sample} />
        {store.notice.value === '' ? null : <p class="notice">{store.notice.value}</p>}
        {progress === null ? null : (
          <p class="progress">
            <progress value={progress.share} max={1} aria-label={progress.what} /> {progress.what}{' '}
            <button type="button" onClick={() => store.cancel()}>
              Cancel
            </button>
          </p>
        )}
        <Board store={store} />
        <div class="answer-and-sharpen">
          <Answer store={store} />
          <Sharpen store={store} />
        </div>
        <Details store={store} />
        <Topics store={store} />
        <SaveBar store={store} />
      </main>
      <footer>
        <ul>
          {cautions.map((caution) => (
            <li key={caution}>{caution}</li>
          ))}
        </ul>
      </footer>
      <datalist id="quantities">
        {store.quantities.value.map((quantity) => (
          <option key={quantity} value={quantity} />
        ))}
      </datalist>
    </>
  );
}
