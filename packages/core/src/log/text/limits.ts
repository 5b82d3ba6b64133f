/** What the reader takes at most. One place, tested, printed by no one else's number. */
export const readLimits: Readonly<Record<'columns' | 'lineBytes' | 'rows' | 'cells' | 'headBytes' | 'blockBytes', number>> = {
  /** Columns of one row. */
  columns: 4096,
  /** Bytes of one line, or of one quoted record. */
  lineBytes: 8 * 1024 * 1024,
  /** Rows of data. */
  rows: 100_000_000,
  /** Rows times columns kept in memory, 8 bytes each. */
  cells: 400_000_000,
  /** Bytes looked at to settle encoding, dialect and layout before the first row is read. */
  headBytes: 256 * 1024,
  /** Bytes handed to the row reader at once. */
  blockBytes: 1024 * 1024,
};
