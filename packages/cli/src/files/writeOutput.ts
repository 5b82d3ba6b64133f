import { endOfReport, type OutputKind, type OutputOptions } from './checkOutput.js';
import { OutputFile } from './outputFile.js';

/**
 * Writes a whole file or nothing: to a temporary file in the same folder, then one rename. Folders on the way are made.
 *
 * @throws E_OUTPUT_PATH and E_WRITE as checkOutput; E_WRITE when the disk refuses
 */
export function writeOutput(shownPath: string, content: string | Uint8Array, from: string, kind: OutputKind, options: OutputOptions): void {
  const file = new OutputFile(shownPath, from, kind, options);
  file.write(kind === 'report' && typeof content === 'string' ? `${content.replace(/\n*$/, '\n')}${endOfReport}` : content);
  file.finish();
}
