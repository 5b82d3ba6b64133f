import { availableParallelism } from 'node:os';
import { PullproofError } from '@pullproof/core';
import type { ExitCode, ManyLogsChoices, OutputChoices, ReadingChoices } from '../commands/command.js';
import type { Io } from '../io.js';
import { Progress } from '../terminal/progress.js';
import { styleFor } from '../terminal/style.js';
import { summaryLine } from '../terminal/summaryLine.js';
import { togetherText } from '../terminal/togetherText.js';
import { checkOne, type Outcome, problemOf, type StatedOfLog, type Wanted } from './checkOne.js';
import { CheckOutputs } from './checkOutputs.js';
import { findLogs, namedIn } from './findLogs.js';
import { aboveZero, statedChannels, statedReading } from './logs.js';
import { putProblem } from './outputs.js';
import { logsOfPart, partOf } from './part.js';
import { asProblem, errorResult, tellProblem } from './problems.js';

/** More logs than this are shown in one line each. */
const shownInFull = 10;
/** So few logs are read one after the other right here, unless workers were asked for: a worker takes longer to start. */
const fewLogs = 3;

/** Checks logs and puts what was found where it was asked for. */
export async function check(
  named: readonly string[],
  choices: OutputChoices & ReadingChoices & ManyLogsChoices,
  io: Io,
): Promise<ExitCode> {
  const progress = new Progress(io);
  let outputs: CheckOutputs | null = null;
  let failed = 0;
  try {
    const reading = { ...statedReading(choices), channels: statedChannels(choices.channel) };
    const workers = workersOf(choices.workers);
    const part = partOf(choices.part);
    if (named.length === 0 && choices.list === undefined)
      throw new PullproofError('E_STATED', 'No log is named.', {}, 'Name logs, or a file that lists them with --list.');
    const listed = await findLogs([...named, ...(choices.list === undefined ? [] : namedIn(choices.list, io))], io.cwd);
    const mine = logsOfPart(listed, part);
    outputs = new CheckOutputs(choices, io, part, {
      ...reading,
      channels: reading.channels === undefined ? undefined : [...reading.channels],
    });
    outputs.spare(mine);
    const paths = outputs.toDo(mine);
    if (paths.length < mine.length && choices.json !== '-')
      io.stdout.write(`${mine.length - paths.length} of ${mine.length} logs are in the archive as they are now.\n`);
    const wanted = wantedOf(paths, reading, outputs, choices, io);
    const style = styleFor(io.stdout, io.env);
    const texts: string[] = [];
    const leave = io.onInterrupt?.(() => outputs?.drop());
    try {
      let done = 0;
      for await (const outcome of outcomesOf(paths, wanted, workers, io, progress)) {
        if (outcome.fatal) throw problemOf(outcome.problem!);
        outputs.add(outcome);
        done++;
        progress.clear();
        if (outcome.problem !== null) {
          failed++;
          tellProblem(problemOf(outcome.problem), io);
        }
        if (outcome.text !== null) texts.push(outcome.text);
        if (wanted.show === null && choices.json !== '-') io.stdout.write(summaryLine(outcome.summary, style));
        if (paths.length > 1) progress.tell(`checked ${done} of ${paths.length} logs`);
      }
      await outputs.finish();
    } finally {
      leave?.();
    }
    progress.clear();
    const { together } = outputs;
    if (choices.json !== '-' && together.logs > 1) io.stdout.write(togetherText(together, style));
    for (const text of texts) io.stdout.write(text);
    return failed === 0 ? 0 : 1;
  } catch (cause) {
    progress.clear();
    outputs?.drop();
    const problem = asProblem(cause);
    putProblem(problem, errorResult(problem), choices, io);
    return problem.code === 'E_STATED' ? 2 : 1;
  }
}

function wantedOf(
  paths: readonly string[],
  reading: StatedOfLog,
  outputs: CheckOutputs,
  choices: OutputChoices & ManyLogsChoices,
  { cwd, stdout, env }: Io,
): Wanted {
  const shown = choices.json !== '-' && paths.length <= shownInFull;
  const { NO_COLOR, TERM, LC_ALL, LC_CTYPE, LANG, WT_SESSION } = env;
  const show = {
    isTTY: stdout.isTTY,
    columns: stdout.columns,
    env: { NO_COLOR, TERM, LC_ALL, LC_CTYPE, LANG, WT_SESSION },
    all: choices.all === true,
    alone: paths.length === 1,
  };
  return { cwd, reading, ...outputs.wanted, show: shown ? show : null };
}

/** Each worker is a runtime of its own with some 60 MB; more of them than any machine has cores only fill its memory. */
const mostWorkers = 64;

function workersOf(written: string | undefined): number | null {
  const wanted = aboveZero(written, '--workers');
  if (wanted === undefined) return null;
  const count = Math.ceil(wanted);
  if (count <= mostWorkers) return count;
  throw new PullproofError(
    'E_STATED',
    `${count} are more workers than --workers takes.`,
    {},
    `Say a number up to ${mostWorkers}, or leave it out to have one for each core.`,
  );
}

/** What became of each log, in their order: read here where they are few, else by workers. */
async function* outcomesOf(
  paths: readonly string[],
  wanted: Wanted,
  workers: number | null,
  io: Io,
  progress: Progress,
): AsyncGenerator<Outcome> {
  if (workers === null && paths.length <= fewLogs) {
    for (const path of paths) yield await checkOne(path, wanted, io, progress.reading);
    return;
  }
  const { checkInOrder } = await import('./checkInOrder.js');
  yield* checkInOrder(paths, wanted, workers ?? availableParallelism(), io);
}
