import { deflateSync, inflateSync } from 'node:zlib';
import type { TrialResult } from '@pullproof/core';
import { renderReport } from '@pullproof/report';
import { describe, expect, it } from 'vitest';
import { inventedTrials } from './inventedTrials.js';
import { markupOf, topicOf, wordsOf } from './reportText.js';

const trial = (name: string): TrialResult => inventedTrials[name]!;
const reports = Object.fromEntries(Object.entries(inventedTrials).map(([name, result]) => [name, renderReport(result)]));
const report = (name: string): string => reports[name]!;
/** What a reader sees, without scripts and style. */
const markup = (name: string): string => markupOf(report(name));
const words = (name: string): string => wordsOf(markup(name));

/** Says which words are missing, not the whole report. */
const expectWords = (name: string, text: string): void => {
  expect(words(name).includes(text), `the report of ${name} says: ${text}`).toBe(true);
};

describe.each(Object.keys(inventedTrials))('the report of %s', (name) => {
  it('is one file of at most 2 MB that refers to nothing outside', () => {
    expect(Buffer.byteLength(report(name))).toBeLessThan(2_000_000);
    expect(markup(name)).not.toMatch(/\s(src|href)="(?!#)/);
  });

  it('has the policy first in its head', () => {
    expect(report(name)).toMatch(/<head>\s*<meta http-equiv="Content-Security-Policy" content="default-src 'none'; /);
  });

  it('keeps the order of the first screen and of the topics', () => {
    const order = [
      'answer',
      'next',
      'topics',
      'engine',
      'power',
      'pulls',
      'pressure',
      'mixture',
      'conditions',
      'sure',
      'log-quality',
      'computed',
    ];
    const places = order.map((id) => markup(name).indexOf(` id="${id}"`)).filter((place, at) => !(order[at] === 'next' && place < 0));
    expect(places.every((place) => place > 0)).toBe(true);
    expect(places).toEqual([...places].sort((left, right) => left - right));
  });

  it('says every verdict in a word that stands in data-verdict too', () => {
    const marked = [...markup(name).matchAll(/data-verdict="([^"]*)">([\s\S]*?)<\/span>/g)];
    expect(marked.length).toBeGreaterThanOrEqual(trial(name).overall.length > 0 ? 1 : 0);
    for (const [, verdict, shown] of marked) expect(wordsOf(shown!).trim().toLowerCase()).toBe(verdict);
  });

  it('gives every topic a status and a sentence, and opens those that must be read', () => {
    const topics = [
      ...markup(name).matchAll(/<details class="topic state-(\w+)" id="([\w-]+)"( open)?[^>]*>\s*<summary>([\s\S]*?)<\/summary>/g),
    ];
    expect(topics.length).toBeGreaterThan(8);
    for (const [, state, id, open, summary] of topics) {
      expect(/class="status">[^<]+</.test(summary!), id).toBe(true);
      expect(/class="topic-sentence">[^<]{5,}/.test(summary!), id).toBe(true);
      if (state === 'stop') expect(open).toBeDefined();
    }
  });

  it('is the same on repeat', () => {
    expect(renderReport(trial(name))).toBe(report(name));
  });

  it('never says safe, and shows no NaN, undefined or object', () => {
    expect(words(name)).not.toMatch(/\bsafe(ly|ty)?\b/i);
    expect(words(name)).not.toMatch(/NaN|Infinity|undefined|\[object/);
  });
});

describe('the first screen', () => {
  it('answers with the sentence of the result, and advice that is shared only once', () => {
    expect(words('sixSetups').split('it would narrow every band').length).toBe(2);
    const [single] = trial('gain').overall;
    if (trial('gain').comparisons.length === 1) expectWords('gain', single!.sentence.split('. ')[0]!);
  });

  it('puts a stop before everything, opens its topic and says what to do about it first', () => {
    const text = markup('airExplains');
    expect(text).toMatch(/<ul class="strip"[^>]*><li class="stop"><a href="#engine">Stop: lambda/);
    expect(text.indexOf('class="stop"')).toBeLessThan(text.indexOf('data-verdict'));
    expect(text).toMatch(/<details class="topic state-stop" id="engine" open/);
    expect(markup('gain')).not.toContain('class="stop"');
    expect(markup('nothing')).toMatch(/<li class="caution"><a href="#engine">/);
  });

  it('says what could be why before what could not', () => {
    const answer = markup('airExplains').slice(0, markup('airExplains').indexOf('id="topics"'));
    const text = wordsOf(answer);
    expect(text).toMatch(/air density [+−]\d+\.\d%: yes , about \+7\.8 hp/);
    expect(text.indexOf('air density')).toBeLessThan(text.indexOf('Not why:'));
    expect(text).toMatch(/Not why: .*charge temperature at the start of the pull/);
  });

  it('asks first for what no verdict can be given without, and lists what would narrow the margin', () => {
    const input = {
      field: 'setups[0].air.pressure',
      group: 'weather',
      label: 'pressure, base',
      assumed: { value: 98900, spread: 2000, unit: 'Pa' },
      standing: 'assumed',
      of: 'difference',
      marginNow: 0.154,
      marginThen: 0.018,
      decides: true,
      sentence: 'Weather of each setup: no verdict without it.',
    } as const;
    const sharpen = [input, { ...input, field: 'setups[1].air.pressure' }];
    const page = renderReport({ ...trial('gain'), sharpen });
    expect(wordsOf(markupOf(page))).toMatch(/What to do next Enter: Weather of each setup: no verdict without it\. /);
    expect(wordsOf(topicOf(page, 'sure'))).toContain('the difference 15.4% 1.8% setups[0].air.pressure, setups[1].air.pressure');
  });

  it('says so when nothing was compared', () => {
    expect(renderReport({ ...trial('gain'), overall: [], comparisons: [] })).toContain('Nothing was compared');
  });
});

describe('the rest', () => {
  it('gives every finding with place and remedy', () => {
    const text = words('everyFinding');
    for (const finding of trial('everyFinding').findings) {
      expect(text).toContain(finding.code);
      expect(text).toContain(finding.message);
      if (finding.fix !== '') expect(text).toContain(finding.fix);
      if (finding.where.path !== undefined) expect(text).toContain(finding.where.path);
    }
    expect(text.indexOf('E_TIME_ORDER')).toBeLessThan(text.indexOf('W_GAP'));
  });

  it('shows corrected power only where it was asked for, with its warning', () => {
    expect(markup('gain')).not.toContain('id="corrected"');
    expect(words('airExplains')).toMatch(/ISO 1585 1\.021/);
    expectWords('airExplains', 'the standard was not written for it');
  });

  it('sets conditions and mass side by side, runs of like conditions in one column', () => {
    expectWords('gain', '74-mm-pulley-a.csv, 74-mm-pulley-b.csv');
    // Worked by hand: 1547.8 kg is 3,412.3 lb at 0.45359237 kg each; 295.15 K is 71.6 °F.
    expectWords('gain', 'car entered: scale 3478 lb less 40 L of fuel 3,412.3');
    expectWords('gain', 'Air temperature entered 71.6 ± 1.1 °F');
    const [first, ...others] = trial('gain').setups;
    const [run, ...runs] = first!.runs;
    const windier = {
      ...trial('gain'),
      setups: [{ ...first!, runs: [{ ...run!, windMps: { ...run!.windMps, value: 3 } }, ...runs] }, ...others],
    };
    expect(renderReport(windier)).not.toContain('74-mm-pulley-a.csv, 74-mm-pulley-b.csv');
  });

  it('lists assumptions with their spread, and what makes up the band', () => {
    expectWords('gain', 'rotating factor, gear 3 1.075 ± 0.020 published default every run car.wheel-inertia');
    expectWords('gain', 'level road every run none');
    // Worked by hand: 0.71² / (0.71² + 0.58² + 0.31² + 0.12² + 0.09²) = 53 %.
    expectWords('gain', 'pull to pull measured 0.71 53%');
    expectWords('gain', 'all together 0.98');
  });

  it('carries provenance: version, rows, rows dropped, hash, settings', () => {
    const text = words('gain');
    for (const input of trial('gain').provenance.inputs) expect(text).toContain(input.sha256);
    expect(text).toContain('74-mm-pulley-b.csv 6,151 3 ');
    expect(text).toContain('outing-component 0.01');
  });

  it('gives every figure words and a table, or the reason why there is none', () => {
    for (const name of Object.keys(inventedTrials)) {
      const figures = [...markup(name).matchAll(/<figure[\s\S]*?<\/figure>/g)].map((match) => match[0]);
      expect(figures.length).toBeGreaterThan(5);
      for (const figure of figures)
        expect(figure).toMatch(
          /class="no-figure"|<svg class="figure"[\s\S]*<details class="numbers">[\s\S]*<p id="figure-\d+-words">[^<]{20,}<\/p>[\s\S]*<table>/,
        );
    }
  });
});

describe('what is packed', () => {
  it('is what stands there unpacked otherwise', () => {
    const pack = (text: string): string => deflateSync(text).toString('base64');
    const packed = renderReport(trial('gain'), { pack });
    const block = /id="more-data" data-packed="yes">([A-Za-z0-9+/=]*)<\/script>/.exec(packed)![1]!;
    const plain = /id="more-data" data-packed="no">([\s\S]*?)<\/script>/.exec(report('gain'))![1]!;
    expect(inflateSync(Buffer.from(block, 'base64')).toString('utf8')).toBe(plain);
    expect(packed.length).toBeLessThan(report('gain').length);
  });

  it('holds the other units as the same report would show them', () => {
    const metric = { ...trial('gain'), units: 'metric' as const };
    const both = renderReport(trial('gain'), { otherUnits: metric });
    const { other } = JSON.parse(/id="more-data" data-packed="no">([\s\S]*?)<\/script>/.exec(both)![1]!) as {
      other: { units: string; body: string; figures: object };
    };
    expect(other.units).toBe('metric');
    expect(wordsOf(other.body)).toBe(wordsOf(/<main>[\s\S]*<\/main>/.exec(markupOf(renderReport(metric)))![0]));
    expect(both).toContain('data-units="metric"');
    expect(report('gain')).not.toContain('<button type="button" data-units');
  });
});

describe('hostile text', () => {
  it('makes no element, no attribute and no script', () => {
    expect(markup('hostile')).not.toMatch(/<(img|a href="javascript|script)/);
    expect(markup('hostile')).not.toMatch(/[\u0000-\u0008\u001b\u202e\u2028]/);
    const data = /id="more-data" data-packed="no">([\s\S]*?)<\/script>/.exec(report('hostile'))![1]!;
    expect(data).not.toMatch(/[<>&\u2028]/);
    expect(Object.keys((JSON.parse(data) as { figures: object }).figures).length).toBeGreaterThan(5);
  });

  it('is still readable for what it is', () => {
    expectWords('hostile', '<img src=x onerror="window.hostile=1">');
  });

  it('does not grow the page by a name of ten thousand characters', () => {
    expect(words('hostile').includes('x'.repeat(200))).toBe(false);
  });
});
