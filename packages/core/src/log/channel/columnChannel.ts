import type { Unit } from '../../units/index.js';
import { findUnit } from '../../units/index.js';
import { bankOf, wheelPosition } from '../words/modifiers.js';
import type { NamedColumn } from '../words/nameAndUnit.js';
import { nameTokens } from '../words/nameTokens.js';
import type { Quantity } from '../words/quantities.js';
import { bankedQuantities, quantityDimensions } from '../words/quantityDimensions.js';
import type { StatedChannel } from '../words/statedChannel.js';
import { guessUnit } from './guessUnit.js';
import { rangeOf } from './valueRange.js';

/** What a column is, and how its numbers come to SI. */
export interface Recognition {
  readonly quantity: Quantity | null;
  readonly bank: number | null;
  readonly position: string | null;
  readonly reference: 'absolute' | 'gauge' | null;
  readonly unit: string;
  readonly standing: 'stated' | 'recognised' | 'guessed' | 'unknown';
  readonly evidence: string;
  readonly toSi: ((value: number) => number) | null;
  /** What the words alone would have meant, where unit or range forbade it. */
  readonly wanted: Quantity | null;
}

/** Joins what the user stated, what name and unit say and what the numbers themselves allow. */
export function recognise(named: NamedColumn, stated: StatedChannel | null, values: Float64Array, gaugeStoich: number): Recognition {
  if (stated !== null) return recogniseStated(named, stated, values, gaugeStoich);
  const { match } = named;
  if (match === null) return unknown(named, 'its name is none that is known', null);
  const { quantity } = match;
  const said = `"${match.words}"${match.language === 'English' ? '' : ` (${match.language})`}`;
  const dimensions = quantityDimensions[quantity];
  if (named.unit !== null) {
    const angle = named.unit.dimension === 'angle' && quantity === 'throttle';
    if (!dimensions.includes(named.unit.dimension) && !angle && !(dimensions.length === 0 && named.unit.symbol === '1')) {
      return unknown(
        named,
        `${said} reads like ${quantity}, but its unit ${named.unit.symbol} is one of ${named.unit.dimension}`,
        quantity,
      );
    }
    const unit = angle ? quarterTurn(named.unit) : named.unit;
    return finish(named, quantity, unit, 'recognised', `${said} and unit ${named.unitText}`, null, values, gaugeStoich);
  }
  if (dimensions.length === 0) return finish(named, quantity, null, 'recognised', said, null, values, gaugeStoich);
  const implied = impliedUnit(named, quantity);
  if (implied !== null) return finish(named, quantity, findUnit(implied), 'recognised', said, null, values, gaugeStoich);
  const guess = guessUnit(quantity, rangeOf(values));
  if (guess.unit === null) return unknown(named, `${said} reads like ${quantity}, but ${guess.evidence}`, quantity);
  return finish(named, quantity, findUnit(guess.unit, dimensions[0]), 'guessed', `${said}; ${guess.evidence}`, null, values, gaugeStoich);
}

/** A column that its words name and its numbers leave open, with the unit that other channels of the log settle. */
export function recogniseBy(named: NamedColumn, unitText: string, because: string, values: Float64Array, gaugeStoich: number): Recognition {
  const { quantity, words } = named.match!;
  const unit = findUnit(unitText, quantityDimensions[quantity][0]);
  return finish(
    named,
    quantity,
    unit,
    'guessed',
    `"${words}"; no unit is written; taken as ${unitText}, ${because}`,
    null,
    values,
    gaugeStoich,
  );
}

function recogniseStated(named: NamedColumn, stated: StatedChannel, values: Float64Array, gaugeStoich: number): Recognition {
  const { quantity } = stated;
  if (quantity === null) return { ...unknown(named, 'stated: ignore', null), standing: 'stated' };
  const dimensions = quantityDimensions[quantity];
  const written = named.unit !== null && dimensions.includes(named.unit.dimension) ? named.unit : null;
  const implied = impliedUnit(named, quantity);
  let unit = stated.unit ?? written ?? (implied === null ? null : findUnit(implied));
  let evidence = stated.unit === null && written !== null ? `stated; unit ${named.unitText} from the file` : 'stated';
  if (unit === null && dimensions.length > 0) {
    const guess = guessUnit(quantity, rangeOf(values));
    if (guess.unit === null) return unknown(named, `stated as ${quantity}, but ${guess.evidence}`, quantity);
    unit = findUnit(guess.unit, dimensions[0]);
    evidence = `stated; ${guess.evidence}`;
  }
  return finish(named, quantity, unit, 'stated', evidence, stated, values, gaugeStoich);
}

