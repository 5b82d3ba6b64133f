import { deflateSync } from 'node:zlib';

/** Deflated text in base64, as a page of the report unpacks it. The same on every run of one Node. */
export function packText(text: string): string {
  return deflateSync(text, { level: 9 }).toString('base64');
}
