import type { JSX } from 'preact';
import type { Store } from '../state/store.js';
import { ProblemText } from './ProblemText.js';
import { ReportFrame } from './ReportFrame.js';

/** The answer: told to a screen reader when it changes, then the report. */
export function Answer({ store }: { readonly store: Store }): JSX.Element {
  const { answer, working, problem } = store.shown.value;
  return (
    <section class="answer" aria-labelledby="answer-title" aria-busy={working}>
      <h2 id="answer-title" class={answer === null ? 'for-reader' : ''}>
        The answer
      </h2>
      {answer === null ? null : <Units store={store} shown={answer.result.units} />}
      {/* The report below says the same to the eye. */}
      <div class={answer !== null && answer.result.overall.length > 0 ? 'for-reader' : ''} role="status" aria-live="polite">
        {answer?.result.overall.map(({ before, after, verdict, sentence }) => (
          <p key={`${before} ${after}`} class="verdict" data-verdict={verdict}>
            <span class="pair">
              {after} vs {before}
            </span>{' '}
            {sentence}
          </p>
        ))}
        {answer !== null && answer.result.overall.length === 0 ? (
          <p class="verdict">One setup so far. Add the logs of the other to compare.</p>
        ) : null}
      </div>
      <div class="state">
        {working ? <p class="muted">{answer === null ? 'Working out the answer…' : 'Working it out again…'}</p> : null}
        {problem === null ? null : <ProblemText problem={problem} />}
      </div>
      {answer === null ? null : <ReportFrame page={answer.report} title="Report" />}
    </section>
  );
}

/** The units that everything is shown in; a trial that names none takes those of its logs. */
function Units({ store, shown }: { readonly store: Store; readonly shown: 'metric' | 'imperial' }): JSX.Element {
  return (
    <fieldset class="actions units" aria-label="Units">
      {(['imperial', 'metric'] as const).map((units) => (
        <button key={units} type="button" aria-pressed={units === shown} onClick={() => store.enter(['units'], units)}>
          {units === 'imperial' ? 'US' : 'Metric'}
        </button>
      ))}
    </fieldset>
  );
}
