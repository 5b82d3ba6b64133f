export { convert } from './convert.js';
export { findUnit, unitSymbols } from './findUnit.js';
export { type MarginText, marginDecimals, marginText } from './marginText.js';
export { changeText, numberText, rpmText } from './numberText.js';
export { type ParsedQuantity, parseQuantity } from './parseQuantity.js';
export { systemOf, systemOfColumns, type UnitSystem } from './system.js';
export { type Dimension, dimensions, type PressureReference, type Unit } from './unit.js';
