import { type Finding, type Place, PullproofError } from '../../findings/index.js';
import { type CellKind, CellReader, cellKinds } from '../text/cell.js';
import { readLimits } from '../text/limits.js';
import { ColumnStore, joinedPieces, pieceRows } from './columnStore.js';
import { OtherDialect } from './otherDialect.js';
import { RowNotes } from './rowNotes.js';
import { fitsShort, type ShortRows } from './shortRows.js';
import { WordRows } from './wordRows.js';

/** What the table needs to know before the first row. */
export interface TableShape {
  readonly names: readonly string[];
  readonly decimal: '.' | ',';
  readonly delimiter: string;
  readonly kept: (column: number) => boolean;
  /** Columns that take part in finding who changes when: all but time. */
  readonly clocks: ReadonlySet<number>;
  /** 1 unless another of several tables was asked for; undefined: several are an error. */
  readonly table: number | undefined;
  /** How rows that leave out blanks at their end are known; null where the file has none. */
  readonly shortRows: ShortRows | null;
  /** Most cells to keep. */
  readonly maxCells: number;
  /** Rows to set memory aside for. */
  readonly expectedRows: number;
  readonly where: Place;
}

/** Thrown to go on with the next table of the file. */
export class NextTable {
  readonly line: number;
  constructor(line: number) {
    this.line = line;
  }
}

/** The table while it is read: takes rows from either reader, checks their shape, keeps columns, notes what was odd. */
export class Table {
  readonly columns: readonly ColumnStore[];
  readonly width: number;
  readonly notes: RowNotes = new RowNotes();
  readonly reader: CellReader;
  /** Numbers of the row being read, one a column; kept only by `commit`. */
  readonly row: Float64Array;
  /** True once any number had a fraction. */
  sawFraction = false;
  /** The pieces being filled, null for a column that is not kept. */
  private pieces: (Float64Array | null)[];
  /** Rows kept so far. */
  rows = 0;
  /** Index into the current pieces. */
  index = 0;
  /** Rows of data seen so far, kept or not. */
  dataRow = 0;
  /** True after the end of the table that was asked for. */
  ended = false;
  /** Numbers of the kept rows where some were dropped; null while none was. */
  private rowNumbers: number[] | null = null;
  /** Rows at which a repeated header starts a new part. */
  readonly restarts: number[] = [];
  /** Per row: column that alone changed, -1 none, -2 several. */
  private readonly changePieces: Int16Array[] = [];
  changes: Int16Array;
  readonly previous: Float64Array;
  private readonly shape: TableShape;
  private readonly maxRows: number;
  /** 1 for columns that take no part in finding who changes when. */
  private readonly clocks: Uint8Array;
  private readonly words: WordRows;
  private readonly otherDialect: OtherDialect;

  constructor(shape: TableShape) {
    this.shape = shape;
    this.width = shape.names.length;
    this.reader = new CellReader(shape.decimal);
    this.words = new WordRows(shape.names, (cell) => {
      this.reader.read(cell);
      return this.reader.kind === cellKinds.text;
    });
    this.otherDialect = new OtherDialect(shape.delimiter);
    const kept = shape.names.filter((_, i) => shape.kept(i)).length;
    this.maxRows = Math.min(readLimits.rows, Math.floor(shape.maxCells / Math.max(1, kept)));
    this.clocks = Uint8Array.from(shape.names, (_, i) => (shape.clocks.has(i) ? 1 : 0));
    const first = shape.expectedRows > 0 ? Math.min(shape.expectedRows, this.maxRows + 1) : pieceRows;
    this.changes = new Int16Array(first);
    this.columns = shape.names.map((name, i) => new ColumnStore(name, i, shape.kept(i), first));
    this.row = new Float64Array(this.width);
    this.pieces = this.columns.map((column) => column.piece);
    this.previous = new Float64Array(this.width).fill(Number.NaN);
  }

  /** True when a row of the table's width belongs to it. Settles what rows of words before it were. */
  admits(): boolean {
    if (!this.ended) this.releaseOdd();
    this.settleWords(this.width);
    return !this.ended;
  }

  /** Keeps the row that was read. */
  commit(): void {
    const index = this.index;
    let changed = -1;
    const { row, pieces, previous, clocks } = this;
    for (let c = 0; c < row.length; c++) {
      const value = row[c]!;
      const piece = pieces[c]!;
      if (piece !== null) piece[index] = value;
      if (value !== previous[c] && !Number.isNaN(value)) {
        previous[c] = value;
        if (clocks[c] === 0) changed = changed === -1 ? c : -2;
      }
    }
    this.changes[index] = changed;
    this.dataRow++;
    this.rowNumbers?.push(this.dataRow);
    this.rows++;
    this.index++;
    if (this.index === this.changes.length) this.nextPiece();
  }

