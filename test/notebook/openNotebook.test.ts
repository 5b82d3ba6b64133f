import { emptyFigure, type Figure, powerFigure } from '@pullproof/figures';
import {
  check,
  compare,
  forecast,
  type NotebookDisplay,
  openNotebook,
  plan,
  reconcile,
  type StillPictures,
  stillPictures,
} from '@pullproof/notebook';
import { describe, expect, test } from 'vitest';
import { inventedTrials } from '../report/inventedTrials.js';

interface Put {
  readonly kind: 'html' | 'png';
  readonly content: string;
}

/** A display that keeps what is put out. */
function recorder(): NotebookDisplay & { readonly put: Put[] } {
  const put: Put[] = [];
  return {
    put,
    html: (content) => put.push({ kind: 'html', content }),
    png: (bytes) => put.push({ kind: 'png', content: String(bytes.length) }),
  };
}

const noPictures: StillPictures = { take: async () => null, reason: () => 'none wanted', close: async () => {} };
const aPicture: StillPictures = { take: async () => Uint8Array.of(1, 2, 3), reason: () => null, close: async () => {} };
const [result] = Object.values(inventedTrials);
const attack = '</script><script>alert(1)</script><img src=x onerror=alert(2)>$\\href{javascript:alert(3)}{x}$';

