import type { LogSummary } from '../jobs/logSummary.js';
import { inertText } from './inertText.js';
import { type Style, shownBy } from './style.js';

/** One log of many, in one line: its name, rows, stretches, warnings. One that could not be read was told as an error. */
export function summaryLine(one: LogSummary, style: Style): string {
  if (one.state === 'failed') return '';
  const { log, rows, durationS, pulls, passes, warnings, pullWork } = one;
  const parts = [
    `${rows} rows`,
    ...(durationS === null ? [] : [`${durationS.toFixed(1)} s`]),
    counted(pulls, 'pull', 'pulls'),
    ...(passes === 0 ? [] : [counted(passes, 'pass', 'passes')]),
    ...(pullWork === null ? [] : [`for pull work: ${pullWork}`]),
    ...(warnings === 0 ? [] : [style.yellow(counted(warnings, 'warning', 'warnings'))]),
  ];
  return `${style.bold(shownBy(inertText(log, 120), style))}: ${parts.join(', ')}\n`;
}

function counted(count: number, one: string, more: string): string {
  return `${count} ${count === 1 ? one : more}`;
}
