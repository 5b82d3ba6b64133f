import type { FigurePlaces } from './figureBlock.js';
import { Html, html } from './html.js';
import type { Block, Topic } from './section.js';

/**
 * Topics below the first screen: closed, each with how it stands and one sentence; open where something must be read.
 * @param topics in the order in which they are shown
 * @param figures where the figures of the page are kept
 */
export function topicsHtml(topics: readonly Topic[], figures: FigurePlaces): Html {
  return html`<div class="below">
<nav class="contents no-print" aria-label="Contents"><ul><li><a href="#answer">The answer</a></li>${topics.map(({ id, title, state }) => html`<li><a href="#${id}" class="state-${state}">${title}</a></li>`)}</ul></nav>
<section id="topics" aria-labelledby="topics-title"><div class="row"><h2 id="topics-title">Details</h2><p class="no-print bar"><button type="button" data-do="open-all">Open all</button> <button type="button" data-do="print-all">Print all</button></p></div>
${topics.map((topic) => topicHtml(topic, figures))}
</section>
</div>`;
}

function topicHtml({ id, title, state, status, sentence, open, blocks }: Topic, figures: FigurePlaces): Html {
  return html`<details class="topic state-${state}" id="${id}"${open ? html` open data-must="yes"` : null}>
<summary><span class="topic-title" id="${id}-title">${title}</span> <span class="status">${status}</span><span class="topic-sentence">${sentence}</span></summary>
<div class="topic-body">${blocks.map((block) => blockHtml(block, figures))}</div>
</details>`;
}

/** A block as markup. */
function blockHtml(block: Block, figures: FigurePlaces): Html {
  if (block instanceof Html) return block;
  if ('figure' in block) return figures.place(block);
  return html`<div class="side-by-side">${block.map((item) => figures.place(item))}</div>`;
}
