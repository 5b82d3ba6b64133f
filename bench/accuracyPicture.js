// Draws docs/pictures/accuracy.png from bench/factorResults.json: node bench/accuracyPicture.js
import { existsSync, readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import path from 'node:path';
import { chromium } from 'playwright-core';
import { root } from '../tools/process.js';

const browserPath = process.env.CHROMIUM ?? '/usr/bin/chromium';
if (!existsSync(browserPath)) throw new Error(`${browserPath} is not there: install chromium, or name it in CHROMIUM`);

const { factors, power } = JSON.parse(readFileSync(path.join(root, 'bench', 'factorResults.json'), 'utf8'));
const usual = factors[0];
const percent = (values) => values.map((value) => 100 * value);

/** Factor → title of its panel and the value that the usual log has. */
const panels = [
  ['rows a second', 'Rows a second', '25'],
  ['noise of engine speed, rpm', 'Noise of engine speed, rpm', '4'],
  ['step of engine speed, rpm', 'Step of engine speed, rpm', '1'],
  ['step of road speed, km/h', 'Step of road speed, km/h', '0.1'],
  ['new readings a second in rows of 50', 'New readings a second (of 50 rows)', null],
  ['pulls of each setup', 'Pulls of each setup', '3'],
];
const measured = '#0b5fa5';
const limit = '#b4541a';
const shades = ['#9ec5e8', '#5b9bd0', '#1f6fb2', '#0a3d6b'];

const axisNames = (index) => (index === 0 ? ['x', 'y'] : [`x${index + 1}`, `y${index + 1}`]);
const traces = [];
const layout = {
  width: 800,
  height: 820,
  paper_bgcolor: '#ffffff',
  plot_bgcolor: '#ffffff',
  font: { family: 'sans-serif', size: 12, color: '#222222' },
  margin: { l: 52, r: 14, t: 56, b: 48 },
  showlegend: true,
  legend: { orientation: 'h', x: 0, y: 1.075, font: { size: 12 } },
  annotations: [],
};
const rows = [
  [0.74, 1],
  [0.4, 0.66],
  [0, 0.29],
];
const place = (index, [row, left, right], { title, x, y }) => {
  const [xName, yName] = axisNames(index).map((name) => name.replace(/^(.)/, '$1axis'));
  layout[xName] = { domain: [left, right], anchor: axisNames(index)[1], linecolor: '#888888', ticks: 'outside', ticklen: 3, ...x };
  layout[yName] = { domain: rows[row], anchor: axisNames(index)[0], gridcolor: '#e6e6e6', zerolinecolor: '#888888', ...y };
  layout.annotations.push({
    text: title,
    xref: 'paper',
    yref: 'paper',
    x: (left + right) / 2,
    y: rows[row][1],
    xanchor: 'center',
    yanchor: 'bottom',
    showarrow: false,
    font: { size: 12.5 },
  });
};

const thirds = [
  [0, 0.29],
  [0.355, 0.645],
  [0.71, 1],
];
const errorTicks = [0.05, 0.1, 0.2, 0.5, 1, 2];
const most =
  100 * Math.max(...panels.flatMap(([factor]) => factors.filter((row) => row.factor === factor).flatMap((row) => [row.bound, row.curve])));
panels.forEach(([factor, title, usualName], index) => {
  const own = factors.filter((row) => row.factor === factor).map((row) => ({ ...row, x: Number.parseFloat(row.name) }));
  if (usualName !== null) own.push({ ...usual, x: Number(usualName) });
  own.sort((a, b) => a.x - b.x);
  const [xaxis, yaxis] = axisNames(index);
  const x = own.map((row) => String(row.x));
  const line = (name, values, color, dash) => ({
    type: 'scatter',
    mode: 'lines+markers',
    name,
    x,
    y: percent(values),
    xaxis,
    yaxis,
    line: { color, width: 2, dash },
    marker: { color, size: 6 },
    showlegend: index === 0,
  });
  traces.push(
    line(
      'error of the curve (root mean square)',
      own.map((row) => row.curve),
      measured,
      'solid',
    ),
    line(
      'Cramér–Rao bound',
      own.map((row) => row.bound),
      limit,
      'dot',
    ),
  );
  place(index, [Math.floor(index / 3), ...thirds[index % 3]], {
    title,
    x: { type: 'category' },
    y: {
      type: 'log',
      range: [Math.log10(0.03), Math.log10(1.3 * most)],
      tickvals: errorTicks,
      ticktext: errorTicks.map((tick) => `${tick} %`),
    },
  });
});

// How often a change is seen.
[2, 3, 5, 8].forEach((pulls, k) => {
  const own = power.filter((row) => row.pulls === pulls);
  const [xaxis, yaxis] = axisNames(6);
  traces.push({
    type: 'scatter',
    mode: 'lines+markers',
    x: percent(own.map((row) => row.gainShare)),
    y: percent(own.map((row) => (row.gainShare === 0 ? row.gains + row.losses : row.gains))),
    xaxis,
    yaxis,
    name: `${pulls} pulls`,
    line: { color: shades[k], width: 2 },
    marker: { color: shades[k], size: 6, symbol: ['circle', 'square', 'diamond', 'triangle-up'][k] },
    legend: 'legend2',
  });
});
layout.legend2 = { x: 0.38, y: 0.02, xanchor: 'right', yanchor: 'bottom', font: { size: 11 }, bgcolor: 'rgba(255,255,255,0.8)' };
place(6, [2, 0, 0.39], {
  title: 'Trials in which a change is called',
  x: { title: { text: 'true change of power, %', standoff: 6, font: { size: 12 } }, tickvals: [0, 1, 2, 3, 4, 5] },
  y: { range: [-3, 104], ticksuffix: ' %' },
});

// What the road and the wind leave in the mean.
const roads = [
  ['wind of 3 m/s, not entered', 'one way', 'wind 3 m/s,<br>one way'],
  ['wind of 3 m/s, not entered', 'two pulls each way', 'wind 3 m/s,<br>both ways'],
  ['grade of 1 %, not entered', 'nothing tells it', 'grade 1 %,<br>unknown'],
  ['grade of 1 %, not entered', 'altitude logged', 'grade 1 %,<br>altitude'],
  ['gear', '2', 'gear 2'],
  ['gear', '4', 'gear 4'],
].map(([factor, name, label]) => ({ label, row: factors.find((row) => row.factor === factor && row.name === name) }));
const [xaxis, yaxis] = axisNames(7);
traces.push({
  type: 'bar',
  x: roads.map(({ label }) => label),
  y: percent(roads.map(({ row }) => row.bias)),
  text: roads.map(({ row }) => `${(100 * row.bias).toFixed(2)} %`),
  textposition: 'outside',
  cliponaxis: false,
  xaxis,
  yaxis,
  marker: { color: measured },
  showlegend: false,
});
place(7, [2, 0.48, 1], {
  title: 'Mean error of the curve',
  x: { type: 'category', tickfont: { size: 10 }, tickangle: 0 },
  y: { ticksuffix: ' %', range: [-3.2, 0.7] },
});

const library = createRequire(import.meta.url).resolve('plotly.js-dist-min/plotly.min.js');
const browser = await chromium.launch({ executablePath: browserPath, args: ['--no-sandbox'] });
try {
  const page = await browser.newPage({
    viewport: { width: layout.width, height: layout.height },
    deviceScaleFactor: 2,
    colorScheme: 'light',
  });
  await page.setContent('<body style="margin:0;background:#fff"><div id="figure"></div></body>');
  await page.addScriptTag({ path: library });
  await page.evaluate(([data, shape]) => window.Plotly.newPlot('figure', data, shape, { staticPlot: true }), [traces, layout]);
  await page.locator('#figure').screenshot({ path: path.join(root, 'docs', 'pictures', 'accuracy.png'), animations: 'disabled' });
} finally {
  await browser.close();
}
console.log('docs/pictures/accuracy.png');
