/** A name or cell as a message may show it: control and direction characters escaped, long ones cut. The data keeps the original. */
export function shownName(name: string): string {
  const escaped = name.replace(
    /[\p{Cc}\p{Cf}\u2028\u2029]/gu,
    (character) => `\\u{${character.codePointAt(0)!.toString(16).padStart(4, '0')}}`,
  );
  return escaped.length > 80 ? `${escaped.slice(0, 77)}…` : escaped;
}
