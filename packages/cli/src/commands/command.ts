import type { Command } from 'commander';
import type { Io } from '../io.js';

/** 0 done, 1 an input cannot be used, 2 wrong usage. */
export type ExitCode = 0 | 1 | 2;

/** What a command is given besides its arguments, and where it leaves its exit code. */
export interface CommandContext {
  readonly io: Io;
  readonly end: (exit: ExitCode) => void;
}

/** Where a command was asked to put what it makes. */
export interface OutputChoices {
  readonly json?: string;
  readonly report?: string;
  readonly units?: string;
  readonly force?: boolean;
  readonly anywhere?: boolean;
}

/** What may be stated where logs are named instead of a trial; as typed. */
export interface StatedChoices {
  readonly mass?: string;
  readonly driver?: string;
  readonly fuel?: string;
  readonly tire?: string;
  readonly weather?: readonly string[];
  readonly sameOuting?: boolean;
  readonly set?: readonly string[];
}

/** What `compare` may be asked for besides its outputs. */
export interface CompareChoices extends OutputChoices, StatedChoices {
  readonly after?: readonly string[];
  readonly setup?: readonly string[];
  readonly save?: string;
  readonly all?: boolean;
  readonly correction?: string;
  readonly fuelTable?: string;
  readonly fuelAxes?: string;
}

/** Where a new trial file goes. */
export interface NewChoices extends Pick<OutputChoices, 'force' | 'anywhere'> {
  readonly output?: string;
}

/** What a plan is to show, as typed. */
export interface PlanChoices {
  readonly show?: string;
}

/** What the command line may state about logs instead of having it found out; as typed. */
export interface ReadingChoices {
  readonly delimiter?: string;
  readonly decimal?: string;
  readonly encoding?: string;
  readonly timeUnit?: string;
  readonly rate?: string;
  readonly table?: string;
}

/** What `check` may be asked for besides. */
export interface ManyLogsChoices {
  readonly summary?: string;
  readonly parquet?: string;
  readonly workers?: string;
  readonly list?: string;
  readonly part?: string;
  readonly channel?: readonly string[];
  readonly all?: boolean;
}

/** Words of an option that may be given more than once. */
export function collected(word: string, before: readonly string[] | undefined): readonly string[] {
  return [...(before ?? []), word];
}

/** Adds the options that say where results go. */
export function addOutputs(command: Command, wanted: { readonly report: boolean }): Command {
  command.option('--json <file>', 'write the result as JSON; - for standard output, and nothing else there');
  if (wanted.report) command.option('--report <file.html>', 'write the report as one HTML file');
  return addPermissions(command);
}

/** Adds the options that say what an output may replace. */
export function addPermissions(command: Command): Command {
  return command
    .option('--force', 'replace an existing file even when Pullproof did not write it')
    .option('--anywhere', 'let outputs lie outside the folder you are in');
}

/** Adds the options that state how logs are to be read. */
export function addReading(command: Command): Command {
  return command
    .option('--delimiter <word>', 'what parts the columns: comma, semicolon, tab, pipe, spaces, or the character itself')
    .option('--decimal <mark>', 'decimal mark: point or comma')
    .option('--encoding <name>', 'encoding of the text: utf-8, windows-1252, utf-16le or utf-16be')
    .option('--time-unit <unit>', 'unit of the numbers in the time column: s, ms, us, min or h')
    .option('--rate <hertz>', 'rows a second, for a log without a time column')
    .option('--table <number>', 'which of several tables in a file, from 1');
}
