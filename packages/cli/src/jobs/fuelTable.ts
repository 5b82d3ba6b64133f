import { type FuelAxis, measuredErrorCsv, PullproofError, type TrialResult } from '@pullproof/core';
import type { CompareChoices } from '../commands/command.js';
import { checkOutput } from '../files/checkOutput.js';
import { writeOutput } from '../files/writeOutput.js';
import type { Io } from '../io.js';

const axes: readonly FuelAxis[] = ['pressure', 'airflow', 'duty'];

/**
 * What the rows of the measured error table run along; its columns are always engine speed, which may be written too: `pressure,rpm`.
 *
 * @throws E_STATED for a word that names none, which is wrong usage
 */
export function fuelAxisOf(written: string | undefined): FuelAxis | undefined {
  if (written === undefined) return undefined;
  const word = written
    .trim()
    .toLowerCase()
    .replace(/\s*,\s*rpm$/, '');
  const known = axes.find((axis) => axis === word);
  if (known !== undefined) return known;
  throw new PullproofError('E_STATED', `"${written}" is nothing that --fuel-axes knows.`, {}, `Say one of ${axes.join(', ')}.`);
}

/** Looks at the output before any work is done. */
export function checkFuelTable({ fuelTable, json, report, force }: CompareChoices, io: Io): void {
  if (fuelTable === undefined) return;
  const file = checkOutput(fuelTable, io.cwd, 'csv', { force: force === true });
  for (const other of [json, report]) {
    if (other === undefined || other === '-' || checkOutput(other, io.cwd, other === json ? 'json' : 'report', { force: true }) !== file)
      continue;
    throw new PullproofError(
      'E_OUTPUT_PATH',
      'The table and another output would go to the same file.',
      { path: fuelTable },
      'Name two files.',
    );
  }
}

/**
 * Writes the measured error of every setup into one table.
 *
 * @throws E_NO_FUEL_TABLE where no setup has one, saying why
 */
export function putFuelTable(result: TrialResult, { fuelTable, force }: CompareChoices, io: Io): void {
  if (fuelTable === undefined) return;
  const made = result.setups.flatMap(({ fuelTable: own }) => (own?.table ? [measuredErrorCsv(own.table, own.provenance)] : []));
  if (made.length === 0) {
    const why = result.setups.map(({ name, fuelTable: own }) => `${name}: ${own?.status ?? 'no pulls'}`).join(' ');
    throw new PullproofError(
      'E_NO_FUEL_TABLE',
      `No setup has a measured error to write. ${why}`,
      { path: fuelTable },
      'Log lambda and commanded lambda in the pulls.',
    );
  }
  const [first = '', ...others] = made;
  const text = first + others.map((one) => one.slice(one.indexOf('\r\n') + 2)).join('');
  writeOutput(fuelTable, text, io.cwd, 'csv', { force: force === true, onInterrupt: io.onInterrupt });
}
