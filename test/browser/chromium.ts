import { existsSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { pathToFileURL } from 'node:url';
import { chromium, type Page } from 'playwright-core';
import { type Box, boxScript, type Tab, type TestBrowser, type View, violationScript } from './tab.js';

const executablePath = process.env.CHROMIUM ?? '/usr/bin/chromium';
const switches = [
  '--headless',
  '--no-sandbox',
  '--disable-gpu',
  '--disable-quic',
  '--no-first-run',
  '--disable-background-networking',
  '--disable-component-update',
  '--disable-sync',
];

/** Starts Chromium; where it is missing the tests fail and say what to install. */
export async function startChromium(): Promise<TestBrowser> {
  if (!existsSync(executablePath))
    throw new Error(
      `Chromium is not at ${executablePath}. Install the Debian package "chromium" (apt-get install chromium), or name another in CHROMIUM.`,
    );
  const folder = mkdtempSync(path.join(tmpdir(), 'pullproof-chromium-'));
  const browser = await chromium.launch({ executablePath, headless: true, args: switches });
  return {
    name: 'chromium',
    async open(name, markup, view, hash = '') {
      const file = path.join(folder, `${name}.html`);
      writeFileSync(file, markup);
      const context = await browser.newContext({
        viewport: { width: view.width, height: view.height },
        colorScheme: view.dark === true ? 'dark' : 'light',
        javaScriptEnabled: view.scripts !== false,
        hasTouch: true,
      });
      const page = await context.newPage();
      return tabOf(page, pathToFileURL(file).href, hash, view);
    },
    async close() {
      await browser.close();
      rmSync(folder, { recursive: true, force: true });
    },
  };
}

async function tabOf(page: Page, address: string, hash: string, view: View): Promise<Tab> {
  const complaints: string[] = [];
  page.on('console', (message) => complaints.push(`console ${message.type()}: ${message.text()}`));
  page.on('pageerror', (error) => complaints.push(`error: ${error.message}`));
  page.on('request', (request) => {
    const url = request.url().replace(/#.*$/, '');
    if (url !== address && !/^(data|blob):/.test(url)) complaints.push(`request: ${url}`);
  });
  page.on('dialog', (dialog) => {
    complaints.push(`dialog: ${dialog.message()}`);
    void dialog.dismiss();
  });
  await page.addInitScript(violationScript);
  await page.goto(`${address}${hash === '' ? '' : `#${hash}`}`);
  const waitFor = async (what: string): Promise<void> => {
    await page.waitForFunction(what, undefined, { timeout: 20_000 });
  };
  if (view.scripts !== false) await waitFor("document.documentElement.dataset.ready === 'yes'");
  return {
    complaints,
    evaluate: <R>(what: string) => page.evaluate(what) as Promise<R>,
    waitFor,
    boxOf: (selector) => page.evaluate(boxScript(selector)) as Promise<Box>,
    click: (selector) => page.locator(selector).first().click(),
    move: (x, y) => page.mouse.move(x, y),
    async drag(from, to) {
      await page.mouse.move(...from);
      await page.mouse.down();
      await page.mouse.move((from[0] + to[0]) / 2, to[1]);
      await page.mouse.move(...to);
      await page.mouse.up();
    },
    wheel: (deltaY) => page.mouse.wheel(0, deltaY),
    press: (key) => page.keyboard.press(key),
    touch: (x, y) => page.touchscreen.tap(x, y),
    pdf: () => page.pdf({ format: 'A4' }),
    async picture(file) {
      await page.screenshot({ path: file, fullPage: true });
    },
    close: () => page.context().close(),
  };
}
