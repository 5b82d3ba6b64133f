import path from 'node:path';
import { type FuelAxis, measuredErrorCsv, PullproofError, type TrialResult } from '@pullproof/core';
import type { CompareChoices } from '../commands/command.js';
import { checkOutput } from '../files/checkOutput.js';
import { writeOutput } from '../files/writeOutput.js';
import type { Io } from '../io.js';
import { outputOptions } from './outputs.js';

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
export function checkFuelTable(choices: CompareChoices, io: Io): void {
  const { fuelTable, json, report } = choices;
  if (fuelTable === undefined) return;
  const file = checkOutput(fuelTable, io.cwd, 'csv', outputOptions(choices));
  for (const other of [json, report]) {
    if (other === undefined || other === '-' || path.resolve(io.cwd, other) !== file) continue;
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
export function putFuelTable(result: TrialResult, choices: CompareChoices, io: Io): void {
  const { fuelTable } = choices;
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
  writeOutput(fuelTable, text, io.cwd, 'csv', { ...outputOptions(choices), onInterrupt: io.onInterrupt });
}
