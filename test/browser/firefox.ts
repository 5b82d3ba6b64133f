import { existsSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { pathToFileURL } from 'node:url';
import puppeteer, { type Browser, type KeyInput, type Page } from 'puppeteer-core';
import { type Box, boxScript, type Tab, type TestBrowser, type View, violationScript } from './tab.js';

const executablePath = process.env.FIREFOX ?? '/usr/bin/firefox-esr';

/** Starts Debian's Firefox, driven over WebDriver BiDi; where it is missing the tests fail and say what to install. */
export async function startFirefox(): Promise<TestBrowser> {
  if (!existsSync(executablePath))
    throw new Error(
      `Firefox is not at ${executablePath}. Install the Debian package "firefox-esr" (apt-get install firefox-esr), or name another in FIREFOX.`,
    );
  const folder = mkdtempSync(path.join(tmpdir(), 'pullproof-firefox-'));
  // Dark, and without scripts, are settings of a whole Firefox.
  const browsers = new Map<string, Browser>();
  const browserFor = async ({ dark = false, scripts = true }: View): Promise<Browser> => {
    const key = `${dark}/${scripts}`;
    let browser = browsers.get(key);
    if (browser === undefined) {
      browser = await puppeteer.launch({
        browser: 'firefox',
        executablePath,
        headless: true,
        extraPrefsFirefox: {
          'ui.systemUsesDarkTheme': dark ? 1 : 0,
          'layout.css.prefers-color-scheme.content-override': dark ? 0 : 1,
          'javascript.enabled': scripts,
          'dom.w3c_touch_events.enabled': 1,
        },
      });
      browsers.set(key, browser);
    }
    return browser;
  };
  return {
    name: 'firefox',
    async open(name, markup, view, hash = '') {
      const file = path.join(folder, `${name}.html`);
      writeFileSync(file, markup);
      const page = await (await browserFor(view)).newPage();
      await page.setViewport({ width: view.width, height: view.height });
      return tabOf(page, pathToFileURL(file).href, hash, view);
    },
    async close() {
      for (const browser of browsers.values()) await browser.close();
      rmSync(folder, { recursive: true, force: true });
    },
  };
}

async function tabOf(page: Page, address: string, hash: string, view: View): Promise<Tab> {
  const complaints: string[] = [];
  page.on('console', (message) => complaints.push(`console ${message.type()}: ${message.text()}`));
  page.on('pageerror', (error) => complaints.push(`error: ${error instanceof Error ? error.message : String(error)}`));
  page.on('request', (request) => {
    const url = request.url().replace(/#.*$/, '');
    // Firefox itself asks the folder for its icon of a page.
    if (url !== address && !/^(data|blob|about):/.test(url) && !url.endsWith('/favicon.ico')) complaints.push(`request: ${url}`);
  });
  if (view.scripts !== false) await page.evaluateOnNewDocument(violationScript);
  await page.goto(`${address}${hash === '' ? '' : `#${hash}`}`);
  const waitFor = async (what: string): Promise<void> => {
    await page.waitForFunction(what, { timeout: 20_000 });
  };
  if (view.scripts !== false) await waitFor("document.documentElement.dataset.ready === 'yes'");
  const boxOf = (selector: string): Promise<Box> => page.evaluate(boxScript(selector)) as Promise<Box>;
  return {
    complaints,
    evaluate: <R>(what: string) => page.evaluate(what) as Promise<R>,
    waitFor,
    boxOf,
    async click(selector) {
      const { x, y, width, height } = await boxOf(selector);
      await page.mouse.click(x + Math.min(width / 2, 60), y + height / 2);
    },
    move: (x, y) => page.mouse.move(x, y),
    async drag(from, to) {
      await page.mouse.move(...from);
      await page.mouse.down();
      await page.mouse.move((from[0] + to[0]) / 2, to[1]);
      await page.mouse.move(...to);
      await page.mouse.up();
    },
    wheel: (deltaY) => page.mouse.wheel({ deltaY }),
    press: (key) => page.keyboard.press(key as KeyInput),
    touch: (x, y) => page.touchscreen.tap(x, y),
    pdf: () => page.pdf({ format: 'A4' }),
    async picture(file) {
      await page.screenshot({ path: file as `${string}.png`, fullPage: true });
    },
    close: () => page.close(),
  };
}
