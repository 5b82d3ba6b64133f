import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import type { TrialResult } from '@pullproof/core';
import {
  applyTheme,
  chargeTemperatureFigure,
  differenceFigure,
  type Figure,
  fuelFigure,
  palette,
  powerFigure,
  pullSpreadFigure,
  pullsFigure,
  routesFigure,
  topEndFigure,
  torqueFigure,
} from '@pullproof/figures';
import { renderReport } from '@pullproof/report';
import type { Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { inventedTrials } from '../report/inventedTrials.js';
import { type Browser, drawn, type OpenPage, openMarkup, startBrowser, type View, violations } from './chromium.js';

const names = Object.keys(inventedTrials);
const desk: View = { width: 1280, height: 800, colorScheme: 'light' };
const phone: View = { width: 390, height: 844, colorScheme: 'light' };
const axe = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8');
const reports = new Map(names.map((name) => [name, renderReport(inventedTrials[name]!)]));

let browser: Browser;
beforeAll(async () => {
  browser = await startBrowser();
});
afterAll(async () => {
  await browser?.close();
});

const open = (name: string, view: View): Promise<OpenPage> => openMarkup(browser, name, reports.get(name)!, view);

/** What the page's plots hold, read from the drawing itself, and what stands wider than the page. */
async function look(page: Page): Promise<{
  drawings: { id: string; wanted: number; traces: number; inked: number }[];
  pageWidth: number;
  innerWidth: number;
  wide: string[];
}> {
  return page.evaluate(() => {
    const report = JSON.parse(document.getElementById('report-data')!.textContent!) as { figures: Record<string, { data: unknown[] }> };
    const drawings = [...document.querySelectorAll<HTMLElement>('.plot')].map((plot) => {
      const traces = [...plot.querySelectorAll('.scatterlayer .trace')];
      const hasInk = (trace: Element): boolean =>
        [...trace.querySelectorAll('path')].some(
          (path) => (path.getAttribute('d') ?? '').length > 8 && !path.getAttribute('d')!.includes('NaN'),
        );
      const id = plot.dataset.figure!;
      return { id, wanted: report.figures[id]!.data.length, traces: traces.length, inked: traces.filter(hasInk).length };
    });
    const wide = [...document.querySelectorAll<HTMLElement>('body *')].filter(
      (element) => element.getBoundingClientRect().right > innerWidth + 1 && element.closest('.scroll, .plot, .for-reader, .skip') === null,
    );
    return {
      drawings,
      pageWidth: document.documentElement.scrollWidth,
      innerWidth,
      wide: wide.map((element) => element.outerHTML.slice(0, 80)),
    };
  });
}

/** Serious and critical faults that axe finds with every part of the page opened. */
async function seriousFaults(page: Page): Promise<string[]> {
  await page.evaluate(() => {
    for (const details of document.querySelectorAll('details')) details.open = true;
  });
  await page.evaluate(axe);
  const faults = await page.evaluate(async () => {
    const { axe: checker } = globalThis as unknown as {
      axe: { run(): Promise<{ violations: { id: string; impact: string; nodes: { html: string }[] }[] }> };
    };
    const { violations: found } = await checker.run();
    return found.map((fault) => `${fault.impact} ${fault.id}: ${fault.nodes.map((node) => node.html.slice(0, 120)).join(' | ')}`);
  });
  return faults.filter((fault) => /^(serious|critical)/.test(fault));
}

/** Prints to PDF and reads, at the moment of printing, how wide and in what ink each plot stands. */
async function print(page: Page): Promise<{ pdf: Buffer; plots: { width: number; ink: string }[] }> {
  await page.evaluate(() => {
    addEventListener('beforeprint', () => {
      const plots = [...document.querySelectorAll('.plot')].map((plot) => plot.querySelector<SVGSVGElement>('.main-svg')!);
      Object.assign(globalThis, {
        printed: plots.map((plot) => ({
          width: plot.width.baseVal.value,
          ink: plot.querySelector<SVGTextElement>('.xtick text')?.style.fill ?? '',
        })),
      });
    });
  });
  const pdf = await page.pdf({ format: 'A4', printBackground: false });
  return { pdf, plots: await page.evaluate(() => (globalThis as unknown as { printed: { width: number; ink: string }[] }).printed) };
}

const rgb = (hex: string): string => `rgb(${[1, 3, 5].map((at) => Number.parseInt(hex.slice(at, at + 2), 16)).join(', ')})`;

async function expectSound({ page, complaints }: OpenPage): Promise<void> {
  await drawn(page);
  const seen = await look(page);
  expect(seen.drawings.length).toBeGreaterThan(0);
  for (const drawing of seen.drawings) expect.soft(drawing).toMatchObject({ traces: drawing.wanted, inked: drawing.wanted });
  expect.soft(seen.pageWidth).toBeLessThanOrEqual(seen.innerWidth);
  expect.soft(seen.wide).toEqual([]);
  expect.soft(await violations(page)).toEqual([]);
  expect.soft(complaints).toEqual([]);
}

describe.each(names)('the report of %s', (name) => {
  it('is sound on a desktop: no complaint, request or sideways scroll, every trace drawn, no serious fault', async () => {
    const opened = await open(name, desk);
    await expectSound(opened);
    expect.soft(await seriousFaults(opened.page)).toEqual([]);
    await opened.page.close();
  });

  it('is sound on a dark phone, and prints from there in light colours at the width of the paper', async () => {
    const opened = await open(name, { ...phone, colorScheme: 'dark' });
    await expectSound(opened);
    const { pdf, plots } = await print(opened.page);
    expect.soft(pdf.subarray(0, 5).toString()).toBe('%PDF-');
    expect.soft(plots.length).toBeGreaterThan(0);
    for (const plot of plots) expect.soft(plot).toEqual({ width: 680, ink: rgb(palette.light.muted) });
    await expect
      .poll(() => opened.page.evaluate(() => document.querySelector<SVGTextElement>('.xtick text')!.style.fill))
      .toBe(rgb(palette.dark.muted));
    expect.soft(await seriousFaults(opened.page)).toEqual([]);
    expect.soft(opened.complaints).toEqual([]);
    await opened.page.close();
  });
});

describe('the report of gain', () => {
  it('follows the reader from a light desktop to a narrow dark window', async () => {
    const opened = await open('gain', desk);
    await drawn(opened.page);
    await opened.page.emulateMedia({ colorScheme: 'dark' });
    await opened.page.setViewportSize({ width: 390, height: 844 });
    const state = (): Promise<{ width: number; ink: string }> =>
      opened.page.evaluate(() => ({
        width: document.querySelector<SVGSVGElement>('.main-svg')!.width.baseVal.value,
        ink: document.querySelector<SVGTextElement>('.xtick text')!.style.fill,
      }));
    await expect.poll(async () => (await state()).ink).toBe(rgb(palette.dark.muted));
    await expect.poll(async () => (await state()).width).toBeLessThan(390);
    await expectSound(opened);
    await opened.page.close();
  });
});

describe('on paper', () => {
  it.each(names)('no table of the report of %s is cut off at the width of the paper', async (name) => {
    // A4 less two margins of 14 mm is 182 mm, or 688 px at 96 px to the inch.
    const { page } = await open(name, { width: 688, height: 1000, colorScheme: 'light' });
    await page.emulateMedia({ media: 'print' });
    const cut = await page.evaluate(() =>
      [...document.querySelectorAll<HTMLElement>('.scroll')]
        .filter((table) => table.offsetParent !== null && table.scrollWidth > table.clientWidth + 1)
        .map((table) => table.getAttribute('aria-label')),
    );
    expect(cut).toEqual([]);
    await page.close();
  });
});

describe('the plotting library', () => {
  it('accepts every figure by its own check', async () => {
    const makers: ((result: TrialResult) => Figure)[] = [
      powerFigure,
      torqueFigure,
      pullsFigure,
      pullSpreadFigure,
      chargeTemperatureFigure,
      differenceFigure,
      (result) => fuelFigure(result, { quantity: 'duty' }),
      (result) => routesFigure(result, { setup: 0 }),
    ];
    const { page } = await open('gain', desk);
    for (const [name, result] of Object.entries(inventedTrials)) {
      const figures = makers
        .concat(
          (result.topEnd?.comparisons ?? []).map(
            (analysis) => () => topEndFigure(result, { analysis, observations: ['manifold-pressure', 'mixture'] }),
          ),
        )
        .map((make) => applyTheme(make(result), 'dark'))
        .filter((figure) => figure.status === null);
      const faults = await page.evaluate(
        (given) => {
          const library = (globalThis as unknown as { Plotly: { validate(data: unknown, layout: unknown): { msg: string }[] | undefined } })
            .Plotly;
          return given.flatMap(({ data, layout }) => (library.validate(data, layout) ?? []).map((fault) => fault.msg));
        },
        // The library's own check of a legend ends in an error of its own.
        figures.map(({ data, layout: { legend: _, ...layout } }) => ({ data, layout })),
      );
      expect.soft(faults, name).toEqual([]);
    }
    await page.close();
  });
});

describe('by key', () => {
  it('the tab key reaches every control, in the order of the page', async () => {
    const { page } = await open('gain', desk);
    await drawn(page);
    const wanted = await page.evaluate(() => {
      const controls = [...document.querySelectorAll<HTMLElement>('a[href], summary, button, input, select, [tabindex="0"]')].filter(
        (element) => element.closest('details:not([open])') === null || element.tagName === 'SUMMARY',
      );
      controls.forEach((element, index) => {
        element.dataset.control = String(index);
      });
      return controls.length;
    });
    expect(wanted).toBeGreaterThan(20);
    const reached: string[] = [];
    for (let press = 0; press < wanted; press += 1) {
      await page.keyboard.press('Tab');
      reached.push(await page.evaluate(() => (document.activeElement as HTMLElement).dataset.control ?? document.activeElement!.tagName));
    }
    expect(reached).toEqual(Array.from({ length: wanted }, (_, index) => String(index)));
    await page.close();
  });

  it('a figure opens its words and numbers by key', async () => {
    const { page } = await open('gain', desk);
    await drawn(page);
    await page.locator('#figure-1 summary').focus();
    await page.keyboard.press('Enter');
    expect(await page.locator('#figure-1 details table').isVisible()).toBe(true);
    expect(await page.locator('#figure-1 .plot').getAttribute('aria-describedby')).toBe('figure-1-words');
    await page.close();
  });
});

describe('the policy', () => {
  it('stops a script and a request that are not its own, so that silence above means something', async () => {
    const { page } = await open('gain', desk);
    await drawn(page);
    await page.evaluate(() => {
      const script = document.createElement('script');
      script.textContent = 'globalThis.intruder = true';
      document.body.append(script);
      const image = new Image();
      image.src = 'http://127.0.0.1:9/x.png';
      document.body.append(image);
    });
    await expect.poll(() => violations(page)).toHaveLength(2);
    expect(await page.evaluate(() => 'intruder' in globalThis)).toBe(false);
    await page.close();
  });
});

describe('hostile text', () => {
  it('stays text: in the page, in the figures and in what hovering shows', async () => {
    const { page, complaints } = await open('hostile', desk);
    await drawn(page);
    const plots = page.locator('.plot');
    let shown = 0;
    for (let index = 0; index < (await plots.count()); index += 1) {
      await plots.nth(index).scrollIntoViewIfNeeded();
      const box = (await plots.nth(index).boundingBox())!;
      for (const share of [0.35, 0.5, 0.65]) {
        await page.mouse.move(box.x + box.width * share, box.y + box.height * 0.5);
        await page.waitForTimeout(60);
        shown += await plots.nth(index).locator('.hoverlayer text').count();
      }
    }
    expect(shown).toBeGreaterThan(5);
    const inside = await page.evaluate(() => ({
      hostile: 'hostile' in globalThis,
      elements: document.querySelectorAll('img, iframe, object, embed, form, .plot a, a[href^="javascript"], [onerror], [onclick]').length,
      scripts: document.scripts.length,
    }));
    expect(inside).toEqual({ hostile: false, elements: 0, scripts: 4 });
    expect(complaints).toEqual([]);
    expect(await violations(page)).toEqual([]);
    await page.close();
  });
});

describe('a browser that cannot unpack', () => {
  it('shows every figure in words and numbers, and says why', async () => {
    const { page, complaints } = await openMarkup(browser, 'old', reports.get('gain')!, desk, () => {
      Reflect.deleteProperty(globalThis, 'DecompressionStream');
    });
    const plots = page.locator('.plot');
    await expect.poll(() => plots.first().textContent()).toMatch(/too old to unpack/);
    expect(await plots.count()).toBeGreaterThan(4);
    for (const plot of await plots.all()) {
      expect.soft(await plot.textContent()).toMatch(/too old to unpack/);
      expect.soft(await plot.locator('xpath=..').locator('table').isVisible()).toBe(true);
    }
    expect(await page.evaluate(() => 'Plotly' in globalThis)).toBe(false);
    expect(complaints).toEqual([]);
    await page.close();
  });
});

describe('hovering', () => {
  it('shows the value with its band', async () => {
    const { page } = await open('gain', desk);
    await drawn(page);
    await page.locator('#figure-1 .plot').scrollIntoViewIfNeeded();
    const box = (await page.locator('#figure-1 .plot').boundingBox())!;
    await page.mouse.move(box.x + box.width * 0.4, box.y + box.height * 0.5);
    await expect
      .poll(async () => (await page.locator('#figure-1 .hoverlayer').textContent()) ?? '')
      .toMatch(/\+\d+ hp \([+−]?\d+ to \+\d+\)/);
    await page.close();
  });
});

describe('time', () => {
  it('a first figure takes at most three times as long as a bare page of the same library with one line', async () => {
    const library = readFileSync(createRequire(import.meta.url).resolve('plotly.js-cartesian-dist-min'), 'utf8');
    const bare = `<!doctype html><meta charset="utf-8"><div id="plot"></div><script>${library}</script><script>Plotly.react("plot",[{x:[1,2,3],y:[1,3,2]}],{});performance.mark("first-figure")</script>`;
    const first = async (name: string, markup: string): Promise<number> => {
      const times: number[] = [];
      for (let turn = 0; turn < 3; turn += 1) {
        const { page } = await openMarkup(browser, name, markup, desk);
        await page.waitForFunction(() => performance.getEntriesByName('first-figure').length > 0);
        times.push(await page.evaluate(() => performance.getEntriesByName('first-figure')[0]!.startTime));
        await page.close();
      }
      return Math.min(...times);
    };
    const [one, other] = [await first('bare', bare), await first('gain', reports.get('gain')!)];
    expect(other / one).toBeLessThan(3);
  });
});
