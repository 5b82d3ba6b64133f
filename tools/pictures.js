// Makes the pictures of README and guides from the report on sample-logs: node tools/pictures.js
import { existsSync, mkdirSync, rmSync } from 'node:fs';
import path from 'node:path';
import { pathToFileURL } from 'node:url';
import { chromium } from 'playwright-core';
import { root, runInstalled, scratch } from './process.js';

const browserPath = process.env.CHROMIUM ?? '/usr/bin/chromium';
if (!existsSync(browserPath)) throw new Error(`${browserPath} is not there: install chromium, or name it in CHROMIUM`);

const reportFile = path.join(scratch, 'pictures', 'report.html');
rmSync(path.dirname(reportFile), { recursive: true, force: true });
mkdirSync(path.dirname(reportFile), { recursive: true });
const { exitCode, output } = await runInstalled('pullproof', ['compare', 'sample-logs/trial.yaml', '--report', reportFile]);
if (exitCode !== 0 || !existsSync(reportFile)) throw new Error(`no report was written\n${output}`);

/** Picture → the window it is taken of; with no height, as high as the first screen needs. */
const pictures = {
  'report-first-screen.png': { width: 1280, height: null, deviceScaleFactor: 1 },
  'report-phone.png': { width: 390, height: 844, deviceScaleFactor: 2 },
};

/** Picture → what it shows of the report on a desk: the first of these elements that is there. */
const details = {
  'difference.png': '#difference figure:last-of-type',
  'pulls.png': '#pulls figure:first-of-type',
  'top-end.png': '#top-end figure',
  'band-parts.png': '#band .scroll',
  'fuel-duty.png': '#fuel-supply figure',
};

const browser = await chromium.launch({ executablePath: browserPath, args: ['--no-sandbox'] });
try {
  for (const [name, { width, height, deviceScaleFactor }] of Object.entries(pictures)) {
    const page = await browser.newPage({ viewport: { width, height: height ?? 900 }, deviceScaleFactor, colorScheme: 'light' });
    await page.goto(pathToFileURL(reportFile).href);
    // Figures are drawn one after another: with the last, all are there.
    await page.locator('.plot').last().and(page.locator('[data-drawn]')).waitFor({ timeout: 15_000 });
    // On the desk the whole first screen, down to where the sections are named.
    const sections = await page.locator('nav').boundingBox();
    if (sections === null) throw new Error('the report has no list of sections');
    await page.setViewportSize({ width, height: height ?? Math.ceil(sections.y) });
    await page.screenshot({ path: path.join(root, 'docs', 'pictures', name), animations: 'disabled' });
    await page.close();
    console.log(`docs/pictures/${name}`);
  }
  const page = await browser.newPage({ viewport: { width: 1280, height: 900 }, deviceScaleFactor: 1, colorScheme: 'light' });
  await page.goto(pathToFileURL(reportFile).href);
  await page.locator('.plot').last().and(page.locator('[data-drawn]')).waitFor({ timeout: 15_000 });
  for (const [name, element] of Object.entries(details)) {
    const place = page.locator(element).first();
    await place.scrollIntoViewIfNeeded();
    await place.screenshot({ path: path.join(root, 'docs', 'pictures', name), animations: 'disabled' });
    console.log(`docs/pictures/${name}`);
  }
} finally {
  await browser.close();
}
