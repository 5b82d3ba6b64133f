import { existsSync, mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import puppeteer, { type Browser, type Page } from 'puppeteer-core';

/** The two browsers that pages are tried in, driven by one library: Debian's packages. */
export const browserNames = ['chromium', 'firefox'] as const;
export type BrowserName = (typeof browserNames)[number];

const chromiumSwitches = [
  '--no-sandbox',
  '--disable-gpu',
  '--disable-quic',
  '--no-first-run',
  '--disable-background-networking',
  '--disable-component-update',
  '--disable-sync',
];

/** Starts a browser with a new profile; where it is missing the tests fail and say what to install. */
export async function launch(name: BrowserName): Promise<{ readonly browser: Browser; readonly close: () => Promise<void> }> {
  const executablePath =
    name === 'chromium' ? (process.env.CHROMIUM ?? '/usr/bin/chromium') : (process.env.FIREFOX ?? '/usr/bin/firefox-esr');
  if (!existsSync(executablePath)) {
    const debian = name === 'chromium' ? 'chromium' : 'firefox-esr';
    throw new Error(`${executablePath} is not there. Install the Debian package "${debian}" (apt-get install ${debian}), or name another.`);
  }
  const userDataDir = mkdtempSync(join(tmpdir(), `pullproof-${name}-`));
  const browser =
    name === 'chromium'
      ? await puppeteer.launch({ executablePath, headless: true, userDataDir, args: chromiumSwitches })
      : await puppeteer.launch({ browser: 'firefox', executablePath, headless: true });
  return {
    browser,
    close: async () => {
      await browser.close();
      rmSync(userDataDir, { recursive: true, force: true });
    },
  };
}

/** What a page complained of or asked a network for while it was open. */
export function watched(page: Page, own: string): string[] {
  const complaints: string[] = [];
  page.on('console', (message) => complaints.push(`console ${message.type()}: ${message.text()}`));
  page.on('pageerror', (error) => complaints.push(`error: ${String(error)}`));
  page.on('request', (request) => {
    if (request.url() !== own && !/^(data|blob|about):/.test(request.url())) complaints.push(`request: ${request.url()}`);
  });
  return complaints;
}

/** Asks until the answer is not null, false or empty; a page's own policy forbids the library's way of waiting. */
export async function until<T>(what: string, ask: () => Promise<T>, withinMs = 30_000): Promise<NonNullable<T>> {
  for (const end = Date.now() + withinMs; ; ) {
    const seen = await ask();
    if (seen) return seen;
    if (Date.now() > end) throw new Error(`It did not come: ${what}`);
    await new Promise((wait) => setTimeout(wait, 50));
  }
}
