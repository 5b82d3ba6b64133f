// Runs inside the notebook's page. Draws one figure below its still picture, in the colours of the page, and then hides the picture.

type Json = string | number | boolean | null | Json[] | { [name: string]: Json };
interface Drawing {
  data: Json;
  layout: { [name: string]: Json };
  /** True where a still picture was put out just before. */
  picture: boolean;
}
interface PlottingLibrary {
  react(place: HTMLElement, data: Json, layout: Json, config: Json): Promise<unknown>;
}
type Palette = { [theme in 'light' | 'dark']: { [role: string]: string } };
interface NotebookPage {
  Plotly?: PlottingLibrary;
  pullproofPalette?: Palette;
  pullproofDraw?: (id: string, drawing: Drawing) => void;
}

const page = globalThis as unknown as NotebookPage;
const finePointer = matchMedia('(pointer: fine)').matches;

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

/** Dark where the nearest painted ground is: editors and pages tell their theme each in their own way, but all paint it. */
function isDark(place: Element): boolean {
  for (let at: Element | null = place; at !== null; at = at.parentElement) {
    const parts = /^rgba?\(([\d.]+), ([\d.]+), ([\d.]+)(?:, ([\d.]+))?\)$/.exec(getComputedStyle(at).backgroundColor);
    if (parts !== null && (parts[4] === undefined || Number(parts[4]) > 0.5)) {
      const [red, green, blue] = parts.slice(1, 4).map(Number) as [number, number, number];
      return 0.299 * red + 0.587 * green + 0.114 * blue < 110;
    }
  }
  return false;
}

/** The last picture before the figure: its own, as the two are put out one behind the other. */
function pictureOf(block: HTMLElement): HTMLElement | null {
  const before = [...document.querySelectorAll('img')].filter(
    (picture) => !block.contains(picture) && (block.compareDocumentPosition(picture) & Node.DOCUMENT_POSITION_PRECEDING) !== 0,
  );
  const picture = before.at(-1) ?? null;
  return picture?.closest<HTMLElement>('.jp-OutputArea-child, .output_area, .output_container') ?? picture;
}

function draw(block: HTMLElement, place: HTMLElement, drawing: Drawing): void {
  const theme = isDark(block.parentElement ?? block) ? 'dark' : 'light';
  const colours = page.pullproofPalette![theme];
  for (const [role, colour] of Object.entries(colours)) block.style.setProperty(`--${role}`, colour);
  const layout = themed(drawing.layout, colours) as { [name: string]: Json };
  const width = place.clientWidth;
  if (width > 0) layout.width = width;
  if (width < 480) layout.xaxis = { ...(layout.xaxis as { [name: string]: Json }), nticks: 6 };
  if (finePointer) layout.dragmode = 'zoom';
  page.Plotly!.react(place, themed(drawing.data, colours), layout, { displaylogo: false, displayModeBar: false, showTips: false });
  place.dataset.drawn = 'true';
}

page.pullproofDraw = (id: string, drawing: Drawing): void => {
  const block = document.getElementById(id);
  const place = block?.querySelector<HTMLElement>('.plot') ?? null;
  if (block === null || place === null || place.dataset.drawn === 'true') return;
  const picture = drawing.picture ? pictureOf(block) : null;
  block.style.removeProperty('display');
  try {
    draw(block, place, drawing);
  } catch (error) {
    // The picture stays: better than an empty place.
    block.style.display = 'none';
    console.error(error);
    return;
  }
  if (picture !== null) picture.style.display = 'none';
  const again = (): void => draw(block, place, drawing);
  matchMedia('(prefers-color-scheme: dark)').addEventListener('change', () => setTimeout(again));
  let widthPx = place.clientWidth;
  new ResizeObserver(() => {
    if (place.clientWidth === widthPx || place.clientWidth === 0) return;
    widthPx = place.clientWidth;
    again();
  }).observe(place);
};

export {};
