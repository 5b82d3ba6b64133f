import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { inflateSync } from 'node:zlib';
import { palette } from '@pullproof/figures';
import { renderReport } from '@pullproof/report';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { inventedTrials } from '../report/inventedTrials.js';
import { startChromium } from './chromium.js';
import { startFirefox } from './firefox.js';
import { fiveSetups, sampleReport } from './sampleReports.js';
import type { Tab, TestBrowser, View } from './tab.js';

const phone: View = { width: 390, height: 844 };
const desk: View = { width: 1280, height: 900 };
const axe = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8');
const sample = sampleReport();
const five = fiveSetups();
const invented = Object.entries(inventedTrials).map(([name, result]) => [name, renderReport(result)] as const);
const rgb = (hex: string): string => `rgb(${[1, 3, 5].map((at) => Number.parseInt(hex.slice(at, at + 2), 16)).join(', ')})`;

interface Sizes {
  readonly height: number;
  readonly pageWidth: number;
  readonly words: number;
  readonly figureBottom: number;
  readonly nextBottom: number;
}
const sizes = (tab: Tab): Promise<Sizes> =>
  tab.evaluate(`(() => {
  const bottom = (selector) => document.querySelector(selector).getBoundingClientRect().bottom + scrollY;
  return {
    height: document.documentElement.scrollHeight,
    pageWidth: document.documentElement.scrollWidth,
    words: document.body.innerText.split(/\\s+/).filter((word) => /[\\p{L}\\p{N}]/u.test(word)).length,
    figureBottom: bottom('.pair-panel:not([hidden]) .plot'),
    nextBottom: bottom('#next'),
  };
})()`);
/** Words that can be seen, not those of closed topics. */
const seen = (tab: Tab, selector = 'main'): Promise<string> =>
  tab.evaluate(`document.querySelector(${JSON.stringify(selector)}).innerText.replace(/[\\s\\u00a0]+/g, ' ')`);
const address = (tab: Tab): Promise<string> => tab.evaluate('location.hash');

async function expectQuiet(tab: Tab): Promise<void> {
  expect.soft(await tab.evaluate('globalThis.policyViolations')).toEqual([]);
  expect.soft(tab.complaints).toEqual([]);
}

async function faults(tab: Tab): Promise<string[]> {
  await tab.evaluate("for (const details of document.querySelectorAll('details')) details.open = true");
  await tab.waitFor(
    "[...document.querySelectorAll('.plot[data-figure]')].every((plot) => plot.clientWidth === 0 || plot.dataset.drawn === 'true')",
  );
  await tab.evaluate(`${axe};0`);
  return tab.evaluate(
    `axe.run().then(({ violations }) => violations.map(({ impact, id, nodes }) => impact + ' ' + id + ': ' + nodes.slice(0, 3).map(({ html }) => html.slice(0, 140)).join(' | ')))`,
  );
}

