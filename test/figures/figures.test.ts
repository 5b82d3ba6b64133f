import type { TrialResult } from '@pullproof/core';
import {
  bandFigure,
  bandOutline,
  chargeTemperatureFigure,
  differenceFigure,
  emptyFigure,
  type Figure,
  fuelFigure,
  powerFigure,
  pullSpreadFigure,
  pullsFigure,
  routesFigure,
  topEndFigure,
  torqueFigure,
} from '@pullproof/figures';
import { describe, expect, it } from 'vitest';
import { inventedTrials } from '../report/inventedTrials.js';

const makers: Readonly<Record<string, (result: TrialResult) => Figure>> = {
  difference: (result) => differenceFigure(result),
  power: powerFigure,
  torque: torqueFigure,
  pulls: pullsFigure,
  pullSpread: pullSpreadFigure,
  chargeTemperature: chargeTemperatureFigure,
  pressure: (result) => bandFigure(result, { curve: 'manifoldPressurePa' }),
  lambda: (result) => bandFigure(result, { curve: 'lambda' }),
  duty: (result) => fuelFigure(result, { quantity: 'duty' }),
  shortfall: (result) => fuelFigure(result, { quantity: 'shortfall' }),
  pressureAcross: (result) => fuelFigure(result, { quantity: 'pressureAcross' }),
  fuelFlow: (result) => fuelFigure(result, { quantity: 'fuelFlow' }),
  routes: (result) => routesFigure(result, { setup: 1 }),
  topEnd: (result) => {
    const analysis = result.topEnd?.comparisons[0];
    return analysis === undefined
      ? emptyFigure('The trial has no analysis.')
      : topEndFigure(result, { analysis, observations: analysis.observations.map(({ id }) => id) });
  },
};

const every = Object.keys(inventedTrials).flatMap((trial) => Object.keys(makers).map((maker) => [trial, maker] as const));
const make = (trial: string, maker: string): Figure => makers[maker]!(inventedTrials[trial]!);
const trial = (name: string): TrialResult => inventedTrials[name]!;

