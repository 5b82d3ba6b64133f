// Runs inside the report. Draws each figure of the page's data in the colours of the reader's theme.

type Json = string | number | boolean | null | Json[] | { [name: string]: Json };
type Theme = 'light' | 'dark';
interface Drawing {
  data: Json;
  layout: { [name: string]: Json };
}
interface ReportData {
  figures: { [id: string]: Drawing };
  palette: { [theme in Theme]: { [role: string]: string } };
}
interface PlottingLibrary {
  react(place: HTMLElement, data: Json, layout: Json, config: Json): Promise<unknown>;
}

const report = JSON.parse(document.getElementById('report-data')!.textContent!) as ReportData;
const dark = matchMedia('(prefers-color-scheme: dark)');
const finePointer = matchMedia('(pointer: fine)').matches;
const printWidthPx = 680;
const narrowPx = 480;
let printing = false;

/** Theme roles made colours; the same rule as applyTheme of the figures package. */
function themed(value: Json, colours: { [role: string]: string }): Json {
  if (typeof value === 'string') {
    const match = /^role:([a-z0-9]+)(?:\/([0-9.]+))?$/i.exec(value);
    const hex = match === null ? undefined : colours[match[1]!];
    if (match === null || hex === undefined) return value;
    if (match[2] === undefined) return hex;
    return `rgba(${[1, 3, 5].map((at) => Number.parseInt(hex.slice(at, at + 2), 16)).join(',')},${match[2]})`;
  }
  if (Array.isArray(value)) return value.map((item) => themed(item, colours));
  if (value !== null && typeof value === 'object')
    return Object.fromEntries(Object.entries(value).map(([name, item]) => [name, themed(item, colours)]));
  return value;
}

/** On paper single plots are a little lower, so that two fit on a page. */
function heightOf({ layout }: Drawing): number {
  const height = layout.height as number;
  return printing && height < 400 ? Math.round(height * 0.84) : height;
}

function draw(place: HTMLElement): void {
  const drawing = report.figures[place.dataset.figure ?? ''];
  if (drawing === undefined) return;
  const colours = report.palette[dark.matches && !printing ? 'dark' : 'light'];
  const width = printing ? printWidthPx : place.clientWidth;
  const layout = themed(drawing.layout, colours) as { [name: string]: Json };
  layout.height = heightOf(drawing);
  place.style.height = `${layout.height}px`;
  const axis = layout.xaxis as { [name: string]: Json };
  if (width < narrowPx) layout.xaxis = { ...axis, nticks: 6 };
  if (finePointer) layout.dragmode = 'zoom';
  else
    for (const name of Object.keys(layout).filter((key) => /^[xy]axis/.test(key)))
      layout[name] = { ...(layout[name] as { [name: string]: Json }), fixedrange: true };
  if (width > 0) layout.width = width;
  try {
    library.react(place, themed(drawing.data, colours), layout, { displayModeBar: false, displaylogo: false, showTips: false });
    place.dataset.drawn = 'true';
    if (performance.getEntriesByName('first-figure').length === 0) performance.mark('first-figure');
  } catch (error) {
    showNumbers(place, String(error));
  }
}

/** A figure that cannot be drawn is still its words and its numbers. */
function showNumbers(place: HTMLElement, reason: string): void {
  place.textContent = `This figure could not be drawn (${reason}). Here it stands in words and numbers.`;
  place.removeAttribute('style');
  const numbers = place.closest('figure')!.querySelector('details');
  if (numbers !== null) numbers.open = true;
}

/** The library that the page holds packed: unpacked, and run as a script whose text the page's policy knows by its hash. */
async function unpackLibrary(): Promise<PlottingLibrary> {
  if (typeof DecompressionStream === 'undefined') throw new Error('this browser is too old to unpack the drawing library in this file');
  const letters = atob(document.getElementById('packed-library')!.textContent!);
  const bytes = new Uint8Array(letters.length);
  for (let index = 0; index < letters.length; index += 1) bytes[index] = letters.charCodeAt(index);
  const script = document.createElement('script');
  script.textContent = await new Response(new Blob([bytes]).stream().pipeThrough(new DecompressionStream('deflate'))).text();
  document.body.append(script);
  const { Plotly } = globalThis as unknown as { Plotly?: PlottingLibrary };
  if (Plotly === undefined) throw new Error('the drawing library did not run');
  return Plotly;
}

const places = [...document.querySelectorAll<HTMLElement>('.plot')];
const waiting = new Set(places);
let library: PlottingLibrary;

function drawNext(): void {
  const [place] = waiting;
  if (place === undefined) return;
  waiting.delete(place);
  draw(place);
  setTimeout(drawNext);
}

function drawAll(): void {
  waiting.clear();
  for (const place of places) draw(place);
}

/** Draws again when the reader's theme, paper or window asks for it. */
function follow(): void {
  dark.addEventListener('change', drawAll);
  addEventListener('beforeprint', () => {
    printing = true;
    drawAll();
  });
  addEventListener('afterprint', () => {
    printing = false;
    drawAll();
  });
  let widthPx = innerWidth;
  let timer = 0;
  addEventListener('resize', () => {
    if (innerWidth === widthPx || printing) return;
    widthPx = innerWidth;
    clearTimeout(timer);
    timer = setTimeout(drawAll, 120);
  });
}

try {
  library = await unpackLibrary();
  follow();
  drawNext();
} catch (error) {
  for (const place of places) showNumbers(place, error instanceof Error ? error.message : String(error));
}
