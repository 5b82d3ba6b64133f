import type { FigureTable } from '@pullproof/figures';
import { type Html, type HtmlPart, html, shortName } from './html.js';

/** A table that scrolls by itself where the page is too narrow for it, and can be reached by key to do so. */
export function tableBlock(
  columns: readonly HtmlPart[],
  rows: readonly (readonly HtmlPart[])[],
  options: { readonly label: string; readonly numbersFrom?: number; readonly className?: string },
): Html {
  const numbersFrom = options.numbersFrom ?? columns.length;
  const cell = (part: HtmlPart, index: number): Html => {
    if (index === 0) return html`<th scope="row">${part}</th>`;
    return index >= numbersFrom ? html`<td class="number">${part}</td>` : html`<td>${part}</td>`;
  };
  return html`<div class="scroll ${options.className ?? ''}" role="region" tabindex="0" aria-label="${options.label}"><table>
<thead><tr>${columns.map((column, index) => (index >= numbersFrom ? html`<th scope="col" class="number">${column}</th>` : html`<th scope="col">${column}</th>`))}</tr></thead>
<tbody>${rows.map((row) => html`<tr>${row.map(cell)}</tr>\n`)}</tbody></table></div>`;
}

/** The numbers of a figure as a table. */
export function figureTable(table: FigureTable, label: string): Html {
  const isNumber = (text: string): boolean => /^[−+]?[\d–]/.test(text);
  const numbersFrom = table.rows.every((row) => row.every(isNumber)) ? 0 : table.columns.length;
  return tableBlock(
    table.columns.map((column) => shortName(column, 60)),
    table.rows.map((row) => row.map((text) => shortName(text))),
    { label, numbersFrom },
  );
}
