import type { Finding, Place } from '../findings/index.js';
import type { Slip } from './learnFromSlips.js';
import { type MistypedCell, mistypedCells } from './mistypedCells.js';
import { type StripMark, speedTrapM, stripMarkM, stripMarks } from './stripGeometry.js';

const mph = 0.44704;

/**
 * Judges a slip by itself: order of the times, speeds that its times exclude, units, what is missing.
 *
 * @param slip in SI
 * @param placeOf where a cell stands
 * @returns findings; an `error` names a cell that cannot be used
 *
 * @example
 * ```ts
 * import { checkSlip } from '@pullproof/core';
 * const slip = { timesS: { '60ft': 20.1, '330ft': 5.62, '660ft': 8.55 }, trapsMps: {} };
 * checkSlip(slip, (kind, mark) => ({ field: `${kind}.${mark}` }))[0]!.where.field; // => 'times.60ft'
 * ```
 */
export function checkSlip(slip: Slip, placeOf: (kind: 'times' | 'speeds', mark: StripMark) => Place): Finding[] {
  const findings: Finding[] = [];
  const shown = stripMarks.filter((mark) => slip.timesS[mark] !== undefined);
  const mistyped = mistypedCells(slip);
  // A speed in the wrong unit is told below, with its likely cause.
  const wrongTimes = mistyped.filter(({ kind }) => kind === 'times');
  const breaking = wrongTimes.flatMap(({ mark }) =>
    shown
      .filter((other) => clash(mark, other, slip.timesS))
      .slice(0, 1)
      .map((other) => ({ mark, other })),
  );
  for (const cell of wrongTimes)
    if (breaking.every(({ mark }) => mark !== cell.mark)) findings.push(mistypedFinding(cell, mistyped.length, placeOf));
  const kept = shown.filter((mark) => wrongTimes.every((cell) => cell.mark !== mark));
  const disordered = [...breaking, ...outOfOrder(kept, slip.timesS)];
  for (const { mark, other } of disordered) {
    const way = stripMarkM[mark] < stripMarkM[other] ? 'before' : 'after';
    findings.push({
      code: 'SLIP_ORDER',
      severity: 'error',
      message: `The ${mark} time, ${slip.timesS[mark]!.toFixed(3)} s, is not ${way} the ${other} time, ${slip.timesS[other]!.toFixed(3)} s, so it is not used.`,
      where: placeOf('times', mark),
      fix: 'Two cells are swapped, or a digit is wrong: compare with the printed slip.',
    });
  }
  const inOrder = kept.filter((mark) => disordered.every((one) => one.mark !== mark));
  let before: StripMark | null = null;
  for (const mark of inOrder) {
    const time = slip.timesS[mark]!;
    if (mark !== '60ft') {
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
  const told = new Set<StripMark>();
  for (const mark of ['660ft', '1000ft', '1320ft'] as const) {
    const speed = slip.trapsMps[mark];
    const time = slip.timesS[mark];
    if (speed === undefined || time === undefined || !inOrder.includes(mark)) continue;
    const earlier = inOrder.slice(0, inOrder.indexOf(mark)).at(-1);
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
    told.add(mark);
    findings.push({
      code: 'SLIP_SPEED',
      severity: 'error',
      message: `The ${mark} speed, ${(speed / mph).toFixed(2)} mph (${(speed * 3.6).toFixed(1)} km/h), does not fit the times: since the ${earlier ?? 'start'} the car averaged ${(mean / mph).toFixed(1)} mph.`,
      where: placeOf('speeds', mark),
      fix: likely,
    });
  }
  for (const cell of mistyped) {
    if (cell.kind === 'times' || told.has(cell.mark)) continue;
    findings.push(mistypedFinding(cell, mistyped.length, placeOf));
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

function mistypedFinding(
  { kind, mark, printed, expected }: MistypedCell,
  suspects: number,
  placeOf: (kind: 'times' | 'speeds', mark: StripMark) => Place,
): Finding {
  const show = (value: number): string => (kind === 'times' ? `${value.toFixed(2)} s` : `${(value / mph).toFixed(1)} mph`);
  const either = suspects > 1 ? ' One of the two cells named is wrong; neither is used.' : '';
  return {
    code: 'SLIP_MISTYPED',
    severity: 'error',
    message: `The ${mark} ${kind === 'times' ? 'time' : 'speed'}, ${show(printed)}, does not go with the rest of the slip, which makes it about ${show(expected)}.${either}`,
    where: placeOf(kind, mark),
    fix: 'A digit may be wrong: compare with the printed slip.',
  };
}

/** Whether two times stand in the wrong order. */
function clash(a: StripMark, b: StripMark, timesS: Slip['timesS']): boolean {
  return a !== b && (stripMarkM[a] < stripMarkM[b] ? timesS[a]! >= timesS[b]! : timesS[a]! <= timesS[b]!);
}

/**
 * Marks whose times break the order of the strip, each with a time that it stands on the wrong side of: the time that contradicts most others goes first, until
 * the rest grow. Two that contradict only each other both go, as the slip does not say which of them is wrong.
 */
function outOfOrder(
  shown: readonly StripMark[],
  timesS: Slip['timesS'],
): readonly { readonly mark: StripMark; readonly other: StripMark }[] {
  const bad: { readonly mark: StripMark; readonly other: StripMark }[] = [];
  for (let kept = [...shown]; ; ) {
    const counted = kept.map((mark) => ({ mark, clashes: kept.filter((other) => clash(mark, other, timesS)) }));
    const most = Math.max(0, ...counted.map(({ clashes }) => clashes.length));
    if (most === 0) return bad.sort((a, b) => stripMarkM[a.mark] - stripMarkM[b.mark]);
    const worst = counted.filter(({ clashes }) => clashes.length === most);
    bad.push(...worst.map(({ mark, clashes }) => ({ mark, other: clashes[0]! })));
    kept = kept.filter((mark) => worst.every((one) => one.mark !== mark));
  }
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
