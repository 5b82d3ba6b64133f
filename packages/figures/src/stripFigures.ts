import type { ForecastResult, ReconcileResult } from '@pullproof/core';
import { axis, baseLayout, levelTitle } from './baseLayout.js';
import { displayUnits } from './displayUnits.js';
import { emptyFigure, type Figure, type KeyEntry, type PlotlyObject } from './figure.js';
import { labelText } from './labelText.js';
import { numberText, plotNumber } from './numberText.js';
import { setupStyle } from './palette.js';

const methodWords = { simulated: 'before any slip', 'simulated-learned': 'matched to your slips' } as const;

/** The method to show for a setup: learned where there is one. */
export function bestForecasts(result: ForecastResult): ForecastResult['forecasts'] {
  const setups = [...new Set(result.forecasts.map(({ setup }) => setup))];
  return setups.flatMap((setup) => result.forecasts.findLast((one) => one.setup === setup && one.draws !== null) ?? []);
}

/**
 * The forecast as a spread of passes over elapsed time and trap speed, with the slips in it.
 * @param result from `forecastTrial`
 * @returns a figure as plain data
 */
export function forecastSpreadFigure(result: ForecastResult): Figure {
  const shown = bestForecasts(result);
  if (shown.length === 0) return emptyFigure('No pass could be simulated: a power curve and the gears are needed.');
  const { speed } = displayUnits[result.units];
  const data: PlotlyObject[] = [];
  const key: KeyEntry[] = [];
  shown.forEach((forecast, i) => {
    const style = setupStyle(i);
    const draws = forecast.draws!;
    data.push({
      type: 'scatter',
      mode: 'markers',
      x: draws.etS.slice(0, 250).map(plotNumber),
      y: draws.trapMps.slice(0, 250).map((v) => plotNumber(speed.fromSi(v))),
      marker: { color: `role:${style.role}/0.35`, size: 4, symbol: style.symbol },
      hoverinfo: 'skip',
      name: labelText(forecast.setup),
      showlegend: false,
    });
    key.push({
      label: `${forecast.setup}, ${methodWords[forecast.method as keyof typeof methodWords]}: possible passes`,
      role: style.role,
      kind: 'marker',
      symbol: style.symbol,
    });
  });
  const slips = result.slips.filter(({ timesS, speedsMps }) => timesS['1320ft'] !== undefined && speedsMps['1320ft'] !== undefined);
  if (slips.length > 0) {
    data.push({
      type: 'scatter',
      mode: 'markers',
      x: slips.map(({ timesS }) => plotNumber(timesS['1320ft'])),
      y: slips.map(({ speedsMps }) => plotNumber(speed.fromSi(speedsMps['1320ft']!))),
      marker: { color: 'role:text', size: 11, symbol: 'x' },
      text: slips.map(({ name, setup }) => labelText(`${name}, ${setup}`)),
      hovertemplate: '%{text}<br>%{x:.2f} s, %{y:.1f}<extra></extra>',
      name: 'slips',
      showlegend: false,
    });
    key.push({ label: 'slips, each in its own air', role: 'text', kind: 'marker', symbol: 'x' });
  }
  return {
    data,
    layout: baseLayout({
      hovermode: 'closest',
      xaxis: axis({
        title: { text: 'Elapsed time, s', font: { size: 13, color: 'role:text' }, standoff: 8 },
        tickformat: '.2f',
        nticks: 7,
      }),
      yaxis: axis({ nticks: 6 }),
      annotations: [levelTitle(`Trap speed, ${speed.symbol}`)],
    }),
    summary: shown
      .map(
        ({ setup, etS, trapMps }) =>
          `${setup}: ${numberText(etS.value, 2)} s (${numberText(etS.low, 2)} to ${numberText(etS.high, 2)}), ${numberText(speed.fromSi(trapMps.value), 1)} ${speed.symbol} (${numberText(speed.fromSi(trapMps.low), 1)} to ${numberText(speed.fromSi(trapMps.high), 1)}).`,
      )
      .join(' '),
    table: {
      columns: ['Setup', 'Elapsed time, s', 'Low', 'High', `Trap speed, ${speed.symbol}`, 'Low', 'High'],
      rows: shown.map(({ setup, etS, trapMps }) => [
        setup,
        ...[etS.value, etS.low, etS.high].map((t) => numberText(t, 2)),
        ...[trapMps.value, trapMps.low, trapMps.high].map((v) => numberText(speed.fromSi(v), 1)),
      ]),
    },
    key,
    notes: [],
    status: null,
  };
}

interface Motion {
  readonly label: string;
  readonly distanceM: readonly number[];
  readonly speedMps: readonly number[];
}

