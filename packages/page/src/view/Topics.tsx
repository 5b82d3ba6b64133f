import type { JSX } from 'preact';
import type { Store } from '../state/store.js';
import type { Topic } from '../worker/messages.js';
import { ProblemText } from './ProblemText.js';
import { ReportFrame } from './ReportFrame.js';

const titles: { readonly [topic in Topic]: string } = {
  forecast: 'What will it run at the strip?',
  reconcile: 'Do slip and log agree?',
  plan: 'How many more pulls would settle it?',
  season: 'The season: every setup and day on one scale',
  check: 'What is in these logs?',
};

/** Further questions, each worked out when it is opened. */
export function Topics({ store }: { readonly store: Store }): JSX.Element | null {
  if (store.shown.value.answer === null) return null;
  const hasSlips = store.draft.value.slips !== undefined;
  const asked = (Object.keys(titles) as Topic[]).filter(
    (topic) => (topic !== 'reconcile' || hasSlips) && (topic !== 'season' || store.trials.value.length > 1),
  );
  return (
    <section aria-labelledby="topics-title">
      <h2 id="topics-title">More questions</h2>
      {asked.map((topic) => {
        const made = store.topics.value[topic];
        return (
          <details
            key={topic}
            class="part"
            open={made !== undefined}
            onToggle={({ currentTarget }) => {
              if (currentTarget.open && made === undefined) void store.openTopic(topic);
            }}
          >
            <summary>{titles[topic]}</summary>
            {made === undefined ? null : typeof made === 'string' ? (
              <ReportFrame page={made} title={titles[topic]} />
            ) : (
              <ProblemText problem={made} />
            )}
          </details>
        );
      })}
    </section>
  );
}
