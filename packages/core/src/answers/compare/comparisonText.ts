import { leastPoints, type PowerDifference, type VerdictReasonCode, type VerdictRegion, whyNotTold } from '../../compare/index.js';
import type { BecauseResult } from '../../result/index.js';
import { changeText, numberText, rpmText } from '../../units/index.js';

/** How numbers are shown to people. */
export interface PeopleUnits {
  readonly power: (watts: number) => string;
  readonly powerSymbol: string;
}

/** Horsepower for imperial readers (550 ft·lbf/s), kilowatts for metric ones. */
export function peopleUnits(units: 'metric' | 'imperial'): PeopleUnits {
  const perUnit = units === 'imperial' ? 745.6998715822702 : 1000;
  return {
    power: (watts) => changeText(watts / perUnit),
    powerSymbol: units === 'imperial' ? 'hp' : 'kW',
  };
}

const words = ['no', 'one', 'two', 'three', 'four', 'five', 'six', 'seven', 'eight', 'nine', 'ten', 'eleven', 'twelve'];

function counted(count: number): string {
  return words[count] ?? String(count);
}

/**
 * One sentence a comparison: where it gained or lost, by how much with the band, where it did not, from how many pulls and outings.
 *
 * @param verdict Overall verdict.
 * @param regions Regions by engine speed.
 * @param facts Pull counts, outings, why it cannot tell.
 */
export function comparisonSentence(
  verdict: string,
  regions: readonly VerdictRegion[],
  difference: PowerDifference | null,
  facts: {
    readonly units: PeopleUnits;
    readonly pullsBefore: number;
    readonly pullsAfter: number;
    readonly outings: number | null;
    readonly reasons: readonly VerdictReasonCode[];
    readonly because: readonly BecauseResult[];
    readonly couldShowW: number | null;
  },
): string {
  const { units } = facts;
  const pulls = `${capital(counted(facts.pullsBefore))} and ${counted(facts.pullsAfter)} pulls, ${facts.outings === null ? 'outings unknown' : facts.outings === 1 ? 'one outing' : `${counted(facts.outings)} outings`}.`;
  if (facts.reasons.includes('SAME_FILE')) return 'Both setups are the same recording: the difference is exactly zero.';
  const taken = facts.because.find(({ code, explanation }) => explanation !== null && code !== 'MAY_HIDE_A_CHANGE');
  const hiding = facts.because.find(({ code }) => code === 'MAY_HIDE_A_CHANGE');
  if (verdict === 'cannot tell') {
    const contradiction = facts.because.find(({ code }) => code === 'CONTRADICTION');
    const why = contradiction?.sentence ?? whyNotTold(facts.reasons);
    const open = taken ?? hiding;
    if (why === null && open !== undefined) {
      return `Cannot tell: ${open.sentence}. ${seenDifference(difference!, units)}${open.settle} ${pulls}`;
    }
    return `Cannot tell${why === null ? '' : `: ${why}`}. ${pulls}`;
  }
  const parts: string[] = [];
  for (const region of regions) {
    if (region.verdict === 'no clear change') continue;
    const range = `${numberText(region.fromRpm, 0)} to ${rpmText(region.toRpm)}`;
    const size = `${units.power(region.meanW)} ${units.powerSymbol} (${units.power(region.lowW)} to ${units.power(region.highW)})`;
    parts.push(`${region.verdict === 'gain' ? 'Gain' : 'Loss'} from ${range}: ${size}.`);
  }
  const quiet = regions.filter((region) => region.verdict === 'no clear change');
  if (parts.length === 0) {
    const could =
      facts.couldShowW === null
        ? ''
        : ` A change below about ${units.power(facts.couldShowW).replace('+', '')} ${units.powerSymbol} would not show.`;
    const air = facts.reasons.includes('AIR_COULD_EXPLAIN') ? ' What difference there is, the air could explain.' : '';
    const hidden = hiding === undefined ? '' : ` A change may hide: ${hiding.sentence}. ${hiding.settle}`;
    return `No clear change from ${numberText(difference!.engineSpeedRpm[0], 0)} to ${rpmText(difference!.engineSpeedRpm.at(-1))}.${air}${hidden}${could} ${pulls}`;
  }
  const low = difference!.engineSpeedRpm[0]!;
  const high = difference!.engineSpeedRpm[difference!.engineSpeedRpm.length - 1]!;
  for (const region of quiet) {
    if (region.toRpm === high) parts.push(`No clear change above ${numberText(region.fromRpm, 0)}.`);
    else if (region.fromRpm === low) parts.push(`No clear change below ${numberText(region.toRpm, 0)}.`);
    else parts.push(`No clear change from ${numberText(region.fromRpm, 0)} to ${numberText(region.toRpm, 0)}.`);
  }
  return `${parts.join(' ')} ${pulls}`;
}

/** What the pulls differ by where the band alone leaves out zero; empty where it does so nowhere. */
function seenDifference({ differenceW, band }: PowerDifference, units: PeopleUnits): string {
  const clear = Array.from(differenceW.keys()).filter((i) => Math.abs(differenceW[i]!) > band.simultaneous[i]!);
  if (clear.length < leastPoints) return '';
  const mean = clear.reduce((sum, i) => sum + differenceW[i]!, 0) / clear.length;
  return `The pulls differ by ${units.power(mean)} ${units.powerSymbol}, which is not claimed. `;
}

function capital(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1);
}
