const gapPx = 34;
const marginsPx = 30 + 44;

/**
 * Vertical places of stacked panels that share one horizontal axis.
 * @param count how many panels
 * @param options `heightPx` of one panel
 * @returns each panel's place in shares of the plot, the first on top; and the height of the whole figure, margins counted
 */
export function panelDomains(
  count: number,
  options: { readonly heightPx: number },
): { readonly domains: readonly (readonly [number, number])[]; readonly plotHeight: number } {
  const height = count * options.heightPx + (count - 1) * gapPx;
  const domains = Array.from({ length: count }, (_, panel) => {
    const top = panel * (options.heightPx + gapPx);
    return [Math.max(0, 1 - (top + options.heightPx) / height), 1 - top / height] as const;
  });
  return { domains, plotHeight: height + marginsPx };
}

/** plotly's name of an axis in a panel: `y`, `y2`, … */
export function axisName(base: string, panel: number): string {
  return panel === 0 ? base : `${base}${panel + 1}`;
}