describe.each(every)('of the trial %s, the figure %s', (name, maker) => {
  const figure = make(name, maker);

  it('is plain data with words, and numbers as a table', () => {
    expect(JSON.parse(JSON.stringify(figure))).toEqual(figure);
    expect(JSON.stringify(figure)).not.toMatch(/NaN|Infinity|undefined/);
    expect(figure.summary.length).toBeGreaterThan(20);
    for (const row of figure.table.rows) expect(row).toHaveLength(figure.table.columns.length);
  });

  it('either draws something and has a key, or says why not', () => {
    if (figure.status === null) {
      expect(figure.data.length).toBeGreaterThan(0);
      expect(figure.table.rows.length).toBeGreaterThan(0);
      expect(figure.key.length).toBeGreaterThan(0);
    } else {
      expect(figure.data).toEqual([]);
      expect(figure.status).toMatch(/\S \S/);
    }
  });

  it('has as many positions as values in every trace', () => {
    for (const trace of figure.data) expect((trace.x as unknown[]).length).toBe((trace.y as unknown[]).length);
  });

  it('has labels that plotly cannot read as mark-up', () => {
    const texts = [
      ...figure.data.map((trace) => trace.name),
      ...((figure.layout.annotations ?? []) as { text: string }[]).map((item) => item.text),
    ];
    for (const text of texts) expect(text).not.toMatch(/[<>$\u0000-\u001f\u202e]/);
    for (const trace of figure.data)
      expect(
        String(trace.hovertemplate ?? '')
          .replace(/<extra>.*<\/extra>$/, '')
          .replaceAll('%{customdata}', '')
          .replace(/%\{[xy](:[+,.~\w]+)?\}/g, ''),
      ).not.toMatch(/[<>$]|%\{/);
  });
});

describe('the difference', () => {
  const figure = differenceFigure(trial('gain'));
  const named = (name: string): { x: number[]; y: number[]; customdata: string[] } =>
    figure.data.find((trace) => trace.name === name) as never;

  it("is in the trial's units and carries its band in the hover text", () => {
    const comparison = trial('gain').comparisons[0]!.wheelPowerW;
    const at = comparison.engineSpeedRpm.indexOf(3900);
    // Source: 1 hp = 745.69987 W, NIST SP 811 (2008) B.8.
    const [value, low, high] = [comparison.difference, comparison.low, comparison.high].map((values) => values[at]! / 745.69987);
    expect(named('Difference').y[at]).toBeCloseTo(value!, 3);
    expect(named('Difference').customdata[at]).toBe(`+${value!.toFixed(0)} hp (+${low!.toFixed(0)} to +${high!.toFixed(0)})`);
  });

  it('draws each region with its verdict, and how far it stays clear of zero', () => {
    const shapes = figure.layout.shapes as { type: string; x0: number; x1: number; fillcolor?: string }[];
    expect(shapes.filter((shape) => shape.type === 'rect').map((shape) => [shape.x0, shape.x1, shape.fillcolor])).toEqual([
      [3100, 4700, 'role:gain'],
      [5300, 6400, 'role:page'],
    ]);
    expect(shapes).toContainEqual(expect.objectContaining({ type: 'line', x0: 2900, x1: 4900 }));
  });

  it('takes the verdict from the result, never from the curve', () => {
    const without = { ...trial('gain'), comparisons: trial('gain').comparisons.map((comparison) => ({ ...comparison, regions: [] })) };
    expect((differenceFigure(without).layout.shapes as { type: string }[]).filter((shape) => shape.type === 'rect')).toEqual([]);
    expect(differenceFigure(without).summary).not.toMatch(/gain|loss/);
  });

  it('is on one scale with the others against the same setup when asked', () => {
    const ranges = trial('sixSetups').comparisons.map(
      (_, comparison) =>
        (differenceFigure(trial('sixSetups'), { comparison, commonScale: true }).layout.yaxis as { range: number[] }).range,
    );
    expect(new Set(ranges.map((range) => range.join(' '))).size).toBe(1);
    expect(ranges[0]![0]).toBeLessThanOrEqual(0);
  });

  it('leaves out what air could explain where that is not known, and says so', () => {
    const unknown = differenceFigure(trial('missing'));
    expect(unknown.key.map((entry) => entry.kind)).not.toContain('hatch');
    expect(unknown.summary).toContain('What the air alone could do is not known.');
    expect(figure.key.map((entry) => entry.kind)).toContain('hatch');
  });

  it('gives the status where there is nothing to compare', () => {
    expect(differenceFigure(trial('nothing')).status).toContain('no full-load pull');
    expect(differenceFigure(trial('gain'), { comparison: 9 }).status).toContain('two setups');
  });
});

describe('curves', () => {
  it('name the setups that are not shown, with the reason', () => {
    expect(bandFigure(trial('missing'), { curve: 'manifoldPressurePa' }).notes).toEqual([
      'Not shown: before: manifold pressure was not logged.',
    ]);
    expect(bandFigure(trial('missing'), { curve: 'lambda' }).status).toContain('lambda was not logged');
  });

  it('say where a value is only a lower bound', () => {
    const figure = bandFigure(trial('sixSetups'), { curve: 'manifoldPressurePa' });
    expect(figure.key.filter((entry) => entry.label.includes('at least')).length).toBeGreaterThan(0);
    expect(figure.data.some((trace) => (trace.customdata as string[] | undefined)?.[0]?.startsWith('at least '))).toBe(true);
  });

  it('draw a level line in the unit of the axis', () => {
    const figure = bandFigure(trial('gain'), { curve: 'lambda', levels: [{ valueSi: 0.8, label: 'target <b>' }] });
    expect(figure.layout.shapes).toEqual([expect.objectContaining({ y0: 0.8, y1: 0.8 })]);
  });

  it('follow metric units', () => {
    expect((powerFigure(trial('onePull')).layout.annotations as { text: string }[])[0]!.text).toBe('Wheel power, kW');
    expect(torqueFigure(trial('onePull')).table.columns[1]).toBe('standard duct, N m');
  });

  it('draw setups with their own colour, line and marker', () => {
    const lines = powerFigure(trial('sixSetups')).data.filter((trace) => trace.mode === 'lines+markers') as unknown as {
      line: { color: string; dash: string };
      marker: { symbol: string };
    }[];
    for (const look of [
      (line: (typeof lines)[number]) => line.line.color,
      (line: (typeof lines)[number]) => line.line.dash,
      (line: (typeof lines)[number]) => line.marker.symbol,
    ]) {
      expect(new Set(lines.map(look)).size).toBe(6);
    }
  });
});

describe('pulls', () => {
  it('show what was used apart from what was cut, and give the reason of one left out', () => {
    const figure = pullsFigure(trial('gain'));
    const used = figure.data.filter((trace) => String(trace.hovertemplate).includes('used'));
    const cut = figure.data.filter((trace) => String(trace.hovertemplate).includes(', cut'));
    expect([used.length, cut.length]).toEqual([9, 9]);
    expect(figure.data.filter((trace) => String(trace.hovertemplate).includes('left out: throttle closed'))).toHaveLength(1);
    const pull = trial('gain').setups[0]!.pulls[0]!;
    const keptRpm = pull.trace.engineSpeedRpm.filter((value, index) => pull.trace.kept[index] === 1 && value !== null);
    expect((used[0]!.y as (number | null)[]).filter((value) => value !== null)).toEqual(keptRpm);
  });
});

describe('how far pulls lie apart', () => {
  it('is each pull against the curve of its setup, in per cent', () => {
    const figure = pullSpreadFigure(trial('gain'));
    const setup = trial('gain').setups[0]!;
    const line = figure.data.find((trace) => trace.mode === 'lines' && trace.fill === undefined) as unknown as { x: number[]; y: number[] };
    const at = line.x.indexOf(4000);
    const curveAt = setup.curves.wheelPowerW!.engineSpeedRpm.indexOf(4000);
    const wanted = (setup.pulls[0]!.wheelPowerW.value[at]! / setup.curves.wheelPowerW!.value[curveAt]! - 1) * 100;
    expect(Math.abs(wanted)).toBeGreaterThan(0.05);
    expect(line.y[at]).toBeCloseTo(wanted, 2);
  });

  it('needs two pulls', () => {
    expect(pullSpreadFigure(trial('onePull')).status).toContain('two pulls');
    expect(pullSpreadFigure(trial('nothing')).notes).toEqual(['Not shown: new plugs: fewer than two pulls with a power curve.']);
  });
});

describe('charge temperature', () => {
  it('draws the least-squares line through the starts', () => {
    // Worked by hand: for y = 10, 20, 60 at x = 1, 2, 3 the slope is 25 and the line runs from 5 to 55.
    const base = trial('gain');
    const starts = [10, 20, 60];
    const setup = {
      ...base.setups[0]!,
      pulls: starts.map((celsius, place) => ({ ...base.setups[0]!.pulls[place]!, startChargeTemperatureK: celsius + 273.15 })),
    };
    const figure = chargeTemperatureFigure({ ...base, units: 'metric', setups: [setup] });
    const line = figure.data.find((trace) => trace.mode === 'lines') as unknown as { x: number[]; y: number[] };
    expect(line.x).toEqual([1, 3]);
    expect(line.y[0]).toBeCloseTo(5, 3);
    expect(line.y[1]).toBeCloseTo(55, 3);
    expect(figure.summary).toContain('trend +25.0 °C a pull');
  });

  it('keeps the outings of a setup apart, by marker and by line', () => {
    const base = trial('gain');
    const setup = base.setups[1]!;
    const twice = { ...setup, pulls: [...setup.pulls, ...setup.pulls.map((pull) => ({ ...pull, outing: 'monday <b>' }))] };
    const figure = chargeTemperatureFigure({ ...base, setups: [twice] });
    const points = figure.data.filter((trace) => trace.mode === 'markers') as unknown as { x: number[]; marker: { symbol: string } }[];
    expect(points.map((trace) => [trace.x, trace.marker.symbol])).toEqual([
      [[1, 2, 3], 'circle'],
      [[1, 2, 3], 'circle-open'],
    ]);
    expect(figure.key.map((entry) => entry.label)).toEqual([
      '70 mm pulley, sunday',
      '70 mm pulley, monday <b>',
      'straight line through them',
    ]);
  });

  it('draws no line through fewer than three pulls, and says when nothing was logged', () => {
    expect(chargeTemperatureFigure(trial('onePull')).data.every((trace) => trace.mode === 'markers')).toBe(true);
    expect(chargeTemperatureFigure(trial('missing')).status).toContain('neither seen nor ruled out');
  });
});

describe('bandOutline', () => {
  it('closes one polygon for each unbroken stretch', () => {
    const outline = bandOutline([1, 2, 3, 4], [0, 1, null, 3], [5, 6, 7, 8]);
    expect(outline.x).toEqual([1, 2, 2, 1, null, 4, 4]);
    expect(outline.y).toEqual([5, 6, 1, 0, null, 8, 3]);
  });
});

describe('the evidence of the top end', () => {
  const result = trial('gain');
  const analysis = result.topEnd!.comparisons[0]!;
  const figure = topEndFigure(result, { analysis, observations: ['manifold-pressure', 'charge-temperature'] });

  it('has a panel for each observation, in the order asked for', () => {
    const titles = (figure.layout.annotations as { text: string }[]).map(({ text }) => text);
    expect(titles).toEqual(['Manifold pressure, psi', 'Charge temperature, °F']);
    expect(new Set(figure.data.map((trace) => trace.yaxis))).toEqual(new Set(['y', 'y2']));
  });

  it('marks the two windows', () => {
    const spans = (figure.layout.shapes as { x0: number; x1: number }[]).map(({ x0, x1 }) => [x0, x1]);
    expect(spans).toEqual([analysis.fade.lowRpm, analysis.fade.topRpm]);
  });

  it('draws the mean of each pull where its readings lie, and lists them', () => {
    const means = figure.data.find((trace) => trace.mode === 'markers' && trace.yaxis === 'y2' && trace.name === '74 mm pulley')!;
    // Source: °F = K × 9/5 − 459.67, NIST SP 811 (2008) B.8.
    const own = analysis.observations[1]!.samples.filter(({ setup }) => setup === '74 mm pulley');
    expect(means.x).toEqual(own.map(({ fromRpm, toRpm }) => (fromRpm + toRpm) / 2));
    (means.y as number[]).forEach((value, index) => {
      expect(value).toBeCloseTo((own[index]!.mean * 9) / 5 - 459.67, 1);
    });
    expect(figure.table.rows).toHaveLength(analysis.observations[0]!.samples.length + analysis.observations[1]!.samples.length);
  });

  it('says so where there is nothing along engine speed', () => {
    expect(topEndFigure(result, { analysis, observations: ['no-such'] }).status).toMatch(/None of what was looked at/);
  });
});

describe('the fuel supply', () => {
  it('shows duty in per cent with its two limits', () => {
    const figure = fuelFigure(trial('gain'), { quantity: 'duty' });
    const line = figure.data.find((trace) => trace.name === '74 mm pulley')!;
    expect((line.y as number[])[0]).toBe(42);
    expect((figure.layout.shapes as { y0: number }[]).map(({ y0 }) => y0)).toEqual([85, 100]);
  });

  it('says which channel would tell', () => {
    expect(fuelFigure(trial('missing'), { quantity: 'duty' }).status).toContain('Log injector duty, or pulse width');
  });
});

describe('the routes to power', () => {
  it('draws open routes and says what would open the others', () => {
    const figure = routesFigure(trial('gain'), { setup: 0 });
    expect(figure.key.map(({ label }) => label)).toEqual(['Motion, by wheel power and driveline loss', 'Fuel, by injectors']);
    expect(figure.notes).toEqual(['Not shown: Air, by manifold pressure and charge temperature: Enter the displacement.']);
  });
});
