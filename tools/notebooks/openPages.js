import { existsSync } from 'node:fs';
import path from 'node:path';
import { pathToFileURL } from 'node:url';
import { chromium } from 'playwright-core';
import { root } from '../process.js';

const browserPath = process.env.CHROMIUM ?? '/usr/bin/chromium';
const widths = [1280, 390];

/**
 * Opens exported pages in a browser without a network, on a desk and on a phone, in the dark too, and with scripts switched off.
 * @param {readonly string[]} files from the root of the checkout
 * @returns {Promise<string[]>} requests, complaints, figures that were not drawn, what stands wider than the page, pictures that are missing
 */
export async function pageProblems(files) {
  if (!existsSync(browserPath)) return [`Chromium is not at ${browserPath}: apt-get install chromium, or name another in CHROMIUM`];
  const browser = await chromium.launch({ executablePath: browserPath, args: process.getuid?.() === 0 ? ['--no-sandbox'] : [] });
  try {
    const problems = [];
    for (const file of files.filter((name) => existsSync(path.join(root, name)))) {
      for (const width of widths) problems.push(...(await withScripts(browser, file, width)));
      problems.push(...(await withoutScripts(browser, file)));
    }
    return problems;
  } finally {
    await browser.close();
  }
}

/**
 * @param {import('playwright-core').Browser} browser
 * @param {string} file
 * @param {import('playwright-core').BrowserContextOptions} options
 */
async function opened(browser, file, options) {
  const address = pathToFileURL(path.join(root, file)).href;
  const context = await browser.newContext({ offline: true, ...options });
  const page = await context.newPage();
  /** @type {string[]} */
  const complaints = [];
  page.on('request', (request) => {
    if (request.url() !== address && !/^(data|blob):/.test(request.url())) complaints.push(`asks for ${request.url()}`);
  });
  page.on('console', (message) => complaints.push(`${message.type()}: ${message.text()}`));
  page.on('pageerror', (error) => complaints.push(error.message));
  await page.goto(address);
  return { context, page, complaints };
}

/**
 * @param {import('playwright-core').Browser} browser
 * @param {string} file
 * @param {number} width
 */
async function withScripts(browser, file, width) {
  // Dark on the phone, light on the desk: both are looked at.
  const colorScheme = width < 640 ? 'dark' : 'light';
  const { context, page, complaints } = await opened(browser, file, { viewport: { width, height: 900 }, colorScheme });
  try {
    const isDrawn = () => page.evaluate("[...document.querySelectorAll('.plot')].every((plot) => plot.dataset.drawn === 'true')");
    for (let tries = 0; tries < 100 && !(await isDrawn()); tries++) await page.waitForTimeout(100);
    const seen = /** @type {{ plots: number, drawn: number, inked: number, pictures: number, page: number, cut: number }} */ (
      await page.evaluate(`({
        plots: document.querySelectorAll('.plot').length,
        drawn: document.querySelectorAll('.plot[data-drawn] .main-svg').length,
        inked: [...document.querySelectorAll('.plot')].filter((plot) => plot.querySelector('.plot .trace path, .plot .hm image, .plot .bars path, .plot .points path')).length,
        pictures: [...document.images].filter((image) => image.offsetParent !== null).length,
        page: document.documentElement.scrollWidth,
        cut: [...document.querySelectorAll('.pullproof')].filter((block) => block.getBoundingClientRect().right > innerWidth + 1).length,
      })`)
    );
    const problems = complaints.map((complaint) => `${file} at ${width}: ${complaint}`);
    if (seen.plots === 0) problems.push(`${file} at ${width}: there is no figure`);
    if (seen.drawn < seen.plots) problems.push(`${file} at ${width}: ${seen.drawn} of ${seen.plots} figures were drawn`);
    if (seen.inked < seen.plots) problems.push(`${file} at ${width}: ${seen.plots - seen.inked} of ${seen.plots} figures are empty`);
    if (seen.pictures > 0) problems.push(`${file} at ${width}: ${seen.pictures} still pictures stand beside their drawings`);
    if (seen.page > width) problems.push(`${file} at ${width}: the page is ${seen.page} wide`);
    if (seen.cut > 0) problems.push(`${file} at ${width}: ${seen.cut} outputs reach beyond the page`);
    return problems;
  } finally {
    await context.close();
  }
}

/**
 * @param {import('playwright-core').Browser} browser
 * @param {string} file
 */
async function withoutScripts(browser, file) {
  const { context, page, complaints } = await opened(browser, file, { viewport: { width: 1280, height: 900 }, javaScriptEnabled: false });
  try {
    const [pictures, figures] = await Promise.all([
      page.locator('img').evaluateAll((images) => images.filter((image) => image.getBoundingClientRect().width > 300).length),
      page.locator('.pullproof.figure').count(),
    ]);
    const problems = complaints.map((complaint) => `${file} without scripts: ${complaint}`);
    if (pictures < figures) problems.push(`${file} without scripts: ${pictures} still pictures for ${figures} figures`);
    return problems;
  } finally {
    await context.close();
  }
}
