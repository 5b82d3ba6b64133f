/** One of the two streams that a command writes to. */
export interface Output {
  write(text: string): void;
  readonly isTTY: boolean;
  /** Width of the terminal; 80 where unknown. */
  readonly columns: number;
}

/** Everything that a command touches besides files. */
export interface Io {
  /** Folder that relative paths on the command line are relative to. */
  readonly cwd: string;
  readonly env: Readonly<Record<string, string | undefined>>;
  readonly stdout: Output;
  readonly stderr: Output;
  /** Bytes of standard input, read only when `-` is asked for. */
  readonly stdin: () => Iterable<Uint8Array>;
  /** Milliseconds of a clock that only runs forward; decides when progress is shown, and nothing else. */
  readonly now: () => number;
  /** Told when the person ends the work from outside: what was begun is then taken away. Gives a function that ends the listening. */
  readonly onInterrupt?: (tidy: () => void) => () => void;
}
