export { cautions } from './cautions.js';
export { figureKey } from './figureBlock.js';
export { escapeText, Html, type HtmlPart, html, visibleText } from './html.js';
export { jsonForScript } from './jsonScript.js';
export { renderCheck } from './renderCheck.js';
export { renderReport } from './renderReport.js';
export { renderForecast, renderReconcile } from './renderStrip.js';
export { reportPolicy } from './reportPolicy.js';
export type { Block, FigureBlock, ReportSection } from './section.js';
