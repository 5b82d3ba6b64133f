import { type Finding, PullproofError } from '../../findings/index.js';
import type { TrialResult } from '../../result/index.js';
import { findUnit } from '../../units/index.js';
import { type DefaultName, defaults } from './defaults.js';
import type { StatedNumber } from './inputs.js';

/** One assumed input with the runs that it was assumed for. */
export type Assumption = TrialResult['assumptions'][number];

/** What is put in place of a value left out, and for which run. */
export interface Assumed {
  readonly name: DefaultName;
  readonly value: number;
  readonly spread: number;
  /** Log of the run. */
  readonly log: string;
}

/** Keeps note of every default that was used while a trial is resolved. */
export class AssumptionLedger {
  readonly #noted: Assumed[] = [];

  /** The default of that name, noted for a run; `value` and `spread` may be replaced where the default depends on something entered. */
  assume(name: DefaultName, log: string, replaced: { readonly value?: number; readonly spread?: number } = {}): StatedNumber {
    const { value, spread, source } = { ...defaults[name], ...replaced };
    this.#noted.push({ name, value, spread, log });
    return { value, spread, standing: 'assumed', source };
  }

  /** Every assumption once, with where it counts. */
  list(allLogs: readonly string[]): Assumption[] {
    return [...this.#grouped()].map(([name, noted]) => {
      const { quantity, unit, source, field } = defaults[name];
      const { value, spread } = noted[0]!;
      return { quantity, value: finiteOrNull(value), unit, spread: finiteOrNull(spread), source, where: whereText(noted, allLogs), field };
    });
  }

  /** One finding per assumed quantity. */
  findings(path: string, allLogs: readonly string[]): Finding[] {
    return [...this.#grouped()].map(([name, noted]) => {
      const { quantity, shownIn, source, supply } = defaults[name];
      const { value, spread } = noted[0]!;
      const amount = Number.isFinite(value) ? amountText(value, spread, shownIn) : 'the published default';
      const message = `The ${quantity} is not given for ${whereText(noted, allLogs)}: assumed ${amount} (${source}).`;
      return { code: codeOf(name), severity: 'note', message, where: { path }, fix: supply };
    });
  }

  #grouped(): Map<DefaultName, Assumed[]> {
    const groups = new Map<DefaultName, Assumed[]>();
    for (const one of this.#noted) {
      const group = groups.get(one.name);
      if (group === undefined) groups.set(one.name, [one]);
      else group.push(one);
    }
    return groups;
  }
}

function codeOf(name: DefaultName): string {
  return `ASSUMED_${name.replaceAll(/[A-Z]/g, (letter) => `_${letter}`).toUpperCase()}`;
}

function whereText(noted: readonly Assumed[], allLogs: readonly string[]): string {
  const logs = [...new Set(noted.map(({ log }) => log))];
  if (logs.length === new Set(allLogs).size) return logs.length === 1 ? logs[0]! : 'every run';
  return logs.length <= 6 ? logs.join(', ') : `${logs.slice(0, 5).join(', ')} and ${logs.length - 5} more`;
}

/** Value and spread as people read them: `20 ± 8 °C`. */
function amountText(value: number, spread: number, shownIn: string): string {
  const unit = findUnit(shownIn);
  if (unit === null) throw new PullproofError('E_UNIT_UNKNOWN', `"${shownIn}" is no unit.`, {}, 'Correct the table of defaults.');
  const shownSpread = unit.fromSi(value + spread) - unit.fromSi(value);
  const symbol = unit.symbol === '1' ? '' : ` ${unit.symbol.replace('^2', '²').replace('^3', '³')}`;
  return `${shortNumber(unit.fromSi(value))} ± ${shortNumber(shownSpread)}${symbol}`;
}

function shortNumber(value: number): string {
  return String(Number(value.toPrecision(4)));
}

function finiteOrNull(value: number): number | null {
  return Number.isFinite(value) ? value : null;
}
