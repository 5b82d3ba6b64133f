import type { Io } from '../io.js';
import { endOfReport, type OutputKind, type OutputOptions } from './checkOutput.js';
import { OutputFile } from './outputFile.js';

export interface WriteOptions extends OutputOptions {
  /** As in {@link Io}: without it a signal may leave the temporary file behind, though never half an output. */
  readonly onInterrupt?: Io['onInterrupt'] | undefined;
}

/**
 * Writes a whole file or nothing: to a temporary file in the same folder, then one rename. Folders on the way are made.
 * The writing is one piece of work in which no signal is heard, so one that comes meanwhile finds the file whole.
 *
 * @throws E_OUTPUT_PATH and E_WRITE as checkOutput; E_WRITE when the disk refuses
 */
export function writeOutput(shownPath: string, content: string | Uint8Array, from: string, kind: OutputKind, options: WriteOptions): void {
  let file: OutputFile | null = null;
  const leave = options.onInterrupt?.(() => file?.drop());
  try {
    file = new OutputFile(shownPath, from, kind, options);
    file.write(kind === 'report' && typeof content === 'string' ? `${content.replace(/\n*$/, '\n')}${endOfReport}` : content);
    file.finish();
  } finally {
    leave?.();
  }
}
