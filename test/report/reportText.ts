/** Mark-up of a page without its scripts and style. */
export function markupOf(page: string): string {
  return page.replace(/<script[\s\S]*?<\/script>/g, '').replace(/<style>[\s\S]*?<\/style>/g, '');
}

/** Mark-up of a topic of the report; empty where there is none. */
export function topicOf(page: string, id: string): string {
  const body = markupOf(page);
  const from = new RegExp(`<details class="topic [^"]*" id="${id}"`).exec(body)?.index;
  if (from === undefined) return '';
  const end = body.indexOf('<details class="topic ', from + 1);
  return body.slice(from, end < 0 ? body.indexOf('</main>', from) : end);
}

/** Words of mark-up as a reader meets them. */
export function wordsOf(markup: string): string {
  return markup
    .replace(/<noscript>[\s\S]*?<\/noscript>/g, ' ')
    .replace(/<svg[\s\S]*?<\/svg>/g, ' ')
    .replace(/<[^>]*>/g, ' ')
    .replace(/&#39;/g, "'")
    .replace(/&quot;/g, '"')
    .replace(/&lt;/g, '<')
    .replace(/&gt;/g, '>')
    .replace(/&amp;/g, '&')
    .replace(/[\s\u00a0]+/g, ' ');
}