describe('a notebook', () => {
  test('holds the plotting library exactly once, whatever is shown', async () => {
    const display = recorder();
    const { show, table, summary } = openNotebook(display, { pictures: noPictures });
    await show(powerFigure(result!));
    await show(powerFigure(result!));
    table([{ a: 1 }]);
    summary(result!);
    const withLibrary = display.put.filter(({ content }) => content.includes('plotly.js v4'));
    expect(withLibrary).toHaveLength(1);
    expect(withLibrary[0]).toBe(display.put[0]);
    expect(display.put.slice(1).every(({ content }) => content.length < 400_000)).toBe(true);
  });

  test('asks nothing of a network: no element loads anything', () => {
    const display = recorder();
    openNotebook(display, { pictures: noPictures });
    const outside = display.put[0]!.content.replace(/<script>[\s\S]*?<\/script>/g, '<script></script>');
    expect(outside).not.toMatch(/\b(?:src|href)=|url\(|@import/);
    expect(display.put[0]!.content.match(/<script>/g)).toHaveLength(2);
    expect(display.put[0]!.content.match(/<\/script>/g)).toHaveLength(2);
  });

  test('puts the still picture before the drawing that takes its place', async () => {
    const display = recorder();
    await openNotebook(display, { pictures: aPicture }).show(powerFigure(result!), { caption: 'Power' });
    expect(display.put.map(({ kind }) => kind)).toEqual(['html', 'png', 'html']);
    expect(display.put[2]!.content).toContain('"picture":true');
    expect(display.put[2]!.content).toMatch(/class="pullproof figure" id="[^"]+" style="display:none"/);
  });

  test('without a browser it draws all the same, and says once why there is no picture', async () => {
    const display = recorder();
    const { show } = openNotebook(display, { pictures: stillPictures('/no/such/browser') });
    await show(powerFigure(result!));
    await show(powerFigure(result!));
    expect(display.put.map(({ kind }) => kind)).not.toContain('png');
    expect(display.put.filter(({ content }) => content.includes('No still pictures'))).toHaveLength(1);
    expect(display.put[1]!.content).toContain('"picture":false');
    expect(display.put[1]!.content).toContain('Wheel power against engine speed');
  });

  test('a figure with nothing to draw says why', async () => {
    const display = recorder();
    await openNotebook(display, { pictures: aPicture }).show(emptyFigure('No pull was found <here>.'));
    expect(display.put.map(({ kind }) => kind)).toEqual(['html', 'html']);
    expect(display.put[1]!.content).toContain('No pull was found &lt;here&gt;.');
  });

  test('hostile names are inert in figure, summary and table', async () => {
    const display = recorder();
    const hostile = JSON.parse(
      JSON.stringify(result).replaceAll(JSON.stringify(result!.setups[0]!.name).slice(1, -1), JSON.stringify(attack).slice(1, -1)),
    ) as typeof result;
    const { show, table, summary } = openNotebook(display, { pictures: noPictures });
    await show(powerFigure(hostile!) satisfies Figure, { caption: attack });
    summary(hostile!);
    table([{ [attack]: attack }]);
    for (const { content } of display.put.slice(1)) {
      expect(content).not.toContain('<img');
      expect(content).not.toContain('</script><script>');
      expect(content).not.toContain('alert(1)</script>');
    }
  });
});

describe('a summary', () => {
  const shownBy = (put: (notebook: ReturnType<typeof openNotebook>) => void): string => {
    const display = recorder();
    put(openNotebook(display, { pictures: noPictures }));
    return display.put.at(-1)!.content;
  };

  test('answer and warning line come first, then numbers with band and standing, then cautions', () => {
    const text = shownBy(({ summary }) => summary(result!));
    const places = [
      result!.overall[0]!.sentence.slice(0, 20),
      result!.warning.sentence.slice(0, 20),
      '<th scope="col" class="">Standing</th>',
    ].map((part) => text.indexOf(part.replaceAll("'", '&#39;')));
    expect(places.every((place) => place > 0)).toBe(true);
    expect([...places].sort((a, b) => a - b)).toEqual(places);
  });

  test('every number in its table has a band or says why not, and a standing', () => {
    const text = shownBy(({ summary }) => summary(result!));
    const rows = [...text.matchAll(/<tr>((?:<td[^>]*>[^<]*<\/td>)+)<\/tr>/g)].map(([, row = '']) =>
      [...row.matchAll(/>([^<]*)</g)].map(([, cell = '']) => cell).filter(Boolean),
    );
    expect(rows.length).toBeGreaterThan(3);
    for (const row of rows) expect(row).toHaveLength(4);
  });
});

describe('questions', () => {
  const trial = 'sample-logs/trial.yaml';

  test('logs alone are a question: what was not stated is assumed and listed', async () => {
    const answer = await compare({ before: ['sample-logs/base-north.csv'], after: ['sample-logs/cooler-north.csv'] });
    expect(answer.setups.map(({ name, pulls }) => [name, pulls.length])).toEqual([
      ['before', 3],
      ['after', 3],
    ]);
    expect(answer.assumptions.map(({ quantity }) => quantity).join()).toContain('mass of the car');
  });

  test('a trial that is edited answers otherwise; the file stays as it is', async () => {
    const renamed = await compare(trial, { edit: (text) => text.replaceAll('74 mm pulley', 'little pulley') });
    expect(renamed.setups.at(-1)!.name).toBe('little pulley');
  });

  test.each([
    ['a trial file that is not there', () => compare('no/such.yaml'), 'E_INPUT'],
    ['a log that is not there', () => compare({ before: ['no/such.csv'] }), 'E_INPUT'],
    ['a folder', () => forecast('sample-logs'), 'E_INPUT'],
    ['a trial with a mistake', () => reconcile(trial, { edit: (text) => text.replace('driver: 78 kg', 'driver: 78') }), 'E_UNIT_MISSING'],
    ['a plan without a file', () => plan('no/such.yaml'), 'E_INPUT'],
  ])('%s gives a result that says so, and a summary that shows it', async (_what, ask, code) => {
    const answer = await ask();
    expect(answer.findings[0]!.code.startsWith(code)).toBe(true);
    const display = recorder();
    openNotebook(display, { pictures: noPictures }).summary(answer);
    expect(display.put[1]!.content).toContain('No answer');
    expect(display.put[1]!.content).toContain(answer.findings[0]!.code);
  });

  test('a log that cannot be read is an entry that says why', async () => {
    const { logs } = await check('sample-logs/base-north.csv', 'no/such.csv');
    expect(logs[0]!.findings.filter(({ severity }) => severity === 'error')).toEqual([]);
    expect(logs[1]!.findings[0]!.code).toBe('E_INPUT');
  });
});
