export { applyTheme } from './applyTheme.js';
export { type BandCurve, bandFigure } from './bandFigure.js';
export { bandOutline } from './bandTraces.js';
export { axis, baseLayout, engineSpeedAxis, levelTitle } from './baseLayout.js';
export { calculatedFigure, calculatedUnit } from './calculatedFigure.js';
export { channelsFigure } from './channelsFigure.js';
export { chargeTemperatureFigure } from './chargeTemperatureFigure.js';
export { coverageFigure } from './coverageFigure.js';
export type { CurveName } from './curveFigure.js';
export { differenceFigure, regionText } from './differenceFigure.js';
export { differenceTitle } from './differenceTitle.js';
export {
  type DisplayQuantity,
  type DisplayUnit,
  displayUnitFor,
  displayUnits,
  inDisplayUnit,
  plainUnit,
  shareInPercent,
  type UnitSystem,
} from './displayUnits.js';
export { expectedRatioFigure } from './expectedRatioFigure.js';
export type { Figure, FigureTable, KeyEntry, PlotlyObject } from './figure.js';
export { emptyFigure } from './figure.js';
export { type FuelQuantity, fuelFigure } from './fuelFigure.js';
export { gapFigure } from './gapFigure.js';
export { type Interval, intervalsFigure } from './intervalsFigure.js';
export { labelText } from './labelText.js';
export { logUnits } from './logUnits.js';
export { mixtureDriftFigure } from './mixtureDriftFigure.js';
export { bandText, changeBandText, changeText, numberText, significantText } from './numberText.js';
export { palette, type Role, type SetupStyle, setupStyle, type Theme } from './palette.js';
export { powerFigure, torqueFigure } from './powerFigure.js';
export { pullSpreadFigure } from './pullSpreadFigure.js';
export { pullsFigure } from './pullsFigure.js';
export { type DifferenceQuantity, quantityDifferenceFigure } from './quantityDifferenceFigure.js';
export { routesFigure } from './routesFigure.js';
export { bestForecasts, forecastMotionFigure, forecastSpreadFigure, inputSharesFigure, loggedMotionFigure } from './stripFigures.js';
export { forecastMethodsFigure, learnedFigure, slipMarksFigure, trapPowerFigure, worthFigure } from './stripIntervals.js';
export { topEndFigure } from './topEndFigure.js';
