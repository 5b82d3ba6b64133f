import type { Command } from 'commander';
import type { CommandContext } from './command.js';

/** `archive join FOLDER`: the parts of an archive as one table. */
export function addArchive(program: Command, { io, end }: CommandContext): void {
  const archive = program.command('archive').description('work on an archive that check --parquet made');
  archive
    .command('join')
    .description('print the DuckDB statement that joins the tables of an archive made in parts into one')
    .argument('<folder>', 'the folder that was given to check --parquet')
    .action(async (folder: string) => {
      const { archiveJoin } = await import('../jobs/archiveJoin.js');
      io.stdout.write(archiveJoin(folder));
      end(0);
    });
}
