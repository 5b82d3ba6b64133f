import { cautions } from '@pullproof/report';
import { describe, expect, test } from 'vitest';
import { differencePlot } from '../../packages/cli/src/terminal/differencePlot.js';
import { inertText } from '../../packages/cli/src/terminal/inertText.js';
import { table, visibleWidth, wrapped } from '../../packages/cli/src/terminal/layout.js';
import { Progress } from '../../packages/cli/src/terminal/progress.js';
import { pullCaution } from '../../packages/cli/src/terminal/pullCaution.js';
import { shownBy, styleFor } from '../../packages/cli/src/terminal/style.js';
import { summary } from '../../packages/cli/src/terminal/summary.js';
import { supplyLines } from '../../packages/cli/src/terminal/supplyText.js';
import { inventedTrials } from '../report/inventedTrials.js';

const stream = (isTTY: boolean, columns = 80) => ({ write: () => {}, isTTY, columns });
const utf8 = { LANG: 'de_DE.UTF-8' };

describe('style', () => {
  test.each([
    [true, utf8, true],
    [false, utf8, false],
    [true, { ...utf8, NO_COLOR: '1' }, false],
    [true, { ...utf8, NO_COLOR: '' }, true],
    [true, { ...utf8, TERM: 'dumb' }, false],
  ])('terminal %s with %j: colours %s', (isTTY, env, coloured) => {
    expect(styleFor(stream(isTTY), env).bold('x') !== 'x').toBe(coloured);
  });

  test.each([
    [utf8, true],
    [{ LANG: 'C' }, false],
    [{ LC_ALL: 'C', LANG: 'de_DE.UTF-8' }, false],
    [{ LC_CTYPE: 'C.utf8' }, true],
    [{}, false],
    [{ ...utf8, TERM: 'dumb' }, false],
  ])('%j: more than ASCII %s', (env, unicode) => {
    expect(styleFor(stream(false), env).unicode).toBe(unicode);
  });

  test('without UTF-8 our signs become ASCII, and others escapes', () => {
    expect(shownBy('−4 ± 2 °C, 2,000–3,000 … λ 日', styleFor(stream(false), {}))).toBe('-4 +/- 2 degC, 2,000-3,000 ... lambda \\u{65e5}');
  });
});

describe('untrusted text', () => {
  test('control, escape, direction and invisible characters are shown, not acted on', () => {
    // Source: Unicode Standard Annex 9 (bidirectional controls) and ECMA-48 (control sequences), by code point.
    const bidi = ['\u061c', '\u200e', '\u200f', '\u202a', '\u202b', '\u202c', '\u202d', '\u202e', '\u2066', '\u2067', '\u2068', '\u2069'];
    const controls = [...Array(32).keys(), 127, ...Array.from({ length: 32 }, (_, i) => 128 + i)].map((code) => String.fromCharCode(code));
    for (const character of [...bidi, ...controls, '\u2028', '\u2029', '\ufeff', '\u00ad', '\ud800', '\u{e0041}']) {
      expect(inertText(`a${character}b`)).toBe(`a\\u{${character.codePointAt(0)!.toString(16)}}b`);
    }
    expect(inertText('Öl °C λ 日本')).toBe('Öl °C λ 日本');
  });

  test('a long name is cut', () => {
    expect(inertText('x'.repeat(10_000), 60)).toBe(`${'x'.repeat(59)}…`);
  });
});

describe('layout', () => {
  test('width counts what is seen', () => {
    expect([visibleWidth('abc'), visibleWidth('日本'), visibleWidth('e\u0301'), visibleWidth('\u001b[1mab\u001b[0m')]).toEqual([
      3, 4, 1, 2,
    ]);
  });

  test('lines are broken at spaces within the width; nothing is lost', () => {
    const text = 'one two three four five six seven eight nine ten';
    const lines = wrapped(text, 20, '- ', '  ');
    expect(Math.max(...lines.map(visibleWidth))).toBeLessThanOrEqual(20);
    expect(lines.map((line) => line.slice(2)).join(' ')).toBe(text);
  });

  test('columns stand in line and the table fits', () => {
    const rows = [
      ['a very long name that has to be cut somewhere', '1'],
      ['日本', '-22'],
    ];
    const lines = table(
      [
        { title: 'name', flexible: true },
        { title: 'number', align: 'right' },
      ],
      rows,
      { width: 30, unicode: true },
    );
    expect(lines.map(visibleWidth)).toEqual([30, 30, 30]);
    expect(lines[1]).toContain('…');
  });
});

