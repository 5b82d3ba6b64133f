import { decodeUtf8 } from './encoding.js';

/** What windows-1252 has at 0x80–0x9F, by code point. */
const upper: ReadonlyMap<number, number> = new Map(
  [...'€\x81‚ƒ„…†‡ˆ‰Š‹Œ\x8dŽ\x8f\x90‘’“”•–—˜™š›œ\x9džŸ'].map((character, i) => [character.codePointAt(0)!, 0x80 + i]),
);

/** Text that was UTF-8, read as windows-1252 and stored as UTF-8 again, put right: `Â°C` becomes `°C`. Other text is returned as it is. */
export function repairedText(text: string): string {
  if (!/[ÂÃÎÏâ]/.test(text)) return text;
  const bytes: number[] = [];
  for (const character of text) {
    const code = character.codePointAt(0)!;
    const byte = code < 0x80 || (code >= 0xa0 && code <= 0xff) ? code : (upper.get(code) ?? (code < 0xa0 ? code : undefined));
    if (byte === undefined) return text;
    bytes.push(byte);
  }
  return decodeUtf8(Uint8Array.from(bytes)) ?? text;
}
