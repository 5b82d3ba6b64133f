import { type CheckedLog, csvText, type PullproofError } from '@pullproof/core';

/** What a log comes down to in one line of a table. */
export interface LogSummary {
  readonly log: string;
  readonly state: 'read' | 'failed';
  /** Code of what kept it from being read. */
  readonly problem: string | null;
  readonly rows: number;
  readonly rowsDropped: number;
  readonly durationS: number | null;
  readonly channels: number;
  readonly recognised: number;
  readonly pulls: number;
  readonly passes: number;
  readonly idles: number;
  readonly cruises: number;
  readonly coasts: number;
  readonly pullWork: string | null;
  readonly cruiseWork: string | null;
  readonly idleWork: string | null;
  readonly warnings: number;
  /** Codes of its findings, each once, parted by spaces. */
  readonly findings: string;
  /** SHA-256 of the file's bytes; null when it was not read to its end. */
  readonly sha256: string | null;
}

/** Sums up one log. */
export function summaryOf(log: CheckedLog, problem: PullproofError | null, sha256: string | null): LogSummary {
  const count = (kind: CheckedLog['stretches'][number]['kind']): number => log.stretches.filter((stretch) => stretch.kind === kind).length;
  const fit = (work: string): string | null => log.fitness?.find((one) => one.work === work)?.verdict ?? null;
  return {
    log: log.path,
    state: problem === null ? 'read' : 'failed',
    problem: problem?.code ?? null,
    rows: log.rows,
    rowsDropped: log.rowsDropped,
    durationS: log.durationS,
    channels: log.channels.length,
    recognised: log.channels.filter(({ quantity }) => quantity !== null).length,
    pulls: count('pull'),
    passes: count('pass'),
    idles: count('idle'),
    cruises: count('cruise'),
    coasts: count('coast'),
    pullWork: fit('pull'),
    cruiseWork: fit('cruise'),
    idleWork: fit('idle'),
    warnings: log.findings.filter(({ severity }) => severity === 'warning').length,
    findings: [...new Set(log.findings.map(({ code }) => code))].join(' '),
    sha256,
  };
}

const columns: readonly (readonly [string, (one: LogSummary) => string | number | null])[] = [
  ['log', (one) => one.log],
  ['state', (one) => one.state],
  ['problem', (one) => one.problem],
  ['rows', (one) => one.rows],
  ['rows dropped', (one) => one.rowsDropped],
  ['duration (s)', (one) => one.durationS],
  ['channels', (one) => one.channels],
  ['recognised', (one) => one.recognised],
  ['pulls', (one) => one.pulls],
  ['passes', (one) => one.passes],
  ['idle stretches', (one) => one.idles],
  ['cruise stretches', (one) => one.cruises],
  ['coast stretches', (one) => one.coasts],
  ['for pull work', (one) => one.pullWork],
  ['for cruise work', (one) => one.cruiseWork],
  ['for idle work', (one) => one.idleWork],
  ['warnings', (one) => one.warnings],
  ['findings', (one) => one.findings],
  ['sha256', (one) => one.sha256],
];

/** One row a log, comma-separated with CRLF line ends (RFC 4180); what a spreadsheet would run as a formula is led by an apostrophe. */
export function summaryCsv(logs: readonly LogSummary[]): string {
  const lines = [columns.map(([name]) => name), ...logs.map((one) => columns.map(([, of]) => cell(of(one))))];
  return `${lines.map((line) => line.join(',')).join('\r\n')}\r\n`;
}

function cell(value: string | number | null): string {
  if (value === null) return '';
  if (typeof value === 'number') return String(value);
  return csvText(value);
}
