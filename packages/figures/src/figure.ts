/** A piece of plotly's input: plain data, typed loosely on purpose so that no plotting library is needed to make it. */
export type PlotlyObject = { readonly [name: string]: unknown };

/** One entry of a figure's key: how something is drawn and what it is. `label` is raw text: whoever shows it escapes it. */
export interface KeyEntry {
  readonly label: string;
  /** Theme role, for example `setup1`. */
  readonly role: string;
  readonly kind: 'line' | 'band' | 'hatch' | 'marker';
  readonly dash?: string;
  readonly symbol?: string;
}

/** The numbers of a figure as text for people, unit in the column heading. */
export interface FigureTable {
  readonly columns: readonly string[];
  readonly rows: readonly (readonly string[])[];
}

/** A figure as plain data. Colours are theme roles (`role:name` or `role:name/alpha`) until `applyTheme` makes them colours. */
export interface Figure {
  readonly data: readonly PlotlyObject[];
  readonly layout: PlotlyObject;
  /** What the figure shows, in words. Raw text. */
  readonly summary: string;
  readonly table: FigureTable;
  readonly key: readonly KeyEntry[];
  /** What the figure leaves out and why, to be read beside it. Raw text. */
  readonly notes: readonly string[];
  /** Why there is nothing to draw; null when there is. */
  readonly status: string | null;
}

/** A figure with nothing to draw, which says why. */
export function emptyFigure(status: string): Figure {
  return { data: [], layout: {}, summary: status, table: { columns: [], rows: [] }, key: [], notes: [], status };
}
