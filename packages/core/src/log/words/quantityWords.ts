import type { Quantity } from './quantities.js';

/** Phrases for each quantity in one language. `=` marks a phrase that counts only when it is the whole name. */
export type QuantityWords = Readonly<Partial<Record<Quantity, readonly string[]>>>;
