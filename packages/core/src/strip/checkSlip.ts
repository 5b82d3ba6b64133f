import type { Finding, Place } from '../findings/index.js';
import type { Slip } from './learnFromSlips.js';
import { type StripMark, speedTrapM, stripMarkM, stripMarks } from './stripGeometry.js';

const mph = 0.44704;

/**
 * Judges a slip by itself: order of the splits, speeds that its times exclude, units, what is missing.
 *
 * @param slip in SI
 * @param placeOf where a cell stands
 * @returns findings; an `error` names a cell that cannot be used
 *
 * @example
 * ```ts
 * import { checkSlip } from '@pullproof/core';
 * const slip = { timesS: { '60ft': 2.01, '330ft': 8.55, '660ft': 5.62 }, trapsMps: {} };
 * checkSlip(slip, (kind, mark) => ({ field: `${kind}.${mark}` }))[0]!.where.field; // => 'times.660ft'
 * ```
 */
export function checkSlip(slip: Slip, placeOf: (kind: 'times' | 'speeds', mark: StripMark) => Place): Finding[] {
  const findings: Finding[] = [];
  const shown = stripMarks.filter((mark) => slip.timesS[mark] !== undefined);
  let before: StripMark | null = null;
  for (const mark of shown) {
    const time = slip.timesS[mark]!;
    if (before !== null && time <= slip.timesS[before]!) {
      findings.push({
        code: 'SLIP_ORDER',
        severity: 'error',
        message: `The ${mark} time, ${time.toFixed(3)} s, is not after the ${before} time, ${slip.timesS[before]!.toFixed(3)} s.`,
        where: placeOf('times', mark),
        fix: 'Two cells are swapped, or a digit is wrong: compare with the printed slip.',
      });
    } else if (mark !== '60ft') {
      const fromM = before === null ? 0 : stripMarkM[before];
      const mean = (stripMarkM[mark] - fromM) / (time - (before === null ? 0 : slip.timesS[before]!));
      if (mean > 180)
        findings.push({
          code: 'SLIP_ORDER',
          severity: 'error',
          message: `Up to ${mark} the slip means ${(mean / mph).toFixed(0)} mph on average.`,
          where: placeOf('times', mark),
          fix: 'A digit is wrong: compare with the printed slip.',
        });
    }
    before = mark;
  }
  for (const mark of ['660ft', '1000ft', '1320ft'] as const) {
    const speed = slip.trapsMps[mark];
    const time = slip.timesS[mark];
    if (speed === undefined || time === undefined) continue;
    const earlier = stripMarks
      .slice(0, stripMarks.indexOf(mark))
      .findLast((one) => slip.timesS[one] !== undefined && slip.timesS[one]! < time);
    const fromM = earlier === undefined ? 0 : stripMarkM[earlier];
    const fromS = earlier === undefined ? 0 : slip.timesS[earlier]!;
    const mean = (stripMarkM[mark] - fromM) / (time - fromS);
    // A car that gains speed crosses the trap faster than its mean since the last split, and (accelerating ever less) below twice
    // that mean less the speed it had; a lift inside the trap may cost some.
    const fastest = fromM === 0 ? 2 * mean : mean * (1 + (0.75 * (stripMarkM[mark] - fromM)) / (stripMarkM[mark] - speedTrapM));
    if (speed >= 0.97 * mean && speed <= fastest) continue;
    // From "km/h read as mph": too fast by 1.609; from mph read as km/h: too slow.
    const between = (v: number): boolean => v >= 0.97 * mean && v <= fastest;
    const likely = between(speed / 1.609344)
      ? 'The number looks like km/h written as mph: write it with km/h.'
      : between(speed * 1.609344)
        ? 'The number looks like mph written as km/h: write it with mph.'
        : 'Compare speed and times with the printed slip; a lift before the stripe also makes it slow.';
    findings.push({
      code: 'SLIP_SPEED',
      severity: 'error',
      message: `The ${mark} speed, ${(speed / mph).toFixed(2)} mph (${(speed * 3.6).toFixed(1)} km/h), does not fit the times: since the ${earlier ?? 'start'} the car averaged ${(mean / mph).toFixed(1)} mph.`,
      where: placeOf('speeds', mark),
      fix: likely,
    });
  }
  const last = shown.at(-1);
  if (last !== undefined && stripMarkM[last] <= stripMarkM['660ft']) {
    findings.push({
      code: 'SLIP_EIGHTH',
      severity: 'note',
      message: `The slip ends at ${last}: an eighth-mile slip. It is used for what it shows.`,
      where: placeOf('times', last),
      fix: 'Add the quarter-mile time if the strip printed one.',
    });
  }
  const missing = stripMarks.filter((mark) => slip.timesS[mark] === undefined && last !== undefined && stripMarkM[mark] < stripMarkM[last]);
  for (const mark of missing)
    findings.push({
      code: 'SLIP_MISSING',
      severity: 'note',
      message: `The slip has no ${mark} time.${mark === '60ft' ? ' Launch and power are hard to tell apart without it.' : ''}`,
      where: placeOf('times', mark),
      fix: 'Copy it from the printed slip if it is there.',
    });
  return findings;
}

/** The slip without the cells that an error names. */
export function usableSlip(
  slip: Slip,
  findings: readonly Finding[],
  cellOf: (finding: Finding) => readonly ['times' | 'speeds', StripMark],
): Slip {
  const bad = findings.filter(({ severity }) => severity === 'error').map(cellOf);
  const keep = (kind: 'times' | 'speeds', values: Slip['timesS']): Slip['timesS'] =>
    Object.fromEntries(Object.entries(values).filter(([mark]) => !bad.some(([k, m]) => k === kind && m === mark)));
  return { timesS: keep('times', slip.timesS), trapsMps: keep('speeds', slip.trapsMps) };
}
