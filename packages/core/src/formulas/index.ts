export { type CalculatedChannel, type CalculateOptions, calculateChannels } from './calculateChannels.js';
export type { CompiledPart, FormulaSamples } from './compileFormula.js';
export { compileFormulas, type Formula, formulaTexts, type NamedFormulas } from './formulas.js';
export { type FormulaParser, loadFormulaParser } from './formulaTree.js';
