import { utf8Text } from '@pullproof/core';
import { describe, expect, test } from 'vitest';

const bytes = (text: string): Uint8Array => new TextEncoder().encode(text);

describe('all of a file as text', () => {
  test.each(['', 'trial: 1\n', '22 °C, λ 0.85, µ', '🏁 strip', '\u{10FFFF}'])('%j comes back', (text) => {
    expect(utf8Text(bytes(text), 'a.yaml')).toBe(text);
    expect(utf8Text(bytes(`\uFEFF${text}`), 'a.yaml')).toBe(text);
    // Characters may be split across chunks.
    expect(
      utf8Text(
        [...bytes(text)].map((one) => Uint8Array.of(one)),
        'a.yaml',
      ),
    ).toBe(text);
  });

  test.each([
    ['windows-1252', [0x32, 0x32, 0x20, 0xb0, 0x43]],
    ['a character cut off', [0xc2]],
    ['a character longer than need be', [0xc0, 0xaf]],
    ['half of a pair', [0xed, 0xa0, 0x80]],
    ['UTF-16', [0xff, 0xfe, 0x61, 0x00]],
  ])('%s is refused by name', (_, wrong) => {
    expect(() => utf8Text(Uint8Array.from(wrong), 'slips.csv')).toThrow(
      'slips.csv: The file is not UTF-8 text. Save it as UTF-8. [E_ENCODING]',
    );
  });
});
