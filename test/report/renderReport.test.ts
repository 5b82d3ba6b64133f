import { createHash } from 'node:crypto';
import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { inflateSync } from 'node:zlib';
import type { TrialResult } from '@pullproof/core';
import { renderReport } from '@pullproof/report';
import { describe, expect, it } from 'vitest';
import { inventedTrials } from './inventedTrials.js';

const trial = (name: string): TrialResult => inventedTrials[name]!;
const reports = Object.fromEntries(Object.entries(inventedTrials).map(([name, result]) => [name, renderReport(result)]));
const report = (name: string): string => reports[name]!;
/** What a reader sees, without scripts and style. */
const markup = (name: string): string =>
  report(name)
    .replace(/<script[\s\S]*?<\/script>/g, '')
    .replace(/<style>[\s\S]*?<\/style>/, '');
const words = (name: string): string =>
  markup(name)
    .replace(/<[^>]*>/g, ' ')
    .replace(/&#39;/g, "'")
    .replace(/&quot;/g, '"')
    .replace(/&lt;/g, '<')
    .replace(/&gt;/g, '>')
    .replace(/&amp;/g, '&')
    .replace(/[\s\u00a0]+/g, ' ');

/** Says which words are missing, not the whole report. */
const expectWords = (name: string, text: string): void => {
  expect(words(name).includes(text), `the report of ${name} says: ${text}`).toBe(true);
};

/** The library that the page unpacks and runs. */
const unpackedLibrary = (name: string): string => {
  const packed = /<script type="text\/plain" id="packed-library">([A-Za-z0-9+/=]*)<\/script>/.exec(report(name))![1]!;
  return inflateSync(Buffer.from(packed, 'base64')).toString('utf8');
};

describe.each(Object.keys(inventedTrials))('the report of %s', (name) => {
  it('is one file of at most 2 MB that refers to nothing outside', () => {
    expect(Buffer.byteLength(report(name))).toBeLessThan(2_000_000);
    expect(markup(name)).not.toMatch(/\s(src|href)="(?!#)/);
  });

  it('has the policy first in its head, and the policy names exactly its scripts and style', () => {
    const policy = /<head>\s*<meta http-equiv="Content-Security-Policy" content="([^"]*)">/.exec(report(name))![1]!;
    const hash = (text: string): string => `'sha256-${createHash('sha256').update(text).digest('base64')}'`;
    const run = [...report(name).matchAll(/<script(?: type="module")?>([\s\S]*?)<\/script>/g)].map((match) => match[1]!);
    expect(run).toHaveLength(1);
    expect(policy).toContain(`script-src ${[unpackedLibrary(name), ...run].map(hash).join(' ')};`);
    expect(policy).toContain(hash(/<style>([\s\S]*?)<\/style>/.exec(report(name))![1]!));
  });

  it('keeps the order of the first screen', () => {
    const order = [
      'answer',
      'warning',
      'changed',
      'difference',
      'next',
      'power',
      'pulls',
      'charge-temperature',
      'conditions',
      'assumptions',
      'findings',
      'cautions',
      'provenance',
    ];
    const places = order.map((id) => markup(name).indexOf(`<section id="${id}"`));
    expect(places.every((place) => place > 0)).toBe(true);
    expect(places).toEqual([...places].sort((left, right) => left - right));
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
    for (const overall of trial('sixSetups').overall) expectWords('sixSetups', overall.sentence.split('. ')[0]!);
    expect(words('sixSetups').split('it would narrow every band').length).toBe(2);
  });

  it('shows each warning level in its own way', () => {
    expect(markup('airExplains')).toMatch(/<div class="line role-alarm stop"><p>Stop: lambda/);
    expect(markup('gain')).not.toContain('role-alarm stop');
    expect(markup('nothing')).toContain('class="line role-muted unmeasured"');
  });

  it('names what was not measured, in the sentence or below it, and says nothing twice', () => {
    expect(markup('airExplains')).toContain('<li><b>not measured:</b> knock</li>');
    expect(markup('nothing')).not.toContain('<li><b>not measured');
    const { warning } = trial('airExplains');
    const stop = { ...warning, sentence: `Stop: ${warning.details[0]!.text}` };
    expect(renderReport({ ...trial('airExplains'), warning: stop })).not.toContain('<li><b>lambda:');
  });

  it('puts first what could explain the difference, and only names what could not', () => {
    const text = words('airExplains');
    expect(text.indexOf('air density 0.0719')).toBeLessThan(text.indexOf('spark advance 17.2'));
    expect(text).toContain('could explain it , about +7.8 hp');
    expect(text).toContain('Changed, but cannot explain it: charge temperature at the start of the pull 100.5 → 107.1 °F');
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
    expectWords('gain', 'pull to pull measured 0.71 53 %');
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
        expect(figure).toMatch(/class="no-figure"|<details>[\s\S]*<p id="figure-\d+-words">[^<]{20,}<\/p>[\s\S]*<table>/);
    }
  });
});

describe('the packed library', () => {
  it('unpacks to the library as it is installed, and shows its licence', () => {
    const installed = readFileSync(createRequire(import.meta.url).resolve('plotly.js-cartesian-dist-min'), 'utf8');
    expect(unpackedLibrary('gain') === installed).toBe(true);
    expect(report('gain')).toMatch(/<!-- Packed below: plotly\.js[^<>]*Copyright[^<>]*MIT license\s*-->/);
  });
});

describe('hostile text', () => {
  it('makes no element, no attribute and no script', () => {
    expect(markup('hostile')).not.toMatch(/<(img|a href="javascript|script)/);
    expect(markup('hostile')).not.toMatch(/[\u0000-\u0008\u001b\u202e\u2028]/);
    const data = /id="report-data">([\s\S]*?)<\/script>/.exec(report('hostile'))![1]!;
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
