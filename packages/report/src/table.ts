import type { FigureTable } from '@pullproof/figures';
import { Html, type HtmlPart, html, shortName, trustedHtml } from './html.js';

/**
 * A table that scrolls by itself where the page is too narrow for it, and can be reached by key to do so.
 * On a phone each row of a table of three columns or more stands as a block instead, every value behind the name of its column; `flat` tables keep scrolling.
 */
export function tableBlock(
  columns: readonly HtmlPart[],
  rows: readonly (readonly HtmlPart[])[],
  options: { readonly label: string; readonly numbersFrom?: number; readonly className?: string; readonly flat?: boolean },
): Html {
  const numbersFrom = options.numbersFrom ?? columns.length;
  const stacks = options.flat !== true && columns.length > 2;
  const cell = (part: HtmlPart, index: number): Html => {
    if (index === 0) return html`<th scope="row">${part}</th>`;
    const head = stacks ? html` data-head="${wordsOf(columns[index])}"` : null;
    return index >= numbersFrom ? html`<td class="number"${head}>${part}</td>` : html`<td${head}>${part}</td>`;
  };
  return html`<div class="scroll ${stacks ? 'stack ' : ''}${options.className ?? ''}" role="group" tabindex="0" aria-label="${options.label}"><table>
<thead><tr>${columns.map((column, index) => (index >= numbersFrom ? html`<th scope="col" class="number">${column}</th>` : html`<th scope="col">${column}</th>`))}</tr></thead>
<tbody>${rows.map((row) => html`<tr>${row.map(cell)}</tr>\n`)}</tbody></table></div>`;
}

/** What a head says, without markup: it stands in an attribute. */
function wordsOf(part: HtmlPart): HtmlPart {
  return part instanceof Html ? trustedHtml(part.markup.replace(/<[^>]*>/g, '')) : part;
}

/** The numbers of a figure as a table. */
export function figureTable(table: FigureTable, label: string): Html {
  const isNumber = (text: string): boolean => /^[−+]?[\d–]/.test(text);
  const numbersFrom = table.rows.every((row) => row.every(isNumber)) ? 0 : table.columns.length;
  return tableBlock(
    table.columns.map((column) => shortName(column, 60)),
    table.rows.map((row) => row.map((text) => shortName(text))),
    { label, numbersFrom, flat: true },
  );
}