describe.each([
  ['chromium', startChromium],
  ['firefox', startFirefox],
] as const)('the report in %s', (browserName, start) => {
  let browser: TestBrowser;
  beforeAll(async () => {
    browser = await start();
  }, 60_000);
  afterAll(async () => {
    await browser?.close();
  });

  it('answers on the first two screens of a phone, and is eight screens and 900 words at most', async () => {
    const tab = await browser.open('sample', sample, phone);
    const { height, pageWidth, words, figureBottom, nextBottom } = await sizes(tab);
    expect.soft(figureBottom).toBeLessThan(844 * 2);
    expect.soft(nextBottom).toBeLessThanOrEqual(844 * 2);
    expect.soft(height).toBeLessThanOrEqual(844 * 8);
    expect.soft(words).toBeLessThanOrEqual(900);
    expect.soft(pageWidth).toBeLessThanOrEqual(390);
    expect.soft(Buffer.byteLength(sample)).toBeLessThanOrEqual(1_600_000);
    await expectQuiet(tab);
    await tab.close();
  });

  it('answers on the first screen of a desk, figure included, and is five screens at most', async () => {
    const tab = await browser.open('sample', sample, desk);
    const { height, figureBottom, pageWidth } = await sizes(tab);
    expect.soft(figureBottom).toBeLessThanOrEqual(900);
    expect.soft(height).toBeLessThanOrEqual(900 * 5);
    expect.soft(pageWidth).toBeLessThanOrEqual(1280);
    expect.soft(await tab.evaluate("document.querySelectorAll('.topic[open]').length")).toBe(0);
    await expectQuiet(tab);
    await tab.close();
  });

  it('five setups with one pull each are ten phone screens at most', async () => {
    const tab = await browser.open('five', five, phone);
    const { height, pageWidth } = await sizes(tab);
    expect.soft(await tab.evaluate("document.querySelectorAll('.verdicts tbody tr').length")).toBe(4);
    expect.soft(height).toBeLessThanOrEqual(844 * 10);
    expect.soft(pageWidth).toBeLessThanOrEqual(390);
    await tab.close();
  });

  it('opens a topic by click, draws its figures, writes it into the address, and opens it again from there', async () => {
    const tab = await browser.open('sample', sample, desk);
    await tab.click('#pressure > summary');
    await tab.waitFor("document.querySelector('#pressure .plot').dataset.drawn === 'true'");
    expect(await address(tab)).toContain('open=pressure');
    expect(await tab.evaluate("document.querySelectorAll('#pressure svg.figure path').length")).toBeGreaterThan(20);
    await tab.close();
    const again = await browser.open('sample', sample, desk, 'open=pressure,fuel&units=us&pair=1');
    expect(await again.evaluate("[...document.querySelectorAll('.topic[open]')].map(({ id }) => id)")).toEqual(['pressure', 'fuel']);
    expect(await seen(again, '.pair-panel:not([hidden]) figcaption')).toMatch(/74 mm pulley vs base.*hp/);
    await again.close();
    const named = await browser.open('sample', sample, desk, 'conditions');
    expect(await named.evaluate("document.getElementById('conditions').open")).toBe(true);
    await named.close();
  });

  it('switches the units of words, tables and figures, and back', async () => {
    const tab = await browser.open('sample', sample, desk, 'open=power,conditions');
    const before = await seen(tab);
    expect(before).toMatch(/\d kW/);
    expect(before).toContain('kPa');
    await tab.click('button[data-units=imperial]');
    await tab.waitFor("document.querySelector('#power .plot').dataset.drawn === 'true'");
    const us = await seen(tab);
    expect(us).toMatch(/\d hp/);
    expect(us).toContain('inHg');
    // What was entered is quoted as it was written; everything else is in the units that were chosen.
    for (const part of ['#power', '#answer']) expect(await seen(tab, part)).not.toMatch(/\d kW\b|\d kg\b|km\/h|, kW/);
    expect(
      await tab.evaluate("[...document.querySelectorAll('#power svg.figure text')].map(({ textContent }) => textContent).join(' ')"),
    ).toMatch(/, hp/);
    expect(await address(tab)).toContain('units=us');
    await tab.click('button[data-units=metric]');
    await tab.waitFor("document.querySelector('#power .plot').dataset.drawn === 'true'");
    expect(await seen(tab)).toBe(before);
    await expectQuiet(tab);
    await tab.close();
  });

  it('shows one cursor and one range in every figure along engine speed: by mouse, wheel and key', async () => {
    const tab = await browser.open('sample', sample, desk, 'open=power');
    const box = await tab.boxOf('#figure-1 .plot');
    await tab.move(box.x + box.width * 0.4, box.y + box.height * 0.5);
    await tab.waitFor("document.querySelectorAll('.cursor-line').length >= 3");
    const readouts = await tab.evaluate<string[]>(
      "[...document.querySelectorAll('#figure-1 .readout, #power .readout')].map(({ innerText }) => innerText)",
    );
    expect(readouts[0]).toMatch(/^\d,\d{3} rpm: measured \+\d/);
    expect(new Set(readouts.slice(0, 3).map((text) => text.split(':')[0])).size).toBe(1);
    await tab.drag([box.x + box.width * 0.3, box.y + 150], [box.x + box.width * 0.6, box.y + 160]);
    await tab.waitFor("location.hash.includes('rpm=')");
    const range = /rpm=(\d+)-(\d+)/.exec(await address(tab))!;
    expect(Number(range[2]) - Number(range[1])).toBeLessThan(2000);
    const ticks = await tab.evaluate<string>(
      "[...document.querySelectorAll('#power .plot svg text')].map(({ textContent }) => textContent).join(' ')",
    );
    expect(ticks).not.toContain('6,500');
    await tab.move(box.x + box.width * 0.5, box.y + 120);
    await tab.wheel(-240);
    await tab.waitFor(`!location.hash.includes(${JSON.stringify(range[0])})`);
    await tab.click('#figure-1 .readout button');
    await tab.waitFor("!location.hash.includes('rpm=')");
    await tab.evaluate("document.querySelector('#figure-1 .plot').focus()");
    await tab.press('ArrowRight');
    await tab.press('ArrowRight');
    expect(await tab.evaluate("document.querySelector('#figure-1 .plot').getAttribute('aria-valuetext')")).toMatch(/rpm: measured/);
    await tab.press('+');
    await tab.waitFor("location.hash.includes('rpm=')");
    await tab.press('Escape');
    await tab.waitFor("!location.hash.includes('rpm=')");
    await expectQuiet(tab);
    await tab.close();
  });

  it('switches a setup off in every figure', async () => {
    const tab = await browser.open('sample', sample, desk, 'open=power,pressure');
    const lines = (): Promise<number> =>
      tab.evaluate("document.querySelectorAll('#power .plot path.s-setup2, #pressure .plot path.s-setup2').length");
    expect(await lines()).toBeGreaterThan(2);
    await tab.click('#power .setup-key[data-setup="1"]');
    await tab.waitFor("location.hash.includes('off=1')");
    await tab.waitFor("document.querySelectorAll('#power .plot path.s-setup2, #pressure .plot path.s-setup2').length === 0");
    expect(await lines()).toBe(0);
    await tab.close();
  });

  it('shows pulls: list, readings at the cursor, zoom, engine speed, and its state in the address', async () => {
    const tab = await browser.open('sample', sample, desk, 'open=pulls');
    await tab.waitFor("document.querySelector('#viewer-plot').dataset.drawn === 'true'");
    expect(await tab.evaluate("document.querySelectorAll('.pull-list tbody tr').length")).toBe(24);
    const values = (): Promise<string> => seen(tab, '.viewer-readout');
    const box = await tab.boxOf('#viewer-plot');
    const top = await tab.evaluate<number>("document.querySelector('#viewer-plot').getBoundingClientRect().top");
    await tab.evaluate(`scrollBy(0, ${Math.round(top - 120)})`);
    await tab.move(box.x + box.width * 0.5, 300);
    await tab.waitFor(
      "/Engine speed \\\\d,\\\\d{3}/.test(document.querySelector('.viewer-readout').innerText.replace(/\\\\s+/g, ' '))".replaceAll(
        '\\\\',
        '\\',
      ),
    );
    expect(await values()).toMatch(/Engine speed \d,\d{3} \/ \d,\d{3} \/ \d,\d{3} rpm/);
    expect(await values()).toMatch(/Lambda 0\.\d{3}/);
    const points = (): Promise<number> => tab.evaluate("document.querySelectorAll('#viewer-plot path[stroke=none]').length");
    const far = await points();
    await tab.drag([box.x + box.width * 0.5, 300], [box.x + box.width * 0.56, 302]);
    await tab.waitFor(`document.querySelectorAll('#viewer-plot path[stroke=none]').length > ${far}`);
    await tab.click('[data-do=reset-viewer]');
    await tab.waitFor(`document.querySelectorAll('#viewer-plot path[stroke=none]').length <= ${far}`);
    await tab.evaluate("document.querySelector('#viewer-plot').focus()");
    await tab.press('ArrowRight');
    expect(await values()).toMatch(/Time \d/);
    const touched = await tab.boxOf('.viewer-bar');
    await tab.touch(touched.x + touched.width * 0.6, touched.y + 220);
    expect(await values()).toMatch(/Time \d/);
    await tab.click('.pull-list input[data-pull="0.1"]');
    expect(await address(tab)).toContain('pulls=');
    await tab.click('button[data-by=rpm]');
    await tab.waitFor("location.hash.includes('by=rpm')");
    expect(await tab.evaluate("document.querySelector('#viewer-plot svg').textContent")).toContain('Engine speed, rpm');
    await expectQuiet(tab);
    await tab.close();
  });

  it('is dark where the reader’s screen is', async () => {
    const tab = await browser.open('sample', sample, { ...phone, dark: true });
    const colours = await tab.evaluate<{ page: string; ink: string }>(
      "({ page: getComputedStyle(document.body).backgroundColor, ink: getComputedStyle(document.querySelector('svg.figure text')).fill })",
    );
    expect(colours).toEqual({ page: rgb(palette.dark.page), ink: rgb(palette.dark.muted) });
    expect(await faults(tab)).toEqual([]);
    await tab.close();
  });

  it('prints answer, figure, conditions and next steps on two pages', async () => {
    const tab = await browser.open('sample', sample, phone);
    const pages = pagesOf(await tab.pdf());
    expect(pages).toBeGreaterThan(0);
    expect(pages).toBeLessThanOrEqual(2);
    await tab.close();
  });

  it('without scripts shows the words and still pictures', async () => {
    const tab = await browser.open('sample', sample, { ...desk, scripts: false });
    const bare = await tab.evaluate<{ pictures: number; panels: number; choice: string; words: string }>(`({
      pictures: [...document.querySelectorAll('svg.figure')].filter((svg) => svg.getBoundingClientRect().width > 200 && svg.querySelectorAll('path').length > 5).length,
      panels: [...document.querySelectorAll('.pair-panel')].filter((panel) => getComputedStyle(panel).display !== 'none').length,
      choice: getComputedStyle(document.querySelector('.choice')).display,
      words: document.querySelector('#answer').innerText,
    })`);
    expect(bare).toMatchObject({ panels: 3, choice: 'none' });
    expect(bare.pictures).toBeGreaterThanOrEqual(3);
    expect(bare.words).toContain('What to do next');
    await tab.close();
  });

  it('has no fault that axe knows, with every topic open', async () => {
    const tab = await browser.open('sample', sample, desk);
    expect(await faults(tab)).toEqual([]);
    await tab.close();
  });

  it('stops a script and a request that are not its own', async () => {
    const foreign =
      '<script>globalThis.foreign = true</script><img src="http://127.0.0.1:9/x.png"><link rel="stylesheet" href="http://127.0.0.1:9/x.css">';
    const tab = await browser.open('foreign', sample.replace('</main>', `${foreign}</main>`), desk);
    expect(await tab.evaluate("'foreign' in globalThis")).toBe(false);
    expect(await tab.evaluate("fetch('http://127.0.0.1:9/').then(() => 'sent', () => 'refused')")).toBe('refused');
    const refused = await tab.evaluate<string[]>('globalThis.policyViolations');
    for (const kind of ['script-src', 'img-src', 'style-src', 'connect-src'])
      expect(
        refused.some((one) => one.startsWith(kind)),
        kind,
      ).toBe(true);
    await tab.close();
  });

  it('makes nothing of hostile names, and asks for nothing', async () => {
    const hostile = invented.find(([name]) => name === 'hostile')![1];
    const tab = await browser.open('hostile', hostile, desk);
    await tab.evaluate("for (const details of document.querySelectorAll('details')) details.open = true");
    expect(
      await tab.evaluate(
        "({ ran: 'hostile' in globalThis, elements: document.querySelectorAll('img, iframe, object, [onerror], [onclick], a:not([href^=\"#\"])').length })",
      ),
    ).toEqual({ ran: false, elements: 0 });
    await expectQuiet(tab);
    await tab.close();
  });

  it.each(invented)('is sound with every topic open: %s', async (name, markup) => {
    for (const view of browserName === 'chromium' ? [{ ...phone, dark: true }] : [desk]) {
      const tab = await browser.open(name, markup, view);
      expect.soft(await faults(tab)).toEqual([]);
      const { pageWidth } = await tab.evaluate<{ pageWidth: number }>('({ pageWidth: document.documentElement.scrollWidth })');
      expect.soft(pageWidth).toBeLessThanOrEqual(view.width);
      expect.soft(await tab.evaluate("document.querySelectorAll('svg.figure path[d*=NaN], svg.figure [x=NaN]').length")).toBe(0);
      await expectQuiet(tab);
      await tab.close();
    }
  });
});

