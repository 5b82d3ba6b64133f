import { readdirSync, rmSync } from 'node:fs';
import path from 'node:path';
import { type CheckedLog, type CheckResult, type LogShare, type LogsTogether, logsTogether, PullproofError } from '@pullproof/core';
import type { ManyLogsChoices, OutputChoices } from '../commands/command.js';
import { checkOutput, checkOutputFolder, type OutputOptions } from '../files/checkOutput.js';
import { jsonPart, jsonText } from '../files/jsonText.js';
import { OutputFile } from '../files/outputFile.js';
import { packText } from '../files/packText.js';
import { spareInputs } from '../files/spareInputs.js';
import { runTag } from '../files/temporaryName.js';
import { writeOutput } from '../files/writeOutput.js';
import type { Io } from '../io.js';
import { channelsFolder, partsFolder, seenFolder, summaryFile } from '../parquet/layout.js';
import type { Outcome, Wanted } from './checkOne.js';
import { type LogSummary, summaryCsv } from './logSummary.js';
import { checkOutputs, outputOptions } from './outputs.js';
import { type Part, partName } from './part.js';
import { SeenLogs } from './seenLogs.js';

const schema = 'pullproof/check@1';
const jsonHead = `{\n  "schema": "${schema}",\n  "logs": [`;

/** The outputs of `check`. The JSON is written log by log, so that nothing but a line of each of them is held; every file takes its name when it is whole. */
export class CheckOutputs {
  readonly #choices: OutputChoices & ManyLogsChoices;
  readonly #io: Io;
  readonly #options: OutputOptions;
  readonly #tag: string = runTag();
  readonly #checked: CheckedLog[] = [];
  readonly #summaries: LogSummary[] = [];
  /** What goes to standard output, which cannot be taken back: kept until the end. */
  readonly #pieces: string[] = [];
  /** File with one row a log in the archive, and what is remembered of its logs. */
  readonly #table: string;
  readonly #seen: SeenLogs | null = null;
  readonly #shares: LogShare[] = [];
  #json: OutputFile | null = null;
  #count = 0;

  /** Looks at every output before any work is done. @throws E_OUTPUT_PATH, E_WRITE */
  constructor(choices: OutputChoices & ManyLogsChoices, io: Io, part: Part, reading: object) {
    this.#choices = choices;
    this.#io = io;
    this.#options = outputOptions(choices);
    checkOutputs(choices, io);
    const { summary, parquet } = choices;
    this.#table = path.join(parquet ?? '', ...(part.of === 1 ? [summaryFile] : [partsFolder, `${partName(part)}.parquet`]));
    if (summary !== undefined) {
      const file = checkOutput(summary, io.cwd, summaryKind(summary), this.#options);
      for (const other of [choices.json, choices.report])
        if (other !== undefined && other !== '-' && path.resolve(io.cwd, other) === file) throw sameFile(summary);
    }
    if (parquet !== undefined) {
      const folder = checkOutputFolder(parquet, io.cwd, this.#options);
      checkOutputFolder(path.join(folder, channelsFolder), io.cwd, this.#options);
      checkOutputFolder(path.join(folder, seenFolder), io.cwd, this.#options);
      checkOutput(this.#table, io.cwd, 'parquet', this.#options);
      this.#seen = new SeenLogs(parquet, part, reading, io.cwd, this.#options);
    }
  }

  /** Looks that no output is one of the logs. @throws E_OUTPUT_PATH */
  spare(logs: readonly string[]): void {
    const { json, report, summary, parquet } = this.#choices;
    spareInputs([json, report, summary, ...(parquet === undefined ? [] : [this.#table])], logs, this.#io.cwd);
  }

  /** The logs that are to be read: all, or those that the archive does not have as they are now, where nothing else is wanted of them. */
  toDo(logs: readonly string[]): readonly string[] {
    const { json, report, summary } = this.#choices;
    const seen = this.#seen;
    return seen === null || (json ?? report ?? summary) !== undefined ? logs : logs.filter((log) => !seen.has(log));
  }

  /** What is wanted of each log for these outputs. */
  get wanted(): Pick<Wanted, 'json' | 'checked' | 'parquet'> {
    const { json, report, parquet } = this.#choices;
    return {
      json: json !== undefined,
      checked: report !== undefined,
      parquet: parquet === undefined ? null : { folder: parquet, ...this.#options, tag: this.#tag },
    };
  }

  /** What all logs so far are good for together. */
  get together(): LogsTogether {
    return logsTogether(this.#shares);
  }

  /** Takes in the next log. @throws E_WRITE */
  add({ json, checked, summary, share }: Outcome): void {
    if (share !== null) this.#shares.push(share);
    if (json !== null) this.#put(`${this.#count === 0 ? jsonHead : ','}\n    ${json}`);
    if (checked !== null) this.#checked.push(checked);
    if (this.#choices.summary !== undefined) this.#summaries.push(summary);
    this.#seen?.add(summary);
    this.#count++;
  }

  /** Writes what stands at the end. @throws E_WRITE */
  async finish(): Promise<void> {
    const { report, summary, json } = this.#choices;
    const from = this.#io.cwd;
    if (report !== undefined) {
      const { renderCheck } = await import('@pullproof/report');
      const result: CheckResult = { schema, logs: this.#checked, together: this.together };
      writeOutput(report, renderCheck(result, { pack: packText }), from, 'report', this.#options);
    }
    if (summary !== undefined) {
      const kind = summaryKind(summary);
      const text = kind === 'csv' ? summaryCsv(this.#summaries) : jsonText({ schema: 'pullproof/summary@1', logs: this.#summaries });
      writeOutput(summary, text, from, kind, this.#options);
    }
    if (this.#seen !== null) {
      this.#seen.write();
      (await import('../parquet/writeSummary.js')).writeSummary(this.#seen.summaries, this.#table, from, this.#options);
    }
    if (json === undefined) return;
    this.#put(`\n  ],\n  "together": ${jsonPart(this.together, '  ')}\n}\n`);
    if (json === '-') for (const piece of this.#pieces) this.#io.stdout.write(piece);
    this.#json?.finish();
    this.#json = null;
  }

  /** Takes away what was begun. Files of channels that were finished stay: each is whole. */
  drop(): void {
    this.#json?.drop();
    this.#json = null;
    this.#seen?.writeIfPossible();
    if (this.#choices.parquet === undefined) return;
    const folder = path.resolve(this.#io.cwd, this.#choices.parquet, channelsFolder);
    for (const name of namesIn(folder)) if (name.endsWith(`.${this.#tag}.tmp`)) rmSync(path.join(folder, name), { force: true });
  }

  #put(piece: string): void {
    const { json } = this.#choices;
    if (json === '-') this.#pieces.push(piece);
    else {
      this.#json ??= new OutputFile(json!, this.#io.cwd, 'json', this.#options);
      this.#json.write(piece);
    }
  }
}

function summaryKind(name: string): 'json' | 'csv' {
  return /\.json$/i.test(name) ? 'json' : 'csv';
}

function sameFile(name: string): PullproofError {
  return new PullproofError(
    'E_OUTPUT_PATH',
    'The summary and another output would go to the same file.',
    { path: name },
    'Name two files.',
  );
}

function namesIn(folder: string): string[] {
  try {
    return readdirSync(folder);
  } catch (cause) {
    if ((cause as NodeJS.ErrnoException).code === 'ENOENT') return [];
    throw cause;
  }
}
