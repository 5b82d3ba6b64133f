import type { Finding } from '../../findings/index.js';
import type { ChangeSheetResult, FastenerResult, TorqueInUnits } from '../../result/index.js';
import type { ChangesFile } from '../../trial/index.js';
import { findUnit, parseQuantity } from '../../units/index.js';
import { type FastenerTorque, fastenerTorque } from '../../vehicle/index.js';

const caution =
  'The maker’s figure rules. The range is what steel of that size and class bears; soft threads, gaskets, studs and bolts tightened by an angle ask for something else.';

/** How far outside the range a torque must lie before another unit is thought of, and how much nearer to the usual torque one reading must be to be named alone. */
const decisive = 1.15;
const nearer = 2;
/** Another unit is named only where it brings the torque this near to the usual one: a hint that leaves a bolt loose or near its proof load is none. Common practice, no source. */
const nearUsual = { least: 0.6, most: 1.3 } as const;

const wrenchUnits = ['N m', 'lb ft', 'in lb', 'kgf m'] as const;
const shownUnit: Readonly<Record<string, string>> = { 'N m': 'N·m', 'lb ft': 'lb ft', 'in lb': 'lb in', 'kgf m': 'kgf m' };

type FastenerFile = NonNullable<ChangesFile['fasteners']>[number];

/**
 * The change sheet of a setup: what was fitted, and each fastener's torque held against what its size and class bear.
 *
 * @param changes as written in the trial
 * @param setup its name, for findings
 * @returns the sheet, and one finding for each fastener whose torque cannot be right
 */
export function changeSheet(
  changes: ChangesFile,
  setup: string,
): { readonly sheet: ChangeSheetResult; readonly findings: readonly Finding[] } {
  const fasteners = (changes.fasteners ?? []).map(fastenerResult);
  return {
    sheet: {
      parts: changes.parts ?? [],
      fasteners,
      belts: changes.belts ?? [],
      hoses: changes.hoses ?? [],
      notes: changes.notes ?? [],
      caution,
    },
    findings: fasteners.flatMap((fastener, index) => findingOf(fastener, setup, index)),
  };
}

function fastenerResult(fastener: FastenerFile): FastenerResult {
  const { where, size, torque } = fastener;
  const propertyClass = fastener.class ?? null;
  const range = fastenerTorque(size, propertyClass);
  const judged = range === null ? unknownSize(size) : judge(torque.si, torque.text, range, propertyClass);
  return {
    where,
    size,
    propertyClass,
    written: torque.text,
    torque: inUnits(torque.si),
    thread:
      range === null
        ? null
        : {
            name: range.thread.name,
            diameterM: range.thread.diameterM,
            pitchM: range.thread.pitchM,
            stressAreaM2: range.thread.stressAreaM2,
            source: range.thread.source,
          },
    proofLoadN: range?.proofLoadN ?? null,
    expected: range === null ? null : { low: inUnits(range.lowNm), high: inUnits(range.highNm), basis: range.basis },
    ...judged,
  };
}

type Judged = Pick<FastenerResult, 'flag' | 'unitMeant' | 'sentence'>;

function unknownSize(size: string): Judged {
  return {
    flag: 'cannot tell',
    unitMeant: null,
    sentence: `${size} is no thread known here: metric is written M8x1.25, inch 3/8-16 UNC. Its torque was held against nothing.`,
  };
}

function judge(torqueNm: number, written: string, range: FastenerTorque, propertyClass: string | null): Judged {
  const { lowNm, highNm } = range;
  const unknownClass = propertyClass !== null && range.proofLoadN === null ? ` Class ${propertyClass} is not known here.` : '';
  if (torqueNm >= lowNm && torqueNm <= highNm) return { flag: 'none', unitMeant: null, sentence: unknownClass.trim() || null };
  const above = torqueNm > highNm;
  const what = above
    ? `even dry and rough it would stretch the bolt beyond its proof load`
    : `that is less than half of what is usual, and the joint would be loose`;
  const meant = decisiveUnits(torqueNm, written, range);
  const also = meant === null ? '' : ` ${numberOf(written)} ${meant} would make sense: check the unit.`;
  return {
    flag: meant === null ? (above ? 'above' : 'below') : 'another unit meant',
    unitMeant: meant,
    sentence: `${bothUnits(torqueNm)} is ${above ? 'more' : 'less'} than ${range.thread.name} ${range.proofLoadN === null ? 'of any class' : `class ${propertyClass}`} is tightened to, ${bothUnits(lowNm)} to ${bothUnits(highNm)}: ${what}.${also}${unknownClass}`,
  };
}

/** Units in which the number as written would make sense, nearest to the usual torque first; null where the number is nearly in range, or none brings it near the usual torque. */
function decisiveUnits(torqueNm: number, written: string, { lowNm, usualNm, highNm }: FastenerTorque): string | null {
  if (torqueNm < highNm * decisive && torqueNm > lowNm / decisive) return null;
  const { value, unit } = numberAndUnit(written);
  const fitting = wrenchUnits
    .filter((symbol) => symbol !== unit)
    .map((symbol) => ({ symbol, asNm: findUnit(symbol, 'torque')!.toSi(value) }))
    .filter(({ asNm }) => asNm >= nearUsual.least * usualNm && asNm <= nearUsual.most * usualNm)
    .map(({ symbol, asNm }) => ({ symbol, away: Math.exp(Math.abs(Math.log(asNm / usualNm))) }))
    .sort((a, b) => a.away - b.away);
  if (fitting.length === 0) return null;
  return fitting
    .filter(({ away }) => away < nearer * fitting[0]!.away)
    .map(({ symbol }) => shownUnit[symbol]!)
    .join(' or ');
}

function numberAndUnit(written: string): { readonly value: number; readonly unit: string } {
  const { unit, valueSi } = parseQuantity(written, 'torque', {});
  return { value: unit.fromSi(valueSi), unit: unit.symbol };
}

function numberOf(written: string): string {
  return String(Number(numberAndUnit(written).value.toPrecision(4)));
}

function inUnits(torqueNm: number): TorqueInUnits {
  const as = (symbol: string): number => findUnit(symbol, 'torque')!.fromSi(torqueNm);
  return { newtonMetres: torqueNm, footPounds: as('lb ft'), inchPounds: as('in lb') };
}

function bothUnits(torqueNm: number): string {
  const { footPounds, inchPounds } = inUnits(torqueNm);
  const imperial = footPounds < 10 ? `${short(inchPounds)} lb in` : `${short(footPounds)} lb ft`;
  return `${short(torqueNm)} N·m (${imperial})`;
}

function short(value: number): string {
  return value < 10 ? value.toFixed(1) : value.toFixed(0);
}

function findingOf(fastener: FastenerResult, setup: string, index: number): Finding[] {
  const { flag, sentence, where } = fastener;
  if (flag === 'none' || sentence === null) return [];
  const unknown = flag === 'cannot tell';
  return [
    {
      code: unknown ? 'FASTENER_SIZE_UNKNOWN' : 'W_FASTENER_TORQUE',
      severity: unknown ? 'note' : 'warning',
      message: `${where}: ${sentence}`,
      where: { setup, field: `changes.fasteners[${index}]` },
      fix: unknown
        ? 'Write the size by its thread, or look the torque up with the maker.'
        : 'Look the torque up with the maker, whose figure rules, before the next start.',
    },
  ];
}