/** Speed against distance with the marks of the strip. */
function motionFigure(motions: readonly Motion[], units: ForecastResult['units'], empty: string): Figure {
  if (motions.length === 0) return emptyFigure(empty);
  const { speed } = displayUnits[units];
  const feet = [60, 330, 660, 1000, 1320];
  const key: KeyEntry[] = [];
  const data = motions.map(({ label, distanceM, speedMps }, i): PlotlyObject => {
    const style = setupStyle(i);
    key.push({ label, role: style.role, kind: 'line', dash: style.dash });
    return {
      type: 'scatter',
      mode: 'lines',
      x: distanceM.map(plotNumber),
      y: speedMps.map((v) => plotNumber(speed.fromSi(v))),
      line: { color: `role:${style.role}`, width: 2, dash: style.dash },
      name: labelText(label),
      showlegend: false,
      meta: { setup: i, label: labelText(label) },
    };
  });
  const at = (motion: Motion, metres: number): number => {
    const i = Math.max(
      1,
      motion.distanceM.findIndex((m) => m >= metres),
    );
    const [m0, m1] = [motion.distanceM[i - 1]!, motion.distanceM[i]!];
    return motion.speedMps[i - 1]! + ((motion.speedMps[i]! - motion.speedMps[i - 1]!) * (metres - m0)) / (m1 - m0);
  };
  const rows = feet.map((ft) => [`${ft} ft`, ...motions.map((motion) => numberText(speed.fromSi(at(motion, ft * 0.3048)), 1))]);
  return {
    data,
    layout: baseLayout({
      xaxis: axis({
        title: { text: 'Distance from the start of the clock, ft', font: { size: 13, color: 'role:text' }, standoff: 8 },
        tickvals: feet.map((ft) => ft * 0.3048),
        ticktext: feet.map(String),
        range: [-5, 415],
      }),
      yaxis: axis({ nticks: 6, rangemode: 'tozero' }),
      annotations: [levelTitle(`Speed, ${speed.symbol}`)],
    }),
    summary: motions
      .map(
        (motion) =>
          `${motion.label}: ${feet.map((ft) => `${numberText(speed.fromSi(at(motion, ft * 0.3048)), 0)} ${speed.symbol} at ${ft} ft`).join(', ')}.`,
      )
      .join(' '),
    table: { columns: ['Mark', ...motions.map(({ label }) => `${label}, ${speed.symbol}`)], rows },
    key,
    notes: [],
    status: null,
  };
}

/**
 * Speed against distance of each setup's most likely pass.
 * @param result from `forecastTrial`
 * @returns a figure as plain data
 */
export function forecastMotionFigure(result: ForecastResult): Figure {
  const motions = bestForecasts(result).flatMap(({ setup, motion }) => (motion === null ? [] : [{ label: setup, ...motion }]));
  return motionFigure(motions, result.units, 'No pass could be simulated.');
}

/**
 * Speed against distance of each logged pass, scaled to its slip.
 * @param result from `reconcileTrial`
 * @returns a figure as plain data
 */
export function loggedMotionFigure(result: ReconcileResult): Figure {
  const motions = result.slips.flatMap(({ name, setup, motion }) => (motion === null ? [] : [{ label: `${name}, ${setup}`, ...motion }]));
  return motionFigure(motions, result.units, 'No slip has a log in which its pass was found.');
}

/**
 * What each uncertain input contributes to the spread of the forecast.
 * @param result from `forecastTrial`
 * @returns a figure as plain data, for the last setup
 */
export function inputSharesFigure(result: ForecastResult): Figure {
  const forecast = bestForecasts(result).at(-1);
  if (forecast === undefined) return emptyFigure('No pass could be simulated.');
  const shares = [...forecast.shares].sort((a, b) => b.et - a.et).filter(({ et, trap }) => Math.abs(et) > 0.01 || Math.abs(trap) > 0.01);
  const bar = (values: readonly number[], role: string, name: string, pattern: string): PlotlyObject => ({
    type: 'bar',
    orientation: 'h',
    x: values.map((v) => plotNumber(100 * v)),
    y: shares.map(({ input }) => labelText(input)),
    marker: { color: `role:${role}`, pattern: { shape: pattern, size: 6, solidity: 0.25 } },
    name,
    showlegend: false,
    hovertemplate: '%{y}: %{x:.0f} %<extra></extra>',
  });
  const ofTime = shares.map(({ et }) => et);
  const ofTrap = shares.map(({ trap }) => trap);
  return {
    data: [bar(ofTime, 'setup1', 'elapsed time', ''), bar(ofTrap, 'setup2', 'trap speed', '/')],
    layout: baseLayout({
      barmode: 'group',
      hovermode: 'closest',
      height: 120 + 34 * shares.length,
      xaxis: axis({ title: { text: 'Where the margin comes from, %', font: { size: 13, color: 'role:text' }, standoff: 8 }, nticks: 6 }),
      yaxis: axis({ autorange: 'reversed', ticks: '' }),
    }),
    summary: `${forecast.setup}: ${shares.map(({ input, et, trap }) => `${input} ${numberText(100 * et, 0)} % of elapsed time, ${numberText(100 * trap, 0)} % of trap speed`).join('; ')}.`,
    table: {
      columns: ['Input', 'Elapsed time, %', 'Trap speed, %'],
      rows: shares.map(({ input, et, trap }) => [input, numberText(100 * et, 0), numberText(100 * trap, 0)]),
    },
    key: [
      { label: 'elapsed time', role: 'setup1', kind: 'band' },
      { label: 'trap speed', role: 'setup2', kind: 'hatch' },
    ],
    notes: forecast.shares.some(({ et, trap }) => et < -0.01 || trap < -0.01)
      ? ['Where slips have tied two inputs together, one of them may show a negative share: they make up for each other.']
      : [],
    status: null,
  };
}
