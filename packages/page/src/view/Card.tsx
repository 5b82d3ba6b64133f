import type { JSX } from 'preact';
import { setupsOf } from '../state/draft.js';
import type { LogCard, Store } from '../state/store.js';
import { draggable } from './drag.js';
import { ProblemText } from './ProblemText.js';
import { Sketch } from './Sketch.js';
import { UnknownColumns } from './UnknownColumns.js';

/** A log as it was read: its pulls drawn small, what was recognized, what is wrong. */
export function Card({
  store,
  card,
  setup,
}: {
  readonly store: Store;
  readonly card: LogCard;
  readonly setup: number | null;
}): JSX.Element {
  return (
    <article class={`card ${card.state}`} aria-label={card.name}>
      <header {...draggable(card.name, (to) => store.moveLog(card.name, to))}>
        <h4>{card.name}</h4>
        {setup === null ? null : <MoveTo store={store} card={card} setup={setup} />}
        <button type="button" class="quiet" onClick={() => store.removeLog(card.name)}>
          Remove<span class="for-reader"> {card.name}</span>
        </button>
      </header>
      {card.problem === null ? null : <ProblemText problem={card.problem} />}
      {card.state === 'waiting' ? <p class="muted">Waiting.</p> : null}
      {card.state === 'reading' ? <p class="muted">Reading…</p> : null}
      {card.seen === null ? null : <Seen card={card} />}
      <UnknownColumns store={store} card={card} />
    </article>
  );
}

function Seen({ card }: { readonly card: LogCard }): JSX.Element {
  const { checked, pulls } = card.seen!;
  const found = checked.stretches.filter(({ kind }) => kind === 'pull');
  const known = checked.channels.filter(({ quantity }) => quantity !== null).length;
  const serious = checked.findings.filter(({ severity }) => severity !== 'note');
  const words =
    found.length === 0 ? 'no full-throttle pull found' : `${found.length === 1 ? 'one pull' : `${found.length} pulls`}${rpmWords(found)}`;
  return (
    <>
      <div class="seen">
        <Sketch lines={pulls} label={`Engine speed along ${words}`} across />
        <p>
          {words}; {known} of {checked.channels.length} columns recognized
        </p>
      </div>
      {serious.length === 0 ? null : (
        <details>
          <summary>{serious.length === 1 ? 'One warning' : `${serious.length} warnings`}</summary>
          <ul>
            {serious.map(({ code, message, fix }) => (
              <li key={code + message}>
                {message} {fix}
              </li>
            ))}
          </ul>
        </details>
      )}
    </>
  );
}

function rpmWords(pulls: readonly { readonly fromRpm: number | null; readonly toRpm: number | null }[]): string {
  const ends = pulls.flatMap(({ fromRpm, toRpm }) => (fromRpm === null || toRpm === null ? [] : [fromRpm, toRpm]));
  if (ends.length === 0) return '';
  const word = (rpm: number): string => (10 * Math.round(rpm / 10)).toLocaleString('en-US');
  return `, ${word(Math.min(...ends))} to ${word(Math.max(...ends))} rpm`;
}

function MoveTo({ store, card, setup }: { readonly store: Store; readonly card: LogCard; readonly setup: number }): JSX.Element {
  const setups = setupsOf(store.draft.value);
  return (
    <select
      aria-label={`Setup of ${card.name}`}
      value={setup}
      onChange={({ currentTarget }) => store.moveLog(card.name, Number(currentTarget.value))}
    >
      {setups.map(({ name }, index) => (
        <option key={name} value={index}>
          {name}
        </option>
      ))}
      <option value={setups.length}>a new setup</option>
    </select>
  );
}
