import { version } from '@pullproof/core';
import { Command, CommanderError } from 'commander';
import { addArchive } from './commands/archive.js';
import { addCheck } from './commands/check.js';
import type { ExitCode } from './commands/command.js';
import { addCompare } from './commands/compare.js';
import { addForecast } from './commands/forecast.js';
import { addNew } from './commands/new.js';
import { addPlan } from './commands/plan.js';
import { addReconcile } from './commands/reconcile.js';
import { addSeason } from './commands/season.js';
import type { Io } from './io.js';
import { setupMark } from './jobs/setupMark.js';
import { inertText } from './terminal/inertText.js';

/**
 * The command line as a function.
 *
 * @param argv arguments after the name of the command, such as `['compare', 'trial.yaml']`
 * @param io folder, environment, streams
 * @returns exit code: 0 done, 1 an input cannot be used, 2 wrong usage
 */
export async function run(argv: readonly string[], io: Io): Promise<number> {
  let exit: ExitCode = 0;
  const context = {
    io,
    end: (code: ExitCode) => {
      exit = code;
    },
  };
  const program = new Command('pullproof')
    .description('Did the change help? Engine logs before and after, a scale and a weather reading, answered with an honest band.')
    .version(version, '--version', 'print the version')
    .exitOverride()
    .configureOutput({
      writeOut: (text) => io.stdout.write(text),
      writeErr: (text) => io.stderr.write(inertLines(text)),
      getOutHelpWidth: () => io.stdout.columns,
      getErrHelpWidth: () => io.stderr.columns,
      getOutHasColors: () => false,
      getErrHasColors: () => false,
    })
    .showHelpAfterError('(add --help to see how)');
  for (const add of [addCompare, addCheck, addForecast, addReconcile, addPlan, addNew, addSeason, addArchive]) add(program, context);
  for (const command of program.commands) command.copyInheritedSettings(program);
  try {
    await program.parseAsync(joinedSetups(argv), { from: 'user' });
    return exit;
  } catch (cause) {
    if (cause instanceof CommanderError) return cause.exitCode === 0 ? 0 : 2;
    const { asProblem, tellProblem } = await import('./jobs/problems.js');
    tellProblem(asProblem(cause), io);
    return 1;
  }
}

/** `--setup NAME LOG LOG` as one word each: the parser would make one list of the words of all setups. */
function joinedSetups(argv: readonly string[]): string[] {
  const joined: string[] = [];
  for (let i = 0; i < argv.length; i++) {
    joined.push(argv[i]!);
    if (argv[i] !== '--setup') continue;
    const words: string[] = [];
    while (i + 1 < argv.length && !argv[i + 1]!.startsWith('--')) words.push(argv[++i]!);
    if (words.length > 0) joined.push(words.join(setupMark));
  }
  return joined;
}

/** Messages of the argument parser repeat what was typed. */
function inertLines(text: string): string {
  return text
    .split('\n')
    .map((line) => inertText(line))
    .join('\n');
}