/** Pages of a PDF; some writers pack the objects that say so. */
function pagesOf(pdf: Uint8Array): number {
  const bytes = Buffer.from(pdf);
  const plain = bytes.toString('latin1');
  const packed = [...plain.matchAll(/stream\r?\n/g)].map(({ index, 0: { length } }) => {
    const end = plain.indexOf('endstream', index);
    try {
      return inflateSync(bytes.subarray(index + length, end)).toString('latin1');
    } catch {
      return '';
    }
  });
  return [...[plain, ...packed].join('\n').matchAll(/\/Type\s*\/Page\b(?!s)/g)].length;
}

describe('time', () => {
  it('opening a topic takes less than 100 ms of script in Chromium', async () => {
    const browser = await startChromium();
    const tab = await browser.open('sample', sample, desk);
    const longest = await tab.evaluate<{ id: string; ms: number }[]>(`(async () => {
      const found = [];
      for (const topic of document.querySelectorAll('.topic')) {
        let ms = 0;
        const started = new Promise((resolve) => {
          // Heard before and after the page's own listener: what lies between is its script.
          addEventListener('toggle', () => { ms = performance.now(); }, { capture: true, once: true });
          topic.addEventListener('toggle', () => { ms = performance.now() - ms; resolve(); }, { once: true });
        });
        topic.open = true;
        await started;
        found.push({ id: topic.id, ms });
        topic.open = false;
        await new Promise((resolve) => setTimeout(resolve, 20));
      }
      return found.sort((a, b) => b.ms - a.ms);
    })()`);
    expect(longest.length).toBeGreaterThan(10);
    expect(longest[0]!.ms, JSON.stringify(longest[0])).toBeLessThan(100);
    await tab.close();
    await browser.close();
  });
});