  /** A row taken apart as text. */
  addCells(cells: readonly string[], line: number): void {
    if (this.ended) return;
    const count = this.fieldsOf(cells);
    if (count === 0) return;
    if (cells[0]!.trimStart().startsWith('#')) {
      this.notes.comments++;
      return;
    }
    if (cells.some((cell) => cell.includes('\0'))) {
      this.drop();
      this.notes.nul(line);
      return;
    }
    const { shortRows } = this.shape;
    if (shortRows !== null && count >= 2 && count < this.width && fitsShort(cells, shortRows)) {
      this.addCells([...cells, ...Array.from({ length: this.width - cells.length }, () => '')], line);
      return;
    }
    if (count !== this.width) {
      const { released, tableLine } = this.otherDialect.take({ cells, line });
      for (const row of released) this.addOdd(row.cells, row.line);
      if (tableLine !== null && !this.ended) this.otherTable(tableLine);
      return;
    }
    this.releaseOdd();
    let values = 0;
    const kinds: CellKind[] = [];
    for (let c = 0; c < this.width; c++) {
      this.reader.read(cells[c]!);
      const kind = this.reader.kind;
      kinds.push(kind);
      if (kind !== cellKinds.text && kind !== cellKinds.blank && kind !== cellKinds.missing) values++;
      this.row[c] = this.reader.value;
      if (this.reader.value % 1 !== 0 && kind === cellKinds.number) this.sawFraction = true;
    }
    if (values === 0 && kinds.includes(cellKinds.text)) {
      this.addOdd(cells, line);
      return;
    }
    if (!this.admits()) return;
    for (let c = 0; c < this.width; c++) this.markCell(c, cells[c]!, kinds[c]!);
    this.commit();
  }

  /** Notes an unusual cell of a row that will be kept. */
  markCell(column: number, text: string, kind: CellKind): void {
    if (kind === cellKinds.number || kind === cellKinds.blank) return;
    let noted = text.trim();
    if (kind === cellKinds.withUnit) noted = noted.replace(/^[+-]?[\d.,'’\s]*(?:[eE][+-]?\d+)?\s*/, '');
    this.columns[column]!.mark(this.index, kind, noted, this.dataRow + 1);
  }

  private releaseOdd(): void {
    for (const row of this.otherDialect.release()) this.addOdd(row.cells, row.line);
  }

  /** A row of words, or of another width. */
  private addOdd(cells: readonly string[], line: number): void {
    if (this.ended) return;
    const taken = this.words.take(cells, line);
    if (taken === 'header' && this.rows > 0 && this.restarts.at(-1) !== this.rows) this.restarts.push(this.rows);
    if (taken !== null) return;
    this.settleWords(cells.length);
    if (this.ended) return;
    this.drop();
    this.notes.ragged(line, cells.length);
  }

  private settleWords(width: number): void {
    const { dropped, otherTableLine } = this.words.settle(width);
    for (const line of dropped) {
      this.drop();
      this.notes.textRow(line);
    }
    if (otherTableLine !== null) this.otherTable(otherTableLine);
  }

  private otherTable(line: number): void {
    const { table, where } = this.shape;
    if (table === undefined) {
      throw new PullproofError(
        'E_MULTI_TABLE',
        'a second table with other columns starts here.',
        { ...where, line },
        'Choose one with --table 1 or --table 2 (in the library: table), or split the file.',
      );
    }
    if (table > 1) throw new NextTable(line);
    this.ended = true;
  }

  /** Fields of a row, less a blank one beyond the columns. 0 for a blank row. */
  private fieldsOf(cells: readonly string[]): number {
    let count = cells.length;
    while (count > this.width && cells[count - 1]!.trim() === '') count--;
    return count <= this.width && cells.every((cell) => cell.trim() === '') ? 0 : count;
  }

  /** Counts a row of data that is not kept. */
  drop(): void {
    if (this.rowNumbers === null) this.rowNumbers = Array.from({ length: this.rows }, (_, i) => i + 1);
    this.dataRow++;
  }

  private nextPiece(): void {
    for (const column of this.columns) column.nextPiece();
    this.pieces = this.columns.map((column) => column.piece);
    this.changePieces.push(this.changes);
    this.changes = new Int16Array(pieceRows);
    this.index = 0;
    if (this.rows > this.maxRows) {
      throw new PullproofError(
        'E_TOO_LARGE',
        `more than ${this.maxRows} rows of ${this.columns.filter((c) => c.kept).length} columns would have to be kept in memory.`,
        this.shape.where,
        'Ask for fewer channels (in the library: only), or split the log.',
      );
    }
  }

  /** Ends the table: rows of words at the end are a footer. */
  finish(): readonly Finding[] {
    if (!this.ended) this.releaseOdd();
    return this.notes.findings(this.shape.where, this.ended ? { rows: 0, line: 0 } : this.words.footer);
  }

  /** Number among the rows of data of a kept row. */
  rowNumberOf(index: number): number {
    return this.rowNumbers?.[index] ?? index + 1;
  }

  takeRowNumbers(): Uint32Array {
    if (this.rowNumbers !== null) return Uint32Array.from(this.rowNumbers);
    return Uint32Array.from({ length: this.rows }, (_, i) => i + 1);
  }

  takeChanges(): Int16Array {
    return joinedPieces([...this.changePieces, this.changes], this.rows, Int16Array);
  }
}
