import { mkdtempSync, readFileSync, writeFileSync } from 'node:fs';
import { createServer, type Server } from 'node:http';
import type { AddressInfo } from 'node:net';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath, pathToFileURL } from 'node:url';
import { checkLog, newTrial, readLog, runTrial, type TrialResult } from '@pullproof/core';
import type { Browser, BrowserContext, Page } from 'puppeteer-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { parse, stringify } from 'yaml';
import { buildPage } from '../../tools/page.js';
import { browserNames, launch, until, watched } from './browsers.js';

/** Pullproof in a browser, from disk and from a server, as a person goes through it. */

const sample = (name: string): string => fileURLToPath(new URL(`../../sample-logs/${name}`, import.meta.url));
let file: string;
let server: Server;
let served: string;

beforeAll(async () => {
  ({ file } = await buildPage());
  const page = readFileSync(file);
  const policy = /Content-Security-Policy" content="([^"]*)"/.exec(page.toString())![1]!;
  server = createServer((_, response) =>
    response
      .writeHead(200, {
        'content-type': 'text/html; charset=utf-8',
        'content-security-policy': policy,
        'x-content-type-options': 'nosniff',
      })
      .end(page),
  );
  await new Promise<void>((listening) => server.listen(0, '127.0.0.1', listening));
  served = `http://127.0.0.1:${(server.address() as AddressInfo).port}/`;
}, 120_000);
afterAll(() => server?.close());

/** Without what is left to fill in, and the groups that stand empty then. */
function unmarked(value: unknown): unknown {
  if (Array.isArray(value)) return value.map(unmarked);
  if (typeof value !== 'object' || value === null) return value === null || /FILL IN/.test(String(value)) ? undefined : value;
  const kept = Object.entries(value).flatMap(([key, one]) => (unmarked(one) === undefined ? [] : [[key, unmarked(one)]]));
  return kept.length === 0 ? undefined : Object.fromEntries(kept);
}

/** What `compare` makes of logs alone: nothing entered, setups by file name. */
function fromLogsAlone(names: readonly string[]): TrialResult {
  const bytes = new Map(names.map((name) => [name, readFileSync(sample(name))]));
  const text = newTrial(names.map((name) => checkLog(readLog(bytes.get(name)!, { path: name }))));
  return runTrial(stringify(unmarked(parse(text))), 'trial.yaml', (path) => ({ chunks: bytes.get(path)! }));
}

const words = (page: Page): Promise<string[]> =>
  page.$$eval('[data-verdict]', (all) => all.map((one) => `${(one as HTMLElement).dataset.verdict}: ${one.textContent}`));

/** The answer's numbers, as the page would save them. */
async function savedAnswer(page: Page): Promise<TrialResult> {
  return JSON.parse(await saved(page, 'Answer as JSON')) as TrialResult;
}

async function saved(page: Page, button: string): Promise<string> {
  await page.evaluate(() => {
    const made = URL.createObjectURL.bind(URL);
    const taken = globalThis as unknown as { taken?: Promise<string> };
    URL.createObjectURL = (blob: Blob) => {
      taken.taken = blob.text();
      return made(blob);
    };
    HTMLAnchorElement.prototype.click = () => {};
  });
  await page.evaluate((text) => [...document.querySelectorAll('button')].find((one) => one.textContent === text)!.click(), button);
  return until('a file to save', () =>
    page.evaluate(async () => {
      const taken = globalThis as unknown as { taken?: Promise<string> };
      const text = await taken.taken;
      delete taken.taken;
      return text ?? '';
    }),
  );
}

const settled = (page: Page): Promise<unknown> =>
  until('the answer', () =>
    page.evaluate(
      () => document.querySelector('.answer')?.getAttribute('aria-busy') === 'false' && document.querySelector('[data-verdict]') !== null,
    ),
  );

async function choose(page: Page, paths: readonly string[]): Promise<void> {
  const input = await page.$('input[type=file][multiple]');
  await (input as unknown as { uploadFile(...paths: string[]): Promise<void> }).uploadFile(...paths);
}

/** Enters texts by the ids of their fields, as typing and leaving each would. */
async function type(page: Page, fields: readonly (readonly [id: string, text: string])[]): Promise<string[]> {
  return page.evaluate(
    async (all) => {
      // Its fields are made when a part is opened; the questions below have parts of their own.
      const closed = (): HTMLDetailsElement[] =>
        [...document.querySelectorAll<HTMLDetailsElement>('section[aria-labelledby=details-title] details.part')].filter(
          ({ open }) => !open,
        );
      while (closed().length > 0) {
        for (const details of closed()) details.open = true;
        await new Promise((next) => setTimeout(next, 50));
      }
      const absent: string[] = [];
      for (const [id, text] of all) {
        const field = document.getElementById(id) as HTMLInputElement | HTMLSelectElement | null;
        if (field === null) {
          absent.push(id);
          continue;
        }
        field.value = text;
        field.dispatchEvent(new Event('change', { bubbles: true }));
        await new Promise((next) => setTimeout(next, 5));
      }
      return absent;
    },
    fields as [string, string][],
  );
}

/** Puts logs into a setup of their own, by the list in each card, and names it. */
async function gather(page: Page, name: string, logs: readonly string[]): Promise<void> {
  await page.evaluate(
    async (cards, text) => {
      const pause = (): Promise<void> => new Promise((next) => setTimeout(next, 20));
      const card = (log: string): Element | null => document.querySelector(`article[aria-label="${log}"]`);
      const setup = (log: string): Element | null => card(log)?.closest('[data-setup-place]') ?? null;
      const nameOf = (log: string): HTMLInputElement | null => setup(log)?.querySelector<HTMLInputElement>('input.name') ?? null;
      const moved = async (log: string, to: string, there: () => boolean): Promise<void> => {
        while (card(log)?.querySelector('select') == null) await pause();
        const select = card(log)!.querySelector('select')!;
        select.value = to;
        select.dispatchEvent(new Event('change', { bubbles: true }));
        while (!there()) await pause();
      };
      const [first, ...others] = cards as [string, ...string[]];
      await moved(first, String(document.querySelectorAll('.setup .name').length), () => nameOf(first)?.value === 'after the change');
      for (const log of others)
        await moved(log, setup(first)!.getAttribute('data-setup-place')!, () => setup(log) === setup(first) && setup(log) !== null);
      const field = nameOf(first)!;
      field.value = text;
      field.dispatchEvent(new Event('change', { bubbles: true }));
      while (setup(first)?.getAttribute('aria-label') !== `Setup ${text}`) await pause();
    },
    logs as string[],
    name,
  );
}

function leaves(value: unknown, at = ''): [string, string][] {
  if (Array.isArray(value) && value.every((one) => typeof one === 'number')) return [[at, value.join(', ')]];
  if (typeof value !== 'object' || value === null) return [[at, String(value)]];
  const entries = Array.isArray(value)
    ? value.map((one, i) => [`[${i}]`, one] as const)
    : Object.entries(value).map(([key, one]) => [`${at === '' ? '' : '.'}${key}`, one] as const);
  return entries.flatMap(([key, one]) => leaves(one, at + key));
}

describe.each(browserNames)('the page in %s', (name) => {
  let browser: Browser;
  let close: () => Promise<void>;
  beforeAll(async () => {
    ({ browser, close } = await launch(name));
  });
  afterAll(() => close?.());

  const open = async (url: string, context?: BrowserContext): Promise<{ page: Page; complaints: string[] }> => {
    // A context of its own: what one visit keeps is not there in the next.
    const page = await (context ?? (await browser.createBrowserContext())).newPage();
    const complaints = watched(page, url);
    await page.goto(url);
    return { page, complaints };
  };

  it.each(['from disk', 'from a server'])('%s: two logs, and the verdict of the same logs without another click', async (from) => {
    const { page, complaints } = await open(from === 'from disk' ? pathToFileURL(file).href : served);
    const logs = ['base-north.csv', 'pulley-north.csv'];
    await choose(page, logs.map(sample));
    await settled(page);
    const expected = fromLogsAlone(logs);
    expect((await words(page))[0]).toContain(expected.overall[0]!.sentence);
    expect((await words(page))[0]).toMatch(new RegExp(`^${expected.overall[0]!.verdict}:`));
    const answer = await savedAnswer(page);
    const [given, wanted] = [answer, expected].map(({ comparisons }) => comparisons[0]!.wheelPowerW);
    expect(given!.difference).toHaveLength(wanted!.difference.length);
    for (const [i, watt] of given!.difference.entries())
      expect(Math.abs(watt! - wanted!.difference[i]!)).toBeLessThan(1e-6 * Math.max(1, Math.abs(wanted!.difference[i]!)));
    expect(complaints).toEqual([]);
    await page.close();
  });

  it('the trial of the sample typed in gives the verdict and sentence of the sample', async () => {
    const { page, complaints } = await open(pathToFileURL(file).href);
    const text = readFileSync(sample('trial.yaml'), 'utf8');
    const trial = parse(text) as { setups: { name: string; runs: { log: string }[] }[]; slips?: unknown };
    const { slips: _, ...typed } = trial;
    const logs = typed.setups.flatMap(({ runs }) => runs.map(({ log }) => log));
    // Dropped setup by setup, so that they stand in the order of the trial.
    await choose(page, logs.map(sample));
    await settled(page);
    for (const { name: setup, runs } of typed.setups)
      await gather(
        page,
        setup,
        runs.map(({ log }) => log),
      );
    const absent = await type(
      page,
      leaves(typed).filter(([id]) => !/(^trial|\.log|setups\[\d\]\.name|changes)$/.test(id) && !id.includes('.changes')),
    );
    expect(absent).toEqual([]);
    await until(
      'nothing left to do',
      async () => (await page.evaluate(() => document.querySelector('.answer')?.getAttribute('aria-busy'))) === 'false',
    );
    const expected = runTrial(text, 'trial.yaml', (path) => ({ chunks: readFileSync(sample(path)), sha256: () => '' }));
    const answer = await savedAnswer(page);
    expect(answer.overall.map(({ verdict, sentence }) => [verdict, sentence])).toEqual(
      expected.overall.map(({ verdict, sentence }) => [verdict, sentence]),
    );
    expect(complaints).toEqual([]);
    await page.close();
  }, 120_000);

  it('a trial that was saved opens again beside its logs, and a broken file takes no other along', async () => {
    const { page, complaints } = await open(pathToFileURL(file).href);
    const logs = ['base-north.csv', 'cooler-north.csv'];
    await choose(page, logs.map(sample));
    await settled(page);
    await type(page, [['car.weighed.mass', '3260 lb']]);
    await until('the weight counts', async () => (await saved(page, 'Trial file')).includes('mass: 3260 lb'));
    const trial = await saved(page, 'Trial file');
    expect(trial).toContain('log: base-north.csv');
    await page.evaluate(() => [...document.querySelectorAll('button')].find((one) => one.textContent === 'Wipe everything')!.click());
    await until('an empty page', () => page.evaluate(() => document.querySelector('article') === null));
    const folder = mkdtempSync(join(tmpdir(), 'pullproof-page-'));
    const hostile = '<img src=x onerror=alert(1)>.csv';
    writeFileSync(join(folder, 'trial.yaml'), trial);
    writeFileSync(join(folder, hostile), 'Time (s),<script>alert(1)</script>\n0,"1\n');
    writeFileSync(join(folder, 'picture.csv'), Buffer.from([0x89, 0x50, 0x4e, 0x47, 0, 1, 2, 3]));
    writeFileSync(join(folder, 'empty.csv'), '');
    await choose(page, [
      join(folder, 'trial.yaml'),
      ...logs.map(sample),
      join(folder, hostile),
      join(folder, 'picture.csv'),
      join(folder, 'empty.csv'),
    ]);
    await settled(page);
    const refused = await page.$$eval('article.refused', (all) => all.map((one) => one.textContent));
    expect(refused).toHaveLength(3);
    for (const text of refused) expect(text).toMatch(/E_[A-Z_]+/);
    expect((await words(page))[0]).toMatch(/cooler\S* vs base/);
    expect(await page.evaluate(() => document.querySelector('script[src],img') === null)).toBe(true);
    expect(complaints).toEqual([]);
    await page.close();
  }, 120_000);

  it('an implausible value is told at its field, and the answer before it stays', async () => {
    const { page } = await open(pathToFileURL(file).href);
    await choose(page, ['base-north.csv', 'cooler-north.csv'].map(sample));
    await settled(page);
    const before = await words(page);
    await type(page, [['car.weighed.mass', '14 lb']]);
    const told = await until('a word at the field', () => page.evaluate(() => document.querySelector('.help.wrong')?.textContent ?? ''));
    expect(told).toMatch(/14 lb/);
    expect(await words(page)).toEqual(before);
    await page.close();
  }, 120_000);

  it('forecast, slip against log and plan of the sample by its button', async () => {
    const { page, complaints } = await open(pathToFileURL(file).href);
    await page.evaluate(() => [...document.querySelectorAll('button')].find((one) => one.textContent === 'Try the sample')!.click());
    await until('the answer to the sample', async () => (await words(page)).length >= 2, 60_000);
    await until('nothing left to do', () => page.evaluate(() => document.querySelector('.answer')?.getAttribute('aria-busy') === 'false'));
    expect((await words(page))[0]).toMatch(/^gain:/);
    // The log of a slip makes no setup of its own.
    expect(await page.$$eval('.setup .name', (all) => all.map((one) => (one as HTMLInputElement).value))).toEqual([
      'base',
      'large charge cooler',
      '74 mm pulley',
    ]);
    for (const question of ['What will it run at the strip?', 'Do slip and log agree?', 'How many more pulls would settle it?']) {
      await page.evaluate((text) => {
        const details = [...document.querySelectorAll<HTMLDetailsElement>('details')].find(
          (one) => one.querySelector('summary')?.textContent === text,
        )!;
        details.open = true;
      }, question);
      await until(question, () =>
        page.evaluate(
          (text) => document.querySelector<HTMLIFrameElement>(`iframe[title="${text}"]`)?.contentDocument?.querySelector('main') != null,
          question,
        ),
      );
    }
    expect(complaints).toEqual([]);
    await page.close();
  }, 180_000);

  it('takes up the last visit where it ended, and forgets it when told', async () => {
    const context = await browser.createBrowserContext();
    const first = await open(served, context);
    await choose(first.page, ['base-north.csv', 'cooler-north.csv'].map(sample));
    await settled(first.page);
    const told = await words(first.page);
    await new Promise((kept) => setTimeout(kept, 500));
    await first.page.close();
    const second = await open(served, context);
    await settled(second.page);
    expect(await words(second.page)).toEqual(told);
    await second.page.evaluate(() =>
      [...document.querySelectorAll('button')].find((one) => one.textContent === 'Wipe everything')!.click(),
    );
    await until('an empty page', () => second.page.evaluate(() => document.querySelector('article') === null));
    await new Promise((wiped) => setTimeout(wiped, 500));
    await second.page.close();
    const third = await open(served, context);
    await new Promise((restored) => setTimeout(restored, 1500));
    expect(await third.page.evaluate(() => document.querySelector('article'))).toBeNull();
    await context.close();
  }, 120_000);
});