describe('plot', () => {
  const rpm = Array.from({ length: 41 }, (_, i) => 2500 + 100 * i);
  const plotted = {
    engineSpeedRpm: rpm,
    difference: rpm.map((at) => (at > 5500 ? null : (at - 3500) / 100)),
    low: rpm.map((at) => (at > 5500 ? null : (at - 3500) / 100 - 3)),
    high: rpm.map((at) => (at > 5500 ? null : (at - 3500) / 100 + 3)),
    unit: 'kW',
  };

  test('stays within its width, in ASCII where need be', () => {
    const lines = differencePlot(plotted, { width: 80, unicode: false });
    expect(Math.max(...lines.map((line) => line.length))).toBeLessThanOrEqual(80);
    expect(lines.join('')).toMatch(/^[\u0020-\u007e]*$/);
  });

  test('draws the value where it is: rising through zero at 3,500 rpm, nothing above 5,500', () => {
    const lines = differencePlot(plotted, { width: 80, unicode: false });
    const zero = lines.find((line) => /^ +0 \|/.test(line))!;
    const at = (zero.indexOf('#') + zero.lastIndexOf('#')) / 2 - 10;
    const shownRpm = 2500 + (4000 * at) / 68;
    expect(Math.abs(shownRpm - 3500)).toBeLessThan(120);
    const lastDrawn = Math.max(...lines.slice(1, -2).map((line) => Math.max(line.lastIndexOf('#'), line.lastIndexOf(':')))) - 10;
    expect(2500 + (4000 * lastDrawn) / 68).toBeLessThan(5600);
    const rows = lines.slice(1, -2).map((line) => line.indexOf('#'));
    const drawn = rows.filter((column) => column >= 0);
    expect(drawn).toEqual([...drawn].sort((a, b) => b - a));
  });

  test('there is no plot of nothing', () => {
    expect(
      differencePlot(
        { ...plotted, difference: rpm.map(() => null), low: rpm.map(() => null), high: rpm.map(() => null) },
        { width: 80, unicode: true },
      ),
    ).toEqual([]);
    expect(differencePlot({ engineSpeedRpm: [], difference: [], low: [], high: [], unit: 'kW' }, { width: 80, unicode: true })).toEqual([]);
  });

  test('a difference of exactly zero is drawn on the zero line', () => {
    const flat = { ...plotted, difference: rpm.map(() => 0), low: rpm.map(() => 0), high: rpm.map(() => 0) };
    const lines = differencePlot(flat, { width: 80, unicode: false });
    expect(lines.filter((line) => line.includes('#'))).toHaveLength(1);
  });
});

describe('progress', () => {
  function told(isTTY: boolean, stepMs: number, steps: number): string {
    let nowMs = 0;
    let text = '';
    const write = (more: string) => {
      text += more;
    };
    const progress = new Progress({ now: () => nowMs, stderr: { write, isTTY, columns: 80 } } as never);
    for (let i = 0; i < steps; i++) {
      nowMs += stepMs;
      progress.reading('a\u001b.csv', i, steps);
    }
    progress.clear();
    return text;
  }

  test('is shown after a second, on a terminal only, and taken away', () => {
    expect(told(true, 100, 9)).toBe('');
    expect(told(false, 1000, 9)).toBe('');
    const shown = told(true, 400, 9);
    expect(shown).toContain('reading a\\u{1b}.csv: 88 %');
    expect(shown.endsWith('\r\u001b[K')).toBe(true);
  });

  test('is not written more than ten times a second', () => {
    expect(told(true, 1, 3000).split('\r').length - 2).toBeLessThanOrEqual(21);
  });
});

describe('summary of invented results', () => {
  test.each(Object.keys(inventedTrials))('%s: every sentence is there, within 80 columns, without control characters', (name) => {
    const result = inventedTrials[name]!;
    const text = summary(result, styleFor(stream(false), utf8), 'out/report.html');
    const words = text.replaceAll(/\s+/g, ' ');
    for (const { sentence, next } of result.overall) {
      expect(words).toContain(inertText(sentence).replaceAll(/\s+/g, ' '));
      for (const step of next) expect(words).toContain(inertText(step).replaceAll(/\s+/g, ' '));
    }
    expect(words).toContain(inertText(result.warning.sentence).replaceAll(/\s+/g, ' '));
    expect(words).toContain('out/report.html');
    for (const { code, severity } of result.findings)
      if (severity !== 'note') expect(words).toContain(inertText(code).replaceAll(/\s+/g, ' '));
    for (const line of text.split('\n'))
      if (line.includes(' ')) expect(visibleWidth(line.replace(/\S{60,}/g, '')), line).toBeLessThanOrEqual(80);
    expect(text).not.toMatch(/[\u0000-\u0009\u000b-\u001f\u007f-\u009f\u202a-\u202e\u2066-\u2069]/);
    expect(text).not.toMatch(/NaN|undefined|\[object/);
  });

  test('ends with the caution on pulls where advice was given, in the words of the report', () => {
    expect(cautions[0]).toBe(pullCaution);
    const text = summary(inventedTrials.gain!, styleFor(stream(false), utf8), null).replaceAll(/\s+/g, ' ');
    expect(inventedTrials.gain!.overall[0]!.next.length).toBeGreaterThan(0);
    expect(text).toContain(pullCaution);
  });

  test('says headroom as forecast beside that as measured', () => {
    for (const result of Object.values(inventedTrials)) {
      const words = supplyLines(result, styleFor(stream(false), utf8))
        .join(' ')
        .replaceAll(/\s+/g, ' ');
      for (const { fuelSupply } of result.setups)
        for (const { sentence } of fuelSupply?.headroom ?? []) expect(words).toContain(inertText(sentence).replaceAll(/\s+/g, ' '));
    }
    expect(
      Object.values(inventedTrials).some(({ setups }) => setups.some(({ fuelSupply }) => (fuelSupply?.headroom.length ?? 0) > 1)),
    ).toBe(true);
  });

  test('is ASCII on a plain terminal', () => {
    const text = summary(inventedTrials.gain!, styleFor(stream(false), {}), null);
    expect(text).toMatch(/^[\n\u0020-\u007e]*$/);
    expect(text).toContain('--report');
  });
});
