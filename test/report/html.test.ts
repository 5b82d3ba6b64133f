import { createHash } from 'node:crypto';
import { readFileSync } from 'node:fs';
import { cautions, escapeText, html, jsonForScript, renderReport, reportPolicy, visibleText } from '@pullproof/report';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { inventedTrials } from './inventedTrials.js';

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
  const hash = (text: string): string => `'sha256-${createHash('sha256').update(text, 'utf8').digest('base64')}'`;

  it('names the script and the styles by their hashes, and lets nothing else in', () => {
    const page = renderReport(Object.values(inventedTrials)[0]!);
    const policy = /Content-Security-Policy" content="([^"]*)">/.exec(page)![1]!;
    const styles = [...page.matchAll(/<style>([\s\S]*?)<\/style>/g)].map((match) => hash(match[1]!));
    const script = hash(/<script type="module">([\s\S]*?)<\/script>/.exec(page)![1]!);
    expect(policy).toBe(`default-src 'none'; script-src ${script}; style-src ${styles.join(' ')}; base-uri 'none'; form-action 'none'`);
    expect(styles).toHaveLength(2);
    expect(reportPolicy()).toEqual({ scriptHashes: [script], styleHashes: styles });
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
