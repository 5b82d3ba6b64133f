export type { Cell, ColumnTable, TableData } from './cell.js';
export { saveCsv, toCsv } from './csv.js';
export type { FigureOutput } from './figureOutput.js';
export { type Frame, type FrameGroups, frame, frameNames } from './frame.js';
export { check, compare, forecast, openLog, plan, type Question, type QuestionOptions, reconcile } from './openFiles.js';
export { type Notebook, type NotebookDisplay, openNotebook } from './openNotebook.js';
export { type StillPictures, stillPictures } from './stillPictures.js';
export type { NotebookResult } from './summaryHtml.js';
export type { TableOptions } from './tableHtml.js';
