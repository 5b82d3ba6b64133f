import { existsSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { type BrowserContext, chromium, type Page } from 'playwright-core';

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

/** A browser with a profile of its own, and a folder for the pages it opens. */
export interface Browser {
  readonly context: BrowserContext;
  readonly folder: string;
  readonly close: () => Promise<void>;
}

/** Starts Chromium; where it is missing the tests fail and say what to install. */
export async function startBrowser(): Promise<Browser> {
  if (!existsSync(executablePath)) {
    throw new Error(
      `Chromium is not at ${executablePath}. Install the Debian package "chromium" (apt-get install chromium), or name another in CHROMIUM.`,
    );
  }
  const folder = mkdtempSync(join(tmpdir(), 'pullproof-browser-'));
  const context = await chromium.launchPersistentContext(join(folder, 'profile'), {
    executablePath,
    headless: true,
    args: switches,
    viewport: null,
  });
  return {
    context,
    folder,
    close: async () => {
      await context.close();
      rmSync(folder, { recursive: true, force: true });
    },
  };
}

/** How a page is looked at. */
export interface View {
  readonly width: number;
  readonly height: number;
  readonly colorScheme: 'light' | 'dark';
}

/** A page that was opened, and everything it complained of or asked for while open. */
export interface OpenPage {
  readonly page: Page;
  readonly complaints: string[];
}

/** Opens markup from a file, watching for console messages, errors, policy violations and requests from the first byte on. `beforeScripts` runs in the page before its own scripts. */
export async function openMarkup(
  browser: Browser,
  name: string,
  markup: string,
  view: View,
  beforeScripts?: () => void,
): Promise<OpenPage> {
  const file = join(browser.folder, `${name}.html`);
  writeFileSync(file, markup);
  const page = await browser.context.newPage();
  const complaints: string[] = [];
  const own = pathToFileURL(file).href;
  page.on('console', (message) => complaints.push(`console ${message.type()}: ${message.text()}`));
  page.on('pageerror', (error) => complaints.push(`error: ${error.message}`));
  page.on('request', (request) => {
    if (request.url() !== own && !/^(data|blob):/.test(request.url())) complaints.push(`request: ${request.url()}`);
  });
  page.on('dialog', (dialog) => {
    complaints.push(`dialog: ${dialog.message()}`);
    void dialog.dismiss();
  });
  await page.addInitScript(() => {
    const seen: string[] = [];
    Object.assign(globalThis, { policyViolations: seen });
    document.addEventListener('securitypolicyviolation', (event) => seen.push(`${event.violatedDirective} ${event.blockedURI}`));
  });
  if (beforeScripts !== undefined) await page.addInitScript(beforeScripts);
  await page.setViewportSize({ width: view.width, height: view.height });
  await page.emulateMedia({ colorScheme: view.colorScheme });
  await page.goto(own);
  return { page, complaints };
}

/** Waits until every figure of the report has been drawn. */
export async function drawn(page: Page): Promise<void> {
  await page.waitForFunction(
    () => [...document.querySelectorAll<HTMLElement>('.plot')].every((plot) => plot.dataset.drawn === 'true'),
    undefined,
    { timeout: 20_000 },
  );
}

/** Policy violations since the page was opened. */
export async function violations(page: Page): Promise<string[]> {
  return page.evaluate(() => (globalThis as unknown as { policyViolations: string[] }).policyViolations);
}
