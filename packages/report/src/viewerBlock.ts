import type { PullResult, TrialResult } from '@pullproof/core';
import { numberText, setupStyle } from '@pullproof/figures';
import { swatch } from './figureBlock.js';
import { type Html, html, shortName } from './html.js';

/** How many pulls are drawn when the viewer opens: one of each setup, so that they can be compared. */
const mostAtFirst = 6;

/** All pulls as a list, each of which can be drawn; the page's script draws those that are ticked. */
export function viewerBlock(result: TrialResult): Html {
  const drawable = result.traces !== undefined && result.traces.length > 0;
  const rows = result.setups.flatMap(({ name, runs, pulls }, setup) =>
    pulls.map((pull, place) => ({ name, pull, setup, place, direction: runs.find(({ log }) => log === pull.log)?.direction ?? null })),
  );
  if (rows.length === 0) return html`<p>No pull was found in the logs.</p>`;
  const first = new Set(
    result.setups.slice(0, mostAtFirst).flatMap(({ pulls }, setup) => {
      const place = pulls.findIndex(({ used }) => used);
      return place < 0 ? [] : [`${setup}.${place}`];
    }),
  );
  return html`<div class="viewer"${drawable ? html` data-viewer="yes"` : null}>
<div class="scroll pull-list" role="group" tabindex="0" aria-label="All pulls"><table>
<thead><tr>${drawable ? html`<th scope="col" class="tick">Show</th>` : null}<th scope="col">Pull</th><th scope="col">Outing</th><th scope="col">Gear</th><th scope="col">Way</th><th scope="col">rpm</th><th scope="col">vs average</th><th scope="col">Used</th></tr></thead>
<tbody>${rows.map(({ name, pull, setup, place, direction }) => {
    const id = `${setup}.${place}`;
    const title = `${shortName(name, 40)}, pull ${place + 1}`;
    const { role, dash, symbol } = setupStyle(setup);
    return html`<tr class="${pull.used ? '' : 'left-out'}">${
      drawable
        ? html`<td class="tick"><input type="checkbox" data-pull="${id}" aria-label="Show ${title}"${first.has(id) ? html` checked` : null}></td>`
        : null
    }<th scope="row">${swatch({ label: '', role, kind: 'line', dash, symbol })} ${title}</th><td>${shortName(pull.outing, 40)}</td><td>${pull.gear ?? '–'}</td><td>${shortName(direction ?? '–', 20)}</td><td>${numberText(pull.fromRpm, 0)} to ${numberText(pull.toRpm, 0)}</td><td>${levelText(pull)}</td><td>${pull.used ? 'yes' : `no: ${shortName(pull.cutReason ?? 'no reason given', 160)}`}</td></tr>
`;
  })}</tbody></table></div>
${
  drawable
    ? html`<div class="viewer-figure" hidden><div class="row viewer-bar no-print"><div role="group" aria-label="Draw over"><button type="button" data-by="time" aria-pressed="true">Time</button><button type="button" data-by="rpm" aria-pressed="false">Engine speed</button></div><button type="button" data-do="reset-viewer" hidden>Show all</button></div>
<dl class="viewer-readout" aria-live="off"></dl>
<div class="plot viewer-plot" id="viewer-plot"></div>
<p class="small muted">Thick: used. Thin: not used, or before and after. Gray: cut out. Drag, scroll or pinch to zoom; points are readings.</p></div>`
    : null
}</div>`;
}

function levelText({ scale }: PullResult): string {
  return scale === null ? '–' : `${numberText((scale - 1) * 100, 1, { signed: true })}%`;
}
