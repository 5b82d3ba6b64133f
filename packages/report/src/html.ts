/** Text that is safe to stand in a page. Only the `html` tag makes it. */
export class Html {
  readonly markup: string;

  constructor(markup: string) {
    this.markup = markup;
  }

  toString(): string {
    return this.markup;
  }
}

/** What may stand in an `html` template. Everything but `Html` is escaped. */
export type HtmlPart = Html | string | number | null | undefined | readonly HtmlPart[];

/**
 * Markup from a template: what is put in is escaped unless it is `Html` itself; arrays are joined; null and undefined leave nothing.
 * @example
 * ```ts
 * import { html } from '@pullproof/report';
 * html`<p>${'<b>'}</p>`.markup; // => '<p>&lt;b&gt;</p>'
 * ```
 */
export function html(strings: TemplateStringsArray, ...parts: readonly HtmlPart[]): Html {
  return new Html(strings.map((text, index) => text + (index < parts.length ? markupOf(parts[index]) : '')).join(''));
}

/** Markup that was written here and holds nothing from outside. */
export function trustedHtml(markup: string): Html {
  return new Html(markup);
}

function markupOf(part: HtmlPart): string {
  if (part === null || part === undefined) return '';
  if (part instanceof Html) return part.markup;
  if (typeof part === 'string') return escapeText(part);
  if (typeof part === 'number') return String(part);
  return part.map(markupOf).join('');
}

const entities: Readonly<Record<string, string>> = { '&': '&amp;', '<': '&lt;', '>': '&gt;', '"': '&quot;', "'": '&#39;' };

/**
 * Text as inert page text. Characters that steer a terminal or the direction of writing are shown by their code.
 * @param text any text, also from a log
 * @returns text for content and for quoted attributes
 */
export function escapeText(text: string): string {
  return visibleText(text).replace(/[&<>"']/g, (letter) => entities[letter]!);
}

/** Text in which every control and direction character is replaced by its visible code; line breaks become spaces. */
export function visibleText(text: string): string {
  return text
    .replace(/[\t\r\n]+/g, ' ')
    .replace(
      /[\u0000-\u001f\u007f-\u009f\u061c\u200b-\u200f\u2028-\u202e\u2066-\u2069\ufeff]/g,
      (letter) => `\\u${letter.codePointAt(0)!.toString(16).padStart(4, '0')}`,
    );
}

/** A name cut to a length that a page can bear; the cut is shown. */
export function shortName(text: string, longest = 120): string {
  const letters = Array.from(text);
  return letters.length > longest ? `${letters.slice(0, longest - 1).join('')}…` : text;
}
