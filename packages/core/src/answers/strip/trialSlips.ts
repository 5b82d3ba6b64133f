import type { Finding, Place } from '../../findings/index.js';
import { utf8Text } from '../../log/index.js';
import type { OpenedLog } from '../../pulls/index.js';
import { checkSlip, type Slip, type StripMark, usableSlip } from '../../strip/index.js';
import type { RunInputs, SlipFile, TrialFile } from '../../trial/index.js';
import { AssumptionLedger, resolveRun, slipsFromCsv } from '../../trial/index.js';

/** A slip of the trial, resolved and judged. */
export interface TrialSlip {
  readonly name: string;
  readonly setup: string;
  readonly inputs: RunInputs;
  readonly log: string | null;
  /** As written. */
  readonly written: Slip;
  /** Without the cells that cannot be right. */
  readonly usable: Slip;
}

/** Slips of a trial file, also those in a CSV file beside it, with findings about them and about what was assumed for them. */
export function trialSlips(
  file: TrialFile,
  openLog: (path: string) => OpenedLog,
): { readonly slips: readonly TrialSlip[]; readonly findings: readonly Finding[] } {
  const csv = typeof file.slips === 'string' ? file.slips : null;
  const written: readonly SlipFile[] =
    file.slips === undefined
      ? []
      : typeof file.slips === 'string'
        ? slipsFromCsv(utf8Text(openLog(file.slips).chunks, file.slips), file.slips, file)
        : file.slips;
  const assumed = new AssumptionLedger();
  const findings: Finding[] = [];
  const slips = written.map((slip, s): TrialSlip => {
    const name = slip.when === undefined ? `slip ${s + 1}` : `slip ${s + 1}, ${slip.when}`;
    const setup = file.setups.find((one) => one.name === slip.setup)!;
    const placeOf = (kind: 'times' | 'speeds', mark: StripMark): Place =>
      csv === null
        ? { path: file.path, field: `slips[${s}].${kind}.${mark}`, setup: slip.setup }
        : { path: csv, row: s + 1, channel: kind === 'times' ? mark : `${mark} speed`, setup: slip.setup };
    const si = (values: object): Slip['timesS'] =>
      Object.fromEntries(
        Object.entries(values).flatMap(([mark, value]) => (value === undefined ? [] : [[mark, (value as { si: number }).si]])),
      );
    const whole: Slip = { timesS: si(slip.times), trapsMps: si(slip.speeds ?? {}) };
    const found = checkSlip(whole, placeOf);
    findings.push(...found);
    const cells = found.map((finding) => (finding.where.field ?? finding.where.channel) as string);
    const cellOf = (finding: Finding): readonly ['times' | 'speeds', StripMark] => {
      const cell = cells[found.indexOf(finding)]!;
      const mark = /(\d+ft)/.exec(cell)![1] as StripMark;
      return [/speed/.test(cell) ? 'speeds' : 'times', mark];
    };
    return {
      name,
      setup: slip.setup,
      inputs: resolveRun(file.car, setup, { ...slip, log: slip.log ?? name }, assumed),
      log: slip.log ?? null,
      written: whole,
      usable: usableSlip(whole, found, cellOf),
    };
  });
  const names = slips.map(({ inputs }) => inputs.log);
  // What the runs assume as well is told with them: only the air, wind and load of the passes are told here.
  const own = assumed.findings(file.path, names).filter(({ code }) => /TEMPERATURE|PRESSURE|HUMIDITY|WIND|FUEL_LEVEL$/.test(code));
  return { slips, findings: [...findings, ...own] };
}
