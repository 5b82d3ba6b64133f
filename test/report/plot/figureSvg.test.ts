import { describe, expect, it } from 'vitest';
import type { Drawing } from '../../../packages/report/src/plot/drawing.js';
import { drawFigure } from '../../../packages/report/src/plot/figureSvg.js';
import { readingsAt } from '../../../packages/report/src/plot/readout.js';
import { ticksBy, ticksWithin, tickTexts } from '../../../packages/report/src/plot/ticks.js';

const drawing = (given: Partial<Drawing['layout']> = {}, trace: Partial<Drawing['data'][number]> = {}): Drawing => ({
  data: [
    {
      type: 'scatter',
      mode: 'lines',
      x: [2000, 3000, 4000, 5000],
      y: [0, 10, null, 20],
      line: { color: 'role:setup1', width: 2 },
      name: 'base',
      customdata: ['0 kW', '10 kW', '', '20 kW'],
      hovertemplate: '%{customdata}<extra>%{fullData.name}</extra>',
      meta: { setup: 0, label: 'base' },
      ...trace,
    },
  ],
  layout: {
    height: 340,
    margin: { l: 44, r: 10, t: 34, b: 44 },
    xaxis: { title: { text: 'Engine speed, rpm' }, tickformat: ',d' },
    yaxis: { rangemode: 'tozero' },
    ...given,
  },
});
const paths = (svg: string, role: string): string[] =>
  [...svg.matchAll(new RegExp(`<path d="([^"]*)" fill="none" class="s-${role}"`, 'g'))].map((match) => match[1]!);

describe('a figure as SVG', () => {
  it('puts every value where its axes say, and breaks the line where there is none', () => {
    const { svg, frame } = drawFigure(drawing(), { width: 400 });
    // Worked by hand: x from left to right edge, y from the floor (zero) to the top of the panel less its slack.
    const [panel] = frame.panels;
    expect(frame.toPx(2000)).toBe(frame.left);
    expect(frame.toPx(5000)).toBe(frame.right);
    expect(frame.fromPx(frame.toPx(3700))).toBeCloseTo(3700, 9);
    expect(panel!.toPx(0)).toBeCloseTo(340 - 44, 9);
    const [line] = paths(svg, 'setup1');
    expect(line!.split('M')).toHaveLength(3);
    const start = line!
      .split(/[ML ]/)
      .filter((part) => part !== '')
      .map(Number);
    expect(start[0]).toBeCloseTo(frame.left, 0);
    expect(start[1]).toBeCloseTo(296, 0);
    expect(svg).not.toContain('NaN');
  });

  it('shows a part of the axis, with the vertical axis of that part', () => {
    const whole = drawFigure(drawing(), { width: 400 }).frame;
    const part = drawFigure(drawing(), { width: 400, range: [2000, 3000] }).frame;
    expect([part.low, part.high]).toEqual([2000, 3000]);
    expect(part.panels[0]!.high).toBeLessThan(whole.panels[0]!.high);
  });

  it('leaves out setups that are switched off', () => {
    expect(paths(drawFigure(drawing(), { width: 400, hidden: new Set([0]) }).svg, 'setup1')).toEqual([]);
  });

  it('names lines at their ends where there is room, in a row on a phone, and not where a key does', () => {
    const named = (width: number, keyed: boolean): number => drawFigure(drawing({ keyed }), { width }).svg.split('>base</text>').length - 1;
    expect([named(700, false), named(390, false), named(390, true), named(700, true)]).toEqual([1, 1, 0, 1]);
  });

  it('stacks panels, and gives axes that match one range', () => {
    const two: Drawing = {
      data: [drawing().data[0]!, { ...drawing().data[0]!, y: [0, 100, 50, 20], yaxis: 'y2' }],
      layout: { ...drawing().layout, yaxis: { domain: [0.55, 1] }, yaxis2: { domain: [0, 0.45], matches: 'y' } },
    };
    const { panels } = drawFigure(two, { width: 400 }).frame;
    expect(panels.map(({ name }) => name)).toEqual(['y', 'y2']);
    expect(panels[0]!.bottom).toBeLessThan(panels[1]!.top);
    expect([panels[0]!.low, panels[0]!.high]).toEqual([panels[1]!.low, panels[1]!.high]);
  });

  it('makes text from outside inert', () => {
    const { svg } = drawFigure(drawing({}, { meta: { label: '<script>"&' } }), { width: 700 });
    expect(svg).toContain('&lt;script&gt;&quot;&amp;');
    expect(svg).not.toContain('<script');
  });

  it('keeps every text at 13 px, whatever the figure asks for', () => {
    expect(drawFigure(drawing(), { width: 400 }).svg).not.toContain('font-size');
  });
});

describe('ticks', () => {
  it('are round numbers within the range', () => {
    expect(ticksWithin(0, 10, 5)).toEqual([0, 2, 4, 6, 8, 10]);
    expect(ticksWithin(-0.013, 0.012, 5)).toEqual([-0.01, -0.005, 0, 0.005, 0.01]);
    expect(ticksWithin(2470, 6630, 5)).toEqual([3000, 4000, 5000, 6000]);
    expect(ticksBy(1, 6, 1)).toEqual([1, 2, 3, 4, 5, 6]);
    expect(ticksWithin(Number.NaN, 1, 5)).toEqual([]);
  });

  it('are written with the decimals that tell them apart, a true minus and commas', () => {
    expect(tickTexts([-0.01, -0.005, 0], '+.3f')).toEqual(['−0.010', '−0.005', '0.000']);
    expect(tickTexts([1000, 2000], ',d')).toEqual(['1,000', '2,000']);
    expect(tickTexts([0.5, 1], '+.3f')).toEqual(['+0.5', '+1.0']);
  });
});

describe('the readings at a place', () => {
  it('are those nearest to it within reach, with the words of the figure', () => {
    expect(readingsAt(drawing(), 3100, 200)).toMatchObject([{ name: 'base', text: '10 kW', at: 1 }]);
    expect(readingsAt(drawing(), 4000, 200)).toEqual([]);
    const given = drawing({}, { hovertemplate: '%{x:,d} rpm: %{y:.1f} kW<extra>seen</extra>' });
    expect(readingsAt(given, 3000, 200)).toMatchObject([{ name: 'seen', text: '3,000 rpm: 10.0 kW' }]);
  });
});
