import type { PlotlyObject } from './figure.js';

const fontFamily = 'system-ui, -apple-system, "Segoe UI", Roboto, "Noto Sans", "DejaVu Sans", sans-serif';

/** An axis in the house style: thin grid, ticks outside, no box. */
export function axis(options: PlotlyObject = {}): PlotlyObject {
  return {
    gridcolor: 'role:grid',
    linecolor: 'role:axis',
    tickcolor: 'role:axis',
    zeroline: false,
    showline: true,
    ticks: 'outside',
    ticklen: 4,
    tickfont: { size: 13, color: 'role:muted' },
    automargin: true,
    ...options,
  };
}

/** Title of a vertical axis, set level above it: it is read without turning the head and costs no width on a phone. */
export function levelTitle(text: string, options: { readonly y?: number; readonly yref?: string } = {}): PlotlyObject {
  return {
    text,
    showarrow: false,
    xref: 'paper',
    yref: options.yref ?? 'paper',
    x: 0,
    y: options.y ?? 1,
    xanchor: 'left',
    yanchor: 'bottom',
    yshift: 4,
    align: 'left',
    font: { size: 13, color: 'role:text' },
  };
}

/** The engine speed axis that most figures share. */
export function engineSpeedAxis(options: PlotlyObject = {}): PlotlyObject {
  return axis({
    title: { text: 'Engine speed, rpm', font: { size: 13, color: 'role:text' }, standoff: 8 },
    tickformat: ',d',
    hoverformat: ',d',
    ticksuffix: '',
    nticks: 9,
    ...options,
  });
}

/** What every figure has in common. */
export function baseLayout(options: PlotlyObject): PlotlyObject {
  return {
    font: { family: fontFamily, size: 13, color: 'role:text' },
    paper_bgcolor: 'role:page',
    plot_bgcolor: 'role:page',
    margin: { l: 44, r: 10, t: 34, b: 44, pad: 0 },
    showlegend: true,
    legend: { orientation: 'h', x: 0, y: -0.2, yanchor: 'top', font: { size: 13, color: 'role:text' } },
    hovermode: 'x unified',
    hoverlabel: {
      bgcolor: 'role:panel',
      bordercolor: 'role:rule',
      font: { family: fontFamily, size: 13, color: 'role:text' },
      namelength: 40,
      align: 'left',
    },
    dragmode: false,
    height: 340,
    ...options,
  };
}
