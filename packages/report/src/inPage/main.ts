// Runs inside every page that report makes: draws the figures, opens topics, switches units, shows pulls.
import { addressOf, type Choices, choicesFrom } from './address.js';
import { Figures } from './figures.js';
import { firstData, type MoreData, moreData } from './pageData.js';
import { applyTopics, followReader, followTopics, showTopic } from './topics.js';
import { Viewer } from './viewer.js';

const printWidthPx = 680;
const first = firstData();
const mustRead = [...document.querySelectorAll('.topic[data-must]')].map(({ id }) => id);
const start: Choices = { units: first.units, pair: 0, open: new Set(mustRead), range: null, off: new Set(), pulls: null, by: 'time' };
const choices = choicesFrom(location.hash, start);
const named = location.hash.includes('=') ? null : document.getElementById(location.hash.slice(1));
const figures = new Figures(choices, keepAddress);
const ownBody = document.getElementById('content')!.innerHTML;
let shownUnits = first.units;
let more: MoreData | null = null;
let viewer: Viewer | null = null;

function keepAddress(): void {
  const address = addressOf(choices, start);
  if (address !== (location.hash || '#')) history.replaceState(history.state, '', address);
}

function showPair(): void {
  const panels = [...document.querySelectorAll<HTMLElement>('.pair-panel')];
  if (panels[choices.pair] === undefined) choices.pair = 0;
  panels.forEach((panel, index) => {
    panel.hidden = index !== choices.pair;
  });
  const select = document.querySelector<HTMLSelectElement>('#pair-choice');
  if (select !== null) select.value = String(choices.pair);
}

function showSetups(): void {
  for (const key of document.querySelectorAll<HTMLElement>('[data-setup]'))
    key.setAttribute('aria-pressed', String(!choices.off.has(Number(key.dataset.setup))));
}

/** Puts the content in the chosen units into the page. */
function showUnits(): void {
  const other = more?.other ?? null;
  if (choices.units !== shownUnits && (other !== null || choices.units === first.units)) {
    shownUnits = choices.units;
    document.getElementById('content')!.innerHTML = choices.units === first.units ? ownBody : other!.body;
    applyTopics(choices);
    viewer?.start();
  }
  if (more !== null) figures.drawings = choices.units === first.units ? { ...first.figures, ...more.figures } : other!.figures;
  for (const button of document.querySelectorAll<HTMLElement>('[data-units]'))
    button.setAttribute('aria-pressed', String(button.dataset.units === shownUnits));
  showPair();
  showSetups();
  followReader();
}

function drawAll(): void {
  figures.drawAll();
  viewer?.draw();
}

function act(what: string | undefined): void {
  const all = [...document.querySelectorAll<HTMLDetailsElement>('.topic')];
  if (what === 'open-all') {
    const open = all.some((topic) => !topic.open);
    for (const topic of all) topic.open = open;
  }
  if (what === 'print-all') {
    document.body.classList.add('print-all');
    for (const topic of all) topic.open = true;
    setTimeout(() => print(), 200);
  }
}

document.addEventListener('click', (event) => {
  const button = (event.target as Element).closest?.<HTMLButtonElement>('button');
  if (button === null || button === undefined) return;
  if (button.dataset.units !== undefined) {
    choices.units = button.dataset.units === 'metric' ? 'metric' : 'imperial';
    showUnits();
    drawAll();
    keepAddress();
  } else if (button.dataset.setup !== undefined) {
    const setup = Number(button.dataset.setup);
    if (!choices.off.delete(setup)) choices.off.add(setup);
    showSetups();
    figures.redrawSoon();
    keepAddress();
  } else act(button.dataset.do);
});
document.addEventListener('change', (event) => {
  const select = event.target as HTMLSelectElement;
  if (select.id !== 'pair-choice') return;
  choices.pair = Number(select.value);
  showPair();
  drawAll();
  keepAddress();
});
addEventListener('hashchange', () => {
  const target = location.hash.includes('=') ? null : document.getElementById(location.hash.slice(1));
  if (target !== null) showTopic(target);
  else if (location.hash.includes('=')) {
    Object.assign(choices, choicesFrom(location.hash, start));
    showUnits();
    applyTopics(choices);
    figures.redrawSoon();
    viewer?.start();
  }
});
addEventListener('beforeprint', () => figures.drawForPaper(printWidthPx));
addEventListener('afterprint', () => {
  document.body.classList.remove('print-all');
  figures.drawForPaper(null);
});
let width = innerWidth;
addEventListener('resize', () => {
  if (innerWidth === width) return;
  width = innerWidth;
  figures.redrawSoon();
  viewer?.draw();
});

figures.drawings = { ...first.figures };
if (choices.units === first.units) showPair();
followTopics(choices, keepAddress, drawAll);
figures.drawAll();
performance.mark('first-figure');
try {
  more = await moreData();
  if (more.viewer !== null) viewer = new Viewer(more.viewer, choices, figures, keepAddress);
  showUnits();
  viewer?.start();
  drawAll();
  if (named !== null) showTopic(named);
  document.documentElement.dataset.ready = 'yes';
} catch (error) {
  for (const place of document.querySelectorAll<HTMLElement>('.plot:not([data-drawn])')) {
    place.textContent = `This graph could not be drawn: ${error instanceof Error ? error.message : String(error)}. See it in words and numbers.`;
    const numbers = place.closest('figure')?.querySelector('details');
    if (numbers !== null && numbers !== undefined) numbers.open = true;
  }
}
