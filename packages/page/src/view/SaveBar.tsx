import type { JSX } from 'preact';
import { saveText } from '../state/save.js';
import type { Store } from '../state/store.js';
import { JobProblem } from '../state/workerClient.js';

/** What can be taken away, and the button that wipes what this browser keeps. */
export function SaveBar({ store }: { readonly store: Store }): JSX.Element | null {
  const { answer } = store.shown.value;
  if (store.logs.value.length === 0) return null;
  const save = async (what: 'trial' | 'fuelTable', name: string, type: string): Promise<void> => {
    try {
      saveText(name, await store.textOf(what), type);
    } catch (error) {
      store.notice.value = error instanceof JobProblem ? `${error.problem.what} ${error.problem.fix}` : String(error);
    }
  };
  return (
    <section aria-labelledby="save-title">
      <h2 id="save-title">Save</h2>
      <p class="actions">
        <button type="button" onClick={() => void save('trial', 'trial.yaml', 'text/yaml')}>
          Trial file
        </button>
        {answer === null ? null : (
          <>
            <button type="button" onClick={() => saveText('report.html', answer.report, 'text/html')}>
              Report
            </button>
            <button
              type="button"
              onClick={() => saveText('answer.json', `${JSON.stringify(answer.result, null, 1)}\n`, 'application/json')}
            >
              Answer as JSON
            </button>
            <button type="button" onClick={() => void save('fuelTable', 'fuel-table.csv', 'text/csv')}>
              Fuel table
            </button>
          </>
        )}
        <button type="button" class="quiet" onClick={() => void store.startAfresh()}>
          Wipe everything
        </button>
      </p>
      <p class="muted">
        The trial file opens here again with the logs dropped beside it, and in the command line. This browser keeps your logs and entries
        for the next visit; nobody else gets them.
      </p>
    </section>
  );
}
