import { type CellKind, cellKinds } from '../text/cell.js';

/** Rows of a further piece; columns grow piece by piece, so that nothing is copied while reading. */
export const pieceRows = 16384;

/** Different texts that are kept apart. */
const mostTexts = 50;

/** The kind under which a cell with the n-th unit of its column is stored. */
export function unitKind(index: number): number {
  return 32 + index;
}

/** One column while it is read: numbers, and what the cells were once one of them was no plain number. */
export class ColumnStore {
  readonly name: string;
  readonly column: number;
  /** False for a column nobody asked for: its cells are checked but not kept. */
  readonly kept: boolean;
  /** The piece being filled; null for a column that is not kept. */
  piece: Float64Array | null;
  private readonly pieces: Float64Array[] = [];
  private kinds: (Uint8Array | null)[] = [];
  private kindPiece: Uint8Array | null = null;
  /** Cells of each kind other than plain numbers and blanks. */
  readonly counts: Uint32Array = new Uint32Array(16);
  /** How often each odd text was seen; at most 50 different ones. */
  readonly texts: Map<string, number> = new Map();
  /** How often each unit in a cell was seen, in the order in which they came; a cell's kind tells which was its. */
  readonly units: Map<string, number> = new Map();
  /** How often each word for no reading was seen. */
  readonly missingTexts: Map<string, number> = new Map();
  /** Data row of the first cell of each kind. */
  readonly firstRows: Uint32Array = new Uint32Array(16);

  /** @param firstRows rows of the first piece, enough for all that are expected */
  constructor(name: string, column: number, kept: boolean, firstRows: number) {
    this.name = name;
    this.column = column;
    this.kept = kept;
    this.piece = kept ? new Float64Array(firstRows) : null;
  }

  /** Notes that the cell at an index of the current piece is of another kind than a plain number. */
  mark(index: number, kind: CellKind, text: string, row: number): void {
    if (this.counts[kind] === 0) this.firstRows[kind] = row;
    this.counts[kind]!++;
    const tally =
      kind === cellKinds.missing
        ? this.missingTexts
        : kind === cellKinds.text
          ? this.texts
          : kind === cellKinds.withUnit
            ? this.units
            : null;
    if (tally !== null && (tally.size < mostTexts || tally.has(text))) tally.set(text, (tally.get(text) ?? 0) + 1);
    if (this.piece === null) return;
    if (this.kindPiece === null) this.kindPiece = new Uint8Array(this.piece.length);
    this.kindPiece[index] = kind === cellKinds.withUnit ? unitKind(this.unitIndex(text)) : kind;
  }

  private unitIndex(text: string): number {
    let index = 0;
    for (const unit of this.units.keys()) {
      if (unit === text) return index;
      index++;
    }
    return mostTexts;
  }

  nextPiece(): void {
    if (this.piece === null) return;
    this.pieces.push(this.piece);
    this.kinds.push(this.kindPiece);
    this.piece = new Float64Array(pieceRows);
    this.kindPiece = null;
  }

  /** Change from row to row over spans of 20 rows, exceeded by one span in twenty, among the first rows; NaN with fewer than 40 rows. */
  changePerRow(rows: number): number {
    const piece = (this.pieces[0] ?? this.piece ?? new Float64Array(0)).subarray(0, rows);
    const apart = 20;
    const changes = new Float64Array(Math.max(0, piece.length - apart));
    let count = 0;
    for (let i = apart; i < piece.length; i++) {
      const change = Math.abs(piece[i]! - piece[i - apart]!);
      if (!Number.isNaN(change)) changes[count++] = change;
    }
    if (count < apart) return Number.NaN;
    return changes.subarray(0, count).sort()[Math.floor(0.95 * count)]! / apart;
  }

  /** The column in one array; the pieces are given up. */
  takeValues(rows: number): Float64Array {
    const pieces = [...this.pieces, this.piece!];
    this.pieces.length = 0;
    this.piece = null;
    return joinedPieces(pieces, rows, Float64Array);
  }

  /** Kinds of the cells, or null when all are plain numbers or blanks. */
  takeKinds(rows: number): Uint8Array | null {
    const kinds = [...this.kinds, this.kindPiece];
    if (kinds.every((piece) => piece === null)) return null;
    const lengths = [...this.pieces, this.piece!].map((piece) => piece.length);
    this.kinds = [];
    this.kindPiece = null;
    return joinedPieces(
      kinds.map((piece, i) => piece ?? new Uint8Array(lengths[i]!)),
      rows,
      Uint8Array,
    );
  }
}

/** The first `rows` entries of pieces in a row; a single piece is not copied. */
export function joinedPieces<T extends Float64Array | Uint8Array | Int16Array>(
  pieces: readonly T[],
  rows: number,
  make: new (length: number) => T,
): T {
  if (pieces[0]!.length >= rows) return pieces[0]!.subarray(0, rows) as T;
  const all = new make(rows);
  let at = 0;
  for (const piece of pieces) {
    const part = Math.min(piece.length, rows - at);
    all.set(part === piece.length ? piece : piece.subarray(0, part), at);
    at += part;
    if (at >= rows) break;
  }
  return all;
}
