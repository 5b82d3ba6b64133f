/**
 * Untrusted text as one that a terminal only shows: control, escape, direction and other invisible characters become visible escapes, and long text is cut.
 *
 * @param text a name, path or message that may hold anything
 * @param longest characters to keep
 */
export function inertText(text: string, longest: number = Number.POSITIVE_INFINITY): string {
  const escaped = text.replaceAll(
    /[\p{Cc}\p{Cf}\p{Cs}\p{Zl}\p{Zp}\u115f\u1160\u3164\uffa0]/gu,
    (character) => `\\u{${character.codePointAt(0)!.toString(16)}}`,
  );
  const letters = escaped.length > longest ? Array.from(escaped) : null;
  return letters === null || letters.length <= longest ? escaped : `${letters.slice(0, longest - 1).join('')}…`;
}
