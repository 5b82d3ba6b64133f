import { mkdirSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import { differences } from '../../tools/notebooks/golden.js';
import { pageProblems } from '../../tools/notebooks/openPages.js';
import { root } from '../../tools/process.js';

describe('golden numbers', () => {
  it.each([
    ['Gain: +5.2 kW (+3.9 to +6.4)', 'Gain: +5.3 kW (+3.9 to +6.4)'],
    ['−0.7 | 4,246', '−0.6 | 4,247'],
    ['no number', 'no number'],
  ])('%s may become %s', (held, shown) => expect(differences([held], [shown])).toEqual([]));

  it.each([
    ['+5.2 kW', '+5.4 kW'],
    ['+0.2 kW', '-0.2 kW'],
    ['gain 5.2', 'loss 5.2'],
    ['4,246 rows', 'NaN rows'],
    ['a line', ''],
  ])('%s may not become %s', (held, shown) => expect(differences([held], shown === '' ? [] : [shown])).toHaveLength(1));

  it('a line that is new is told', () => expect(differences([], ['new'])).toEqual(['held:  \nshown: new']));
});

describe('exported pages', () => {
  const folder = '.tmp/exported-pages';
  afterAll(() => rmSync(join(root, folder), { recursive: true, force: true }));

  const problemsOf = (name: string, body: string): Promise<string[]> => {
    mkdirSync(join(root, folder), { recursive: true });
    writeFileSync(join(root, folder, `${name}.html`), `<!doctype html><meta name="viewport" content="width=device-width"><body>${body}`);
    return pageProblems([`${folder}/${name}.html`]);
  };

  it.each([
    ['request', '<script src="missing.js"></script>', /asks for file:.*missing\.js/],
    ['undrawn', '<div class="pullproof figure"><div class="plot"></div></div>', /0 of 1 figures were drawn/],
    ['wide', '<div style="width:2000px">wide</div>', /the page is 20\d\d wide/],
    ['error', '<script>throw new Error("planted")</script>', /planted/],
    ['no-picture', '<div class="pullproof figure" style="display:none"></div>', /0 still pictures for 1 figures/],
  ])('%s is found', async (name, body, says) => expect((await problemsOf(name, body)).join('\n')).toMatch(says));
});
