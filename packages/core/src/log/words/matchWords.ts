import type { Dimension } from '../../units/index.js';
import { english, englishShort } from './english.js';
import { french } from './french.js';
import { german } from './german.js';
import { italian } from './italian.js';
import { commandedWords, neutralWords, otherWords } from './modifiers.js';
import { nameTokens } from './nameTokens.js';
import { portuguese } from './portuguese.js';
import type { Quantity } from './quantities.js';
import { quantityDimensions } from './quantityDimensions.js';
import type { QuantityWords } from './quantityWords.js';
import { spanish } from './spanish.js';

interface Phrase {
  readonly quantity: Quantity;
  readonly tokens: readonly string[];
  readonly alone: boolean;
  readonly language: string;
}

const languages: readonly { readonly name: string; readonly words: QuantityWords }[] = [
  { name: 'English', words: english },
  { name: 'German', words: german },
  { name: 'French', words: french },
  { name: 'Spanish', words: spanish },
  { name: 'Italian', words: italian },
  { name: 'Portuguese', words: portuguese },
];

const phrases: readonly Phrase[] = languages.flatMap(({ name, words }) =>
  (Object.entries(words) as [Quantity, readonly string[]][]).flatMap(([quantity, texts]) =>
    texts.map((text) => {
      const alone = text.startsWith('=');
      return { quantity, tokens: expanded(nameTokens(alone ? text.slice(1) : text)), alone, language: name };
    }),
  ),
);

const byFirst: ReadonlyMap<string, readonly Phrase[]> = grouped();

export interface WordMatch {
  readonly quantity: Quantity;
  /** The words that told. */
  readonly words: string;
  readonly language: string;
}

/**
 * The quantity that a name's words mean, by the longest phrase of the trade they contain; null where they mean none, or a wish, a limit or a correction.
 *
 * @param dimension only quantities logged in this dimension
 */
export function matchWords(name: string, dimension?: Dimension): WordMatch | null {
  const tokens = expanded(nameTokens(name));
  const spoken = tokens.filter((token) => !neutralWords.has(token) || tokens.length === 1);
  let best: Phrase | null = null;
  let rival = false;
  for (const list of spoken === tokens ? [tokens] : [tokens, spoken]) {
    for (let i = 0; i < list.length; i++) {
      for (const phrase of byFirst.get(list[i]!) ?? []) {
        if (best !== null && phrase.tokens.length < best.tokens.length) continue;
        if (dimension !== undefined && !quantityDimensions[phrase.quantity].includes(dimension)) continue;
        if (!phrase.tokens.every((token, k) => list[i + k] === token)) continue;
        const rest = spoken.filter((token) => !phrase.tokens.includes(token));
        if (phrase.alone && rest.some((token) => !isSuffix(token))) continue;
        const same = best !== null && phrase.tokens.length === best.tokens.length;
        // One and the same word for two quantities (`ambient`): only a unit can tell.
        if (same && phrase.quantity !== best!.quantity && phrase.tokens.join(' ') === best!.tokens.join(' ')) rival = true;
        if (same) continue;
        best = phrase;
        rival = false;
      }
    }
  }
  if (best === null || rival) return null;
  const chosen = best;
  const rest = tokens.filter((token) => !chosen.tokens.includes(token));
  if (rest.some((token) => otherWords.has(token))) return null;
  const found = { words: chosen.tokens.join(' '), language: chosen.language };
  if (!rest.some((token) => commandedWords.has(token))) return { quantity: chosen.quantity, ...found };
  if (chosen.quantity === 'lambda' || chosen.quantity === 'commanded-lambda') return { quantity: 'commanded-lambda', ...found };
  if (chosen.quantity === 'gear' || chosen.quantity === 'commanded-gear') return { quantity: 'commanded-gear', ...found };
  return null;
}

/** What may stand beside a word that otherwise counts only alone: a number, a bank, a single letter. */
function isSuffix(token: string): boolean {
  return /^\d+$/.test(token) || token === 'bank' || token === 'b' || token === 's' || commandedWords.has(token);
}

function expanded(tokens: readonly string[]): string[] {
  return tokens.flatMap((token) => (Object.hasOwn(englishShort, token) ? englishShort[token]!.split(' ') : [token]));
}

function grouped(): Map<string, Phrase[]> {
  const map = new Map<string, Phrase[]>();
  for (const phrase of phrases) {
    const key = phrase.tokens[0]!;
    const list = map.get(key);
    if (list === undefined) map.set(key, [phrase]);
    else list.push(phrase);
  }
  return map;
}