function finish(
  named: NamedColumn,
  quantity: Quantity,
  unit: Unit | null,
  standing: Recognition['standing'],
  evidence: string,
  stated: StatedChannel | null,
  values: Float64Array,
  gaugeStoich: number,
): Recognition {
  const tokens = nameTokens(named.words);
  const pressure = quantityDimensions[quantity][0] === 'pressure';
  const reference = pressure ? referenceOf(quantity, tokens, unit, stated, values) : null;
  const toSi = unit === null ? null : unit.dimension === 'air-fuel-ratio' ? (value: number) => unit.toSi(value) / gaugeStoich : unit.toSi;
  const ratio = unit?.dimension === 'air-fuel-ratio' ? `; lambda by a gauge scale of ${gaugeStoich}` : '';
  return {
    quantity,
    bank: stated?.bank ?? (bankedQuantities.has(quantity) ? bankOf(tokens) : null),
    position: quantity === 'wheel-speed' ? wheelPosition(tokens) : null,
    reference: reference?.reference ?? null,
    unit: unit?.symbol ?? '',
    standing: reference?.guessed === true && standing === 'recognised' ? 'guessed' : standing,
    evidence: `${evidence}${ratio}${reference === null || reference.because === '' ? '' : `; ${reference.because}`}`,
    toSi,
    wanted: quantity,
  };
}

function unknown(named: NamedColumn, evidence: string, wanted: Quantity | null): Recognition {
  return {
    quantity: null,
    bank: null,
    position: null,
    reference: null,
    unit: named.unit?.symbol ?? '',
    standing: 'unknown',
    evidence,
    toSi: null,
    wanted,
  };
}

/** Units that a name implies without writing them. */
function impliedUnit(named: NamedColumn, quantity: Quantity): string | null {
  const tokens = nameTokens(named.words);
  if (tokens.includes('rpm')) return 'rpm';
  if (quantity === 'lambda' || quantity === 'commanded-lambda') {
    if (tokens.includes('afr')) return 'AFR';
    if (tokens.includes('lambda')) return 'λ';
  }
  return null;
}

/** A throttle angle as a share of a quarter turn. */
function quarterTurn(unit: Unit): Unit {
  return { ...unit, toSi: (value) => unit.toSi(value) / 90, fromSi: (share) => unit.fromSi(share * 90) };
}

function referenceOf(
  quantity: Quantity,
  tokens: readonly string[],
  unit: Unit | null,
  stated: StatedChannel | null,
  values: Float64Array,
): { readonly reference: 'absolute' | 'gauge'; readonly guessed: boolean; readonly because: string } {
  const sure = (reference: 'absolute' | 'gauge', because: string) => ({ reference, guessed: false, because });
  if (stated !== null && stated.reference !== null) return sure(stated.reference, '');
  if (unit !== null && unit.reference !== null) return sure(unit.reference, `unit says ${unit.reference}`);
  if (tokens.some((token) => /^(?:gauge|gage|relative|relativ|relatif|relativa|relativo|rel|vacuum)$/.test(token)))
    return sure('gauge', 'name says gauge');
  if (tokens.some((token) => /^(?:absolute|abs|absolut|absolu|absolue|absoluta|absoluto|assoluta|assoluto|map)$/.test(token)))
    return sure('absolute', 'name says absolute');
  if (tokens.some((token) => token === 'boost' || token === 'ladedruck')) {
    return { reference: 'gauge', guessed: true, because: 'boost taken as gauge' };
  }
  if (quantity === 'barometric-pressure') return sure('absolute', 'a barometer is absolute');
  if (quantity === 'fuel-pressure') return { reference: 'gauge', guessed: true, because: 'fuel pressure taken as gauge' };
  const { min, count } = rangeOf(values);
  const least = count === 0 || unit === null ? Number.NaN : unit.toSi(min);
  if (least < 5000)
    return {
      reference: 'gauge',
      guessed: true,
      because: 'taken as gauge, as it falls below 5 kPa, which no running engine reads absolute',
    };
  return { reference: 'absolute', guessed: true, because: 'taken as absolute, as it never falls below 5 kPa' };
}
