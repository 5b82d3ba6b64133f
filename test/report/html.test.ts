import { createHash } from 'node:crypto';
import { readFileSync } from 'node:fs';
import { cautions, escapeText, html, jsonForScript, visibleText } from '@pullproof/report';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { contentPolicy, sourceHash } from '../../packages/report/src/contentPolicy.js';

describe('html', () => {
  it('escapes what is put in, and not what it made itself', () => {
    expect(html`<p title="${'"x" & \'y\''}">${'<b>'}${html`<i>${1}</i>`}${null}${[html`<br>`, 'a&b']}</p>`.markup).toBe(
      '<p title="&quot;x&quot; &amp; &#39;y&#39;">&lt;b&gt;<i>1</i><br>a&amp;b</p>',
    );
  });

  it('leaves no way out of an element or an attribute', () => {
    fc.assert(
      fc.property(fc.string({ unit: 'binary' }), (text) => {
        expect(escapeText(text)).not.toMatch(/[<>"'\u0000-\u001f\u007f-\u009f\u2028\u2029\u202a-\u202e\u2066-\u2069]/);
      }),
      { seed: 11 },
    );
  });

  it('shows control and direction characters by their code', () => {
    expect(visibleText('a\u202Eb\u0000c\u001b[31m\td\r\ne')).toBe('a\\u202eb\\u0000c\\u001b[31m d e');
  });
});

describe('jsonForScript', () => {
  it('reads back to the same data and holds nothing that ends a script', () => {
    fc.assert(
      fc.property(fc.jsonValue(), (value) => {
        const text = jsonForScript(value);
        expect(text).not.toMatch(/[<>&\u2028\u2029]/);
        expect(JSON.parse(text)).toEqual(JSON.parse(JSON.stringify(value)));
      }),
      { seed: 12 },
    );
    expect(jsonForScript('</script><!--\u2028&')).toBe('"\\u003c/script\\u003e\\u003c!--\\u2028\\u0026"');
  });
});

describe('the content policy', () => {
  it('names a script by its hash', () => {
    // Source: W3C Content Security Policy Level 3, section 8.3, the hash of `alert('Hello, world.');`.
    expect(sourceHash("alert('Hello, world.');")).toBe("'sha256-qznLcsROx4GACP2dm0UCKCzCG+HiZ1guq6ZZDob/Tng='");
    expect(sourceHash('')).toBe(`'sha256-${createHash('sha256').digest('base64')}'`);
  });

  it('lets nothing in that is not named', () => {
    const policy = contentPolicy({ scriptHashes: ['one', 'two'].map(sourceHash), style: 'three' });
    expect(policy.startsWith("default-src 'none'; ")).toBe(true);
    expect(policy).not.toMatch(/script-src[^;]*(unsafe|\*|https?:)/);
    expect(policy.split('; ').map((part) => part.split(' ')[0])).toEqual([
      'default-src',
      'script-src',
      'style-src-elem',
      'style-src-attr',
      'img-src',
      'base-uri',
      'form-action',
    ]);
  });
});

describe('the cautions', () => {
  it.each([/never on a public road/, /lean or knocks fails fast.*stop/, /belts and rotors/, /rulebook and licensed practice/, /Local law/])(
    'say %s',
    (words) => {
      expect(cautions.join('\n')).toMatch(words);
    },
  );

  it('stand in the README in the same words', () => {
    const readme = readFileSync(new URL('../../README.md', import.meta.url), 'utf8');
    for (const caution of cautions) expect(readme.includes(`- ${caution}\n`), caution).toBe(true);
  });
});
