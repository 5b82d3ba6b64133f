import { type Place, PullproofError } from '../../../findings/index.js';
import type { Channel } from '../../log.js';
import { shownName } from '../../text/shownName.js';

/** Two columns of one name that mean one quantity and disagree: which one is right is for the user to say. */
export function refuseAmbiguous(channels: readonly Channel[], where: Place): void {
  for (const [i, a] of channels.entries()) {
    if (a.quantity === null || a.standing === 'stated') continue;
    const b = channels.slice(i + 1).find((other) => other.name === a.name && other.quantity === a.quantity && other.standing !== 'stated');
    if (b === undefined || a.values.every((value, row) => Object.is(value, b.values[row]))) continue;
    throw new PullproofError(
      'E_AMBIGUOUS_CHANNEL',
      `columns ${a.column + 1} and ${b.column + 1} are both called "${shownName(a.name)}", both read as ${a.quantity}, and their numbers differ.`,
      { ...where, channel: a.name },
      `Say which one counts, for example channels: { "Col ${b.column + 1}": ignore }.`,
    );
  }
}
