/** The part of plotly's input that our figures use: the same data draws in a notebook and in the report. */
export interface Drawing {
  readonly data: readonly Trace[];
  readonly layout: Layout;
}

export type Place = number | string | null;

export interface Trace {
  readonly type: string;
  readonly mode?: string;
  readonly x: readonly Place[];
  readonly y: readonly Place[];
  readonly z?: readonly (readonly (number | null)[])[];
  readonly text?: readonly string[] | readonly (readonly string[])[];
  readonly customdata?: readonly (string | number)[];
  readonly hovertemplate?: string;
  readonly hoverinfo?: string;
  readonly name?: string;
  readonly yaxis?: string;
  readonly fill?: string;
  readonly fillcolor?: string;
  readonly fillpattern?: { readonly fgcolor: string };
  readonly orientation?: string;
  readonly line?: { readonly color?: string; readonly width?: number; readonly dash?: string };
  readonly marker?: {
    readonly symbol?: string;
    readonly size?: number;
    readonly color?: string;
    readonly maxdisplayed?: number;
    readonly pattern?: { readonly shape: string };
    readonly line?: { readonly width?: number };
  };
  readonly error_x?: ErrorBars;
  readonly error_y?: ErrorBars;
  readonly colorscale?: readonly (readonly [number, string])[];
  /** Ours: the setup that a trace belongs to, and words that stand at the end of its line. */
  readonly meta?: { readonly setup?: number; readonly label?: string };
}

export interface ErrorBars {
  readonly array: readonly (number | null)[];
  readonly arrayminus?: readonly (number | null)[];
  readonly color: string;
}

export interface Axis {
  readonly title?: { readonly text: string };
  readonly range?: readonly [number, number];
  readonly rangemode?: string;
  readonly domain?: readonly [number, number];
  readonly anchor?: string;
  readonly matches?: string;
  readonly nticks?: number;
  readonly dtick?: number;
  readonly tickformat?: string;
  readonly ticksuffix?: string;
  readonly tickvals?: readonly number[];
  readonly ticktext?: readonly string[];
  readonly showticklabels?: boolean;
  readonly showgrid?: boolean;
  readonly showline?: boolean;
  readonly autorange?: string;
  readonly zeroline?: boolean;
}

export interface Shape {
  readonly type: string;
  readonly xref?: string;
  readonly yref?: string;
  readonly x0: number;
  readonly x1: number;
  readonly y0: number;
  readonly y1: number;
  readonly layer?: string;
  readonly fillcolor?: string;
  readonly line?: { readonly color: string; readonly width: number; readonly dash?: string };
}

export interface Annotation {
  readonly text: string;
  readonly xref?: string;
  readonly yref?: string;
  readonly x: number;
  readonly y: number;
  readonly xanchor?: string;
  readonly yanchor?: string;
  readonly yshift?: number;
  readonly font?: { readonly size?: number; readonly color?: string };
}

export interface Layout {
  readonly height?: number;
  readonly margin?: { readonly l: number; readonly r: number; readonly t: number; readonly b: number };
  readonly xaxis?: Axis;
  readonly shapes?: readonly Shape[];
  readonly annotations?: readonly Annotation[];
  /** Ours: the figure has a key beside it, so that its lines need no names where there is no room for them. */
  readonly keyed?: boolean;
  readonly [name: string]: unknown;
}
