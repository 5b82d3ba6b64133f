import type { Finding, Place } from '../../findings/index.js';
import { counted } from '../text/counted.js';

/** What was odd about rows as such, counted while they are read. */
export class RowNotes {
  comments = 0;
  textRows = 0;
  firstTextLine = 0;
  strayQuotes = 0;
  firstStrayLine = 0;
  torn = 0;
  tornLine = 0;
  nulRows = 0;
  private firstNulLine = 0;
  raggedRows = 0;
  private firstRaggedLine = 0;
  private readonly raggedLines: string[] = [];
  /** Line ends of each kind: `\n`, `\r\n`, `\r`. */
  lf = 0;
  crlf = 0;
  cr = 0;

  nul(line: number): void {
    if (this.nulRows === 0) this.firstNulLine = line;
    this.nulRows++;
  }

  ragged(line: number, fields: number): void {
    if (this.raggedRows === 0) this.firstRaggedLine = line;
    this.raggedRows++;
    if (this.raggedLines.length < 5) this.raggedLines.push(`${line} (${fields} fields)`);
  }

  strayQuote(line: number): void {
    if (this.strayQuotes === 0) this.firstStrayLine = line;
    this.strayQuotes++;
  }

  textRow(line: number): void {
    if (this.textRows === 0) this.firstTextLine = line;
    this.textRows++;
  }

  tornRow(line: number): void {
    this.torn++;
    this.tornLine = line;
  }

  /** @param footer rows of words at the end, and the line of the first */
  findings(where: Place, footer: { readonly rows: number; readonly line: number }): Finding[] {
    const found: Finding[] = [];
    const warn = (code: string, count: number, message: string, fix: string, place: Place = where) => {
      if (count > 0) found.push({ code, severity: 'warning', message, where: place, fix, count });
    };
    warn(
      'W_RAGGED',
      this.raggedRows,
      `${counted(this.raggedRows, 'row')} with more or fewer fields than the header skipped: lines ${this.raggedLines.join(', ')}${this.raggedRows > 5 ? ', …' : ''}.`,
      'No column was shifted. If many rows are missing, look at these lines.',
      { ...where, line: this.firstRaggedLine },
    );
    warn(
      'W_NUL',
      this.nulRows,
      `${counted(this.nulRows, 'row')} with NUL bytes, as a power cut leaves them, skipped.`,
      'Check what is missing around this place.',
      { ...where, line: this.firstNulLine },
    );
    warn('W_TORN_ROW', this.torn, 'the last line is incomplete and was skipped.', 'The recording was cut short; nothing else is lost.', {
      ...where,
      line: this.tornLine,
    });
    warn('W_FOOTER', footer.rows, `${counted(footer.rows, 'row')} of words at the end skipped.`, 'They hold no data.', {
      ...where,
      line: footer.line,
    });
    warn(
      'W_TEXT_ROW',
      this.textRows,
      `${counted(this.textRows, 'row')} among the data or just above it ${this.textRows === 1 ? 'holds no sample and was' : 'hold no samples and were'} skipped.`,
      'Look there: words between the rows may mean something.',
      { ...where, line: this.firstTextLine },
    );
    warn(
      'W_QUOTE',
      this.strayQuotes,
      `${counted(this.strayQuotes, 'field')} with a quote in the middle or one that is never closed; the quote was read as text.`,
      'Check these fields.',
      { ...where, line: this.firstStrayLine },
    );
    const kinds = [this.lf, this.crlf, this.cr].filter((count) => count > 0).length;
    const odd = this.lf + this.crlf + this.cr - Math.max(this.lf, this.crlf, this.cr);
    if (kinds > 1) {
      warn(
        'W_LINE_ENDS',
        odd,
        `line ends are mixed: ${this.lf} LF, ${this.crlf} CRLF, ${this.cr} CR.`,
        'The file was joined from several; check that it is one recording.',
      );
    }
    return found;
  }
}
