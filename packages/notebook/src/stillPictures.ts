import { existsSync } from 'node:fs';
import { createRequire } from 'node:module';
import type { FigureOutput } from './figureOutput.js';
import { libraryMarkup } from './library.js';

/** Makes the still picture of a figure, for pages that run no script. */
export interface StillPictures {
  /** PNG of caption, key and plot; null where no picture can be made, and `reason` says why. */
  readonly take: (output: FigureOutput) => Promise<Uint8Array | null>;
  readonly reason: () => string | null;
  readonly close: () => Promise<void>;
}

/** What we use of a browser's page. */
interface BrowserPage {
  setContent(markup: string): Promise<void>;
  evaluate(script: string): Promise<unknown>;
  locator(selector: string): { screenshot(options: { readonly animations: 'disabled' }): Promise<Uint8Array> };
}
interface Browser {
  newPage(options: { readonly viewport: { width: number; height: number }; readonly deviceScaleFactor: number }): Promise<BrowserPage>;
  close(): Promise<void>;
}
interface BrowserLauncher {
  launch(options: { readonly executablePath: string; readonly args: readonly string[] }): Promise<Browser>;
}

const usualPlaces = [
  '/usr/bin/chromium',
  '/usr/bin/chromium-browser',
  '/usr/bin/google-chrome',
  '/Applications/Chromium.app/Contents/MacOS/Chromium',
  '/Applications/Google Chrome.app/Contents/MacOS/Google Chrome',
];
const widthPx = 900;

/**
 * Pictures by a Chromium on this machine, led through playwright-core. Both are optional: without them figures are words and, where scripts run, drawings.
 *
 * @param browserPath the browser; by default what CHROMIUM names, else one in a usual place
 */
export function stillPictures(
  browserPath: string | undefined = process.env.CHROMIUM ?? usualPlaces.find((place) => existsSync(place)),
): StillPictures {
  let started: Promise<{ browser: Browser; page: BrowserPage }> | null = null;
  let reason: string | null = null;
  const start = async (executablePath: string): Promise<{ browser: Browser; page: BrowserPage }> => {
    const { chromium } = createRequire(import.meta.url)('playwright-core') as { chromium: BrowserLauncher };
    // A browser refuses its own walls to the user root; in a container there is often no other.
    const args = process.getuid?.() === 0 ? ['--no-sandbox'] : [];
    const browser = await chromium.launch({ executablePath, args });
    const page = await browser.newPage({ viewport: { width: widthPx, height: 800 }, deviceScaleFactor: 2 });
    await page.setContent(
      `<!doctype html><body style="margin:0;background:#fff;color:#16191d;font-family:system-ui,sans-serif">${libraryMarkup()}<div id="stage"></div>`,
    );
    return { browser, page };
  };
  return {
    take: async (output) => {
      if (reason !== null) return null;
      if (browserPath === undefined || !existsSync(browserPath)) {
        reason = 'no Chromium was found; install one, or name it in CHROMIUM';
        return null;
      }
      try {
        started ??= start(browserPath);
        const { page } = await started;
        // The markup is inert: every text in it was escaped. The drawing is JSON.
        await page.evaluate(
          `document.getElementById('stage').innerHTML=${JSON.stringify(output.block.markup)};window.pullproofDraw("${output.id}",${output.drawing(false)})`,
        );
        return await page.locator(`#${output.id}[style] .plot[data-drawn] >> xpath=..`).screenshot({ animations: 'disabled' });
      } catch (cause) {
        const missing = (cause as NodeJS.ErrnoException).code === 'MODULE_NOT_FOUND';
        const [message = ''] = String(cause instanceof Error ? cause.message : cause).split('\n');
        reason = missing ? 'playwright-core is not installed' : message;
        return null;
      }
    },
    reason: () => reason,
    close: async () => {
      const running = started;
      started = null;
      if (running !== null) await running.then(({ browser }) => browser.close());
    },
  };
}
