import { findUnit, type Unit } from '../../units/index.js';
import { matchWords, type WordMatch } from './matchWords.js';
import { quantityDimensions } from './quantityDimensions.js';

/** A column's name taken apart. */
export interface NamedColumn {
  /** The name's words without the unit. */
  readonly words: string;
  readonly match: WordMatch | null;
  readonly unit: Unit | null;
  readonly unitText: string;
}

/** A longer name is none of the trade's, and is not read. */
const longestName = 300;

const bracketed = /^(.*?)[\s_]*[[({<]([^\][(){}<>]*(?:[([][^\][(){}<>]*[)\]])?)[\])}>]\s*$/su;

/** Parts name and unit: `Engine RPM [RPM]`, `Boost (psi)`, `Coolant Temp, °F`, `MAP_kPa`, `Speed km/h`, or the unit of a units row. */
export function parseName(written: string, unitRowText: string): NamedColumn {
  const name = written.replace(/\s+/g, ' ');
  if (name.length > longestName || unitRowText.length > longestName) return { words: written, match: null, unit: null, unitText: '' };
  const rowText = unitRowText.trim();
  const bare = bracketed.exec(name);
  if (rowText !== '' && (findUnit(rowText) !== null || bare === null)) {
    const inName = bare !== null && findUnit(bare[2]!) !== null ? bare[1]! : name;
    const { match, unit } = together(inName, rowText);
    return { words: inName, match, unit, unitText: rowText };
  }
  if (bare !== null) {
    const inner = bare[2]!.trim();
    const { match, unit } = together(bare[1]!, inner);
    if (unit !== null) return { words: bare[1]!, match: match ?? matchWords(`${bare[1]!} ${inner}`), unit, unitText: inner };
    if (inner === '') return { words: bare[1]!, match, unit: null, unitText: '' };
  }
  return trailingUnit(name) ?? { words: name, match: matchWords(name), unit: null, unitText: '' };
}

/** A unit written after the words without brackets counts only where its dimension is that of the words before it. */
function trailingUnit(name: string): NamedColumn | null {
  for (const parts of [
    /^(.*\S)\s*[,:;/|]\s*(\S.*)$/su,
    /^(.*\S)\s+-\s+(\S.*)$/su,
    /^(.*[^\s_])[\s_]+(\S+[\s_](?:abs|absolute|gauge|g|a))$/isu,
    /^(.*[^\s_.])[\s_.]+(\S+)$/su,
  ]) {
    const found = parts.exec(name);
    if (found === null) continue;
    const words = found[1]!;
    const unitText = found[2]!.replaceAll('_', ' ');
    const match = matchWords(words) ?? matchedBy(findUnit(unitText), words);
    // The last word of an air-fuel ratio is no unit.
    if (match === null || !/[\p{L}%°‰]/u.test(unitText) || /^ratio$/i.test(unitText)) continue;
    const unit = unitFor(unitText, match);
    if (unit !== null && quantityDimensions[match.quantity].includes(unit.dimension)) {
      return { words, match, unit, unitText };
    }
  }
  return null;
}

/** Words that mean two quantities, told apart by the unit behind them. */
function matchedBy(unit: Unit | null, words: string): WordMatch | null {
  return unit === null ? null : matchWords(words, unit.dimension);
}

/** Words and unit read together: where the words alone mean a quantity of another dimension, one of the unit's own is looked for. */
function together(words: string, unitText: string): { readonly match: WordMatch | null; readonly unit: Unit | null } {
  const match = matchWords(words);
  const unit = unitFor(unitText, match);
  if (unit === null || (match !== null && quantityDimensions[match.quantity].includes(unit.dimension))) return { match, unit };
  return { match: matchWords(words, unit.dimension) ?? match, unit };
}

function unitFor(text: string, match: WordMatch | null): Unit | null {
  const wanted = match === null ? [] : quantityDimensions[match.quantity];
  for (const dimension of wanted) {
    const unit = findUnit(text, dimension);
    if (unit?.dimension === dimension) return unit;
  }
  const found = findUnit(text);
  // A dash stands for no unit where a bare number makes no sense.
  return found?.symbol === '1' && wanted.length > 0 ? null : found;
}
