import { readFileSync } from 'node:fs';
import { createServer, type Server } from 'node:http';
import type { AddressInfo } from 'node:net';
import { fileURLToPath, pathToFileURL } from 'node:url';
import { checkLog, newTrial, readLog, runTrial, type TrialResult } from '@pullproof/core';
import type { Browser, Page } from 'puppeteer-core';
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

/** What `compare` makes of logs alone: nothing entered, setups by file name. */
function fromLogsAlone(names: readonly string[]): TrialResult {
  const bytes = new Map(names.map((name) => [name, readFileSync(sample(name))]));
  const text = newTrial(names.map((name) => checkLog(readLog(bytes.get(name)!, { path: name }))));
  const bare = JSON.stringify(parse(text), (_, value) => (typeof value === 'string' && value.includes('FILL IN') ? undefined : value));
  return runTrial(stringify(JSON.parse(bare)), 'trial.yaml', (path) => ({ chunks: bytes.get(path)!, sha256: () => '' }));
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
      for (let round = 0; round < 4; round++) {
        for (const details of document.querySelectorAll<HTMLDetailsElement>('details.part'))
          if (!/strip|settle|in these logs|agree/.test(details.textContent ?? '')) details.open = true;
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

  const open = async (url: string): Promise<{ page: Page; complaints: string[] }> => {
    const page = await browser.newPage();
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
    given!.difference.forEach((watt, i) =>
      expect(Math.abs(watt! - wanted!.difference[i]!)).toBeLessThan(1e-6 * Math.max(1, Math.abs(wanted!.difference[i]!))),
    );
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
    expect(answer.overall.map(({ verdict }) => verdict)).toEqual(expected.overall.map(({ verdict }) => verdict));
    expect(complaints).toEqual([]);
    await page.close();
  }, 120_000);
});
