export { type AlignedSlip, type AlignOptions, alignSlip } from './alignSlip.js';
export { type CarriedSlip, carrySlip } from './carrySlip.js';
export { checkSlip, usableSlip } from './checkSlip.js';
export { constantPower, type ElapsedTime } from './constantPower.js';
export { type FoundPass, findPass, type SpeedLog } from './findPass.js';
export { type Banded, forecastPass, type PassForecast } from './forecastPass.js';
export { type LearnedCar, learnFromSlips, type Slip, slipError, slipOf } from './learnFromSlips.js';
export type { Grip, Launch, PassCar, PassDay, Shift } from './passCar.js';
export {
  carInputs,
  movedPass,
  ownInputs,
  type PassInput,
  type PassInputName,
  type PassModel,
  type PassSpreads,
  type UncertainDay,
  usualPassSpreads,
} from './passInputs.js';
export { powerFromTrap } from './powerFromTrap.js';
export { extrapolationSpread, type PowerTable, powerTable } from './powerTable.js';
export { estimateQuarterMile, powerFromTrapSpeed, type QuarterMileRule, quarterMileRules, ruleScatter } from './publishedRules.js';
export { type Pass, type PassMark, simulatePass, speedSpanS } from './simulatePass.js';
export { type StripMark, speedTrapM, stripMarkM, stripMarks, usualRollOutM } from './stripGeometry.js';
export { type ChangedPass, type Worth, worthOfChange } from './worthOfChange.js';
