import { type CellKind, cellKinds } from './cell.js';

/** Rows kept in one piece; columns grow piece by piece, so that nothing is copied while reading. */
export const pieceRows = 16384;

/** One column while it is read: numbers, and what the cells were once one of them was no plain number. */
export class ColumnStore {
  readonly name: string;
  readonly column: number;
  /** False for a column nobody asked for: its cells are checked but not kept. */
  readonly kept: boolean;
  /** The piece being filled. */
  piece: Float64Array = new Float64Array(pieceRows);
  private readonly pieces: Float64Array[] = [];
  private kinds: (Uint8Array | null)[] = [];
  private kindPiece: Uint8Array | null = null;
  /** Cells of each kind other than plain numbers and blanks. */
  readonly counts: Uint32Array = new Uint32Array(16);
  /** How often each unit or odd text was seen; at most 50 different ones. */
  readonly texts: Map<string, number> = new Map();
  /** How often each word for no reading was seen. */
  readonly missingTexts: Map<string, number> = new Map();
  /** First data row and text of a cell that is no number. */
  firstOdd: { readonly row: number; readonly text: string } | null = null;

  constructor(name: string, column: number, kept: boolean) {
    this.name = name;
    this.column = column;
    this.kept = kept;
  }

  /** Notes that the cell at an index of the current piece is of another kind than a plain number. */
  mark(index: number, kind: CellKind, text: string, row: number): void {
    this.counts[kind]!++;
    const tally =
      kind === cellKinds.missing ? this.missingTexts : kind === cellKinds.text || kind === cellKinds.withUnit ? this.texts : null;
    if (tally !== null && (tally.size < 50 || tally.has(text))) tally.set(text, (tally.get(text) ?? 0) + 1);
    if (kind === cellKinds.text && this.firstOdd === null) this.firstOdd = { row, text };
    if (!this.kept) return;
    if (this.kindPiece === null) this.kindPiece = new Uint8Array(pieceRows);
    this.kindPiece[index] = kind;
  }

  /** Clears what a dropped row may have left at an index. */
  unmark(index: number): void {
    if (this.kindPiece !== null) this.kindPiece[index] = cellKinds.number;
  }

  nextPiece(): void {
    if (!this.kept) return;
    this.pieces.push(this.piece);
    this.kinds.push(this.kindPiece);
    this.piece = new Float64Array(pieceRows);
    this.kindPiece = null;
  }

  /** True when a kept number has a fraction. Looks at plain numbers only. */
  hasFraction(): boolean {
    return this.kept && [...this.pieces, this.piece].some((piece) => piece.some((value) => value % 1 !== 0 && !Number.isNaN(value)));
  }

  /** Change between two numbers that follow each other, exceeded by one in ten of those that differ, among the first rows. */
  largeStep(rows: number): number {
    const piece = this.pieces[0] ?? this.piece;
    const steps: number[] = [];
    let before = Number.NaN;
    for (let i = 0; i < Math.min(rows, pieceRows); i++) {
      const value = piece[i]!;
      if (Number.isNaN(value)) continue;
      if (value !== before && !Number.isNaN(before)) steps.push(Math.abs(value - before));
      before = value;
    }
    steps.sort((a, b) => a - b);
    return steps.length < 10 ? Number.NaN : steps[Math.floor(0.9 * steps.length)]!;
  }

  /** The column in one array; the pieces are given up. */
  takeValues(rows: number): Float64Array {
    const values = new Float64Array(rows);
    let at = 0;
    for (const piece of [...this.pieces, this.piece]) {
      const part = Math.min(pieceRows, rows - at);
      values.set(part === pieceRows ? piece : piece.subarray(0, part), at);
      at += part;
      if (at >= rows) break;
    }
    this.pieces.length = 0;
    this.piece = new Float64Array(0);
    return values;
  }

  /** Kinds of the cells, or null when all are plain numbers or blanks. */
  takeKinds(rows: number): Uint8Array | null {
    const kinds = [...this.kinds, this.kindPiece];
    this.kinds = [];
    this.kindPiece = null;
    if (kinds.every((piece) => piece === null)) return null;
    const all = new Uint8Array(rows);
    kinds.forEach((piece, i) => {
      const at = i * pieceRows;
      if (piece !== null && at < rows) all.set(piece.subarray(0, Math.min(pieceRows, rows - at)), at);
    });
    return all;
  }
}
