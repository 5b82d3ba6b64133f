import { type Html, html } from '@pullproof/report';
import { type Cell, type ColumnTable, cellText } from './cell.js';

/** How a table is shown. */
export interface TableOptions {
  /** Line above the table. */
  readonly caption?: string;
  /** Rows shown at most; 200 when left out. What is cut is said. */
  readonly most?: number;
}

const longestText = 600;

/** A table as inert markup, whatever its names and cells hold; it scrolls by itself where the page is narrow. */
export function tableHtml({ columns, rows }: ColumnTable, options: TableOptions = {}): Html {
  const { most = 200 } = options;
  const numbers = columns.map(
    (_, at) => rows.some((row) => isNumber(row[at])) && rows.every((row) => isNumber(row[at]) || isNothing(row[at])),
  );
  const cut = rows.length - most;
  return html`<div class="pullproof scroll"><table>
${options.caption === undefined ? null : html`<caption>${short(options.caption)}</caption>`}
<thead><tr>${columns.map((name, at) => html`<th scope="col" class="${numbers[at] ? 'number' : ''}">${short(name)}</th>`)}</tr></thead>
<tbody>${rows.slice(0, most).map((row) => html`<tr>${columns.map((_, at) => html`<td class="${numbers[at] ? 'number' : isTight(row[at]) ? 'tight' : ''}">${short(cellText(row[at]))}</td>`)}</tr>\n`)}</tbody>
</table>${cut > 0 ? html`<p class="small">${cut} further rows are not shown.</p>` : null}</div>`;
}

/** Numbers, and texts that are numbers with what belongs to them: aligned to the right. */
function isNumber(cell: Cell): boolean {
  return typeof cell === 'number' || (typeof cell === 'string' && /^[−+-]?\d[\d,. ]*(?: ?%)?$/.test(cell));
}

/** A value with its unit, or a band: not to be broken. */
function isTight(cell: Cell): boolean {
  return typeof cell === 'string' && cell.length <= 24 && /^[−+-]?\d/.test(cell);
}

function isNothing(cell: Cell): boolean {
  return cell === null || cell === undefined || cell === '' || cell === '–';
}

function short(text: string): string {
  const letters = Array.from(text);
  return letters.length > longestText ? `${letters.slice(0, longestText - 1).join('')}…` : text;
}
