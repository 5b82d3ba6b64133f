import { bandPartNames } from '../../compare/index.js';
import { type Question, question } from '../../pulls/index.js';
import type { Budget, BudgetPart, ComparisonResult, SharpenInput } from '../../result/index.js';
import { numberText } from '../../units/index.js';
import { comparisons } from '../compare/compareTrial.js';
import { setupBudget } from '../power/budget.js';
import { type SharpenCandidate, sharpenCandidates } from './sharpenCandidates.js';

/** Less than this share of a margin is not worth the work. */
const leastGain = 0.03;
/** From a standard deviation to 95 %. */
const level95 = 1.96;

/** The margin of a comparison as shares of power: its band, and what that was assumed could explain. */
interface Margin {
  readonly band: number;
  readonly explanations: ReadonlyMap<string, number>;
  readonly budget: Budget;
}

type Found = Omit<SharpenInput, 'field' | 'label' | 'sentence'>;

/**
 * Inputs that would narrow a margin most: for each that is assumed, the margin as it is, and with the part of the budget that rests on it made as small as
 * an entered value makes it. Largest first; what a verdict waits for before all.
 */
export const sharpen: Question<readonly SharpenInput[]> = question((evidence) => {
  const { setups, spread } = evidence;
  const pairs = comparisons(evidence).answer;
  const margins = pairs.flatMap(({ comparison, overall }, p) => {
    const [before] = evidence.pairs[p]!;
    const power = setups[before]!.curve?.wheelPowerW;
    const margin = power === undefined ? null : marginOf(comparison, medianOf(power));
    return margin === null ? [] : [{ margin, waiting: overall.reasons.includes('WEATHER_UNKNOWN') }];
  });
  const budgets = setups.map((setup) => setupBudget(setup, spread)).filter((budget) => budget !== null);
  const runs = setups.flatMap((setup, s) => setup.runs.map(({ inputs }) => ({ inputs, s })));
  const oneOuting = runs.every(({ inputs }) => inputs.outing !== null && inputs.outing === runs[0]?.inputs.outing);
  const found = sharpenCandidates.flatMap((candidate) => {
    const options = [
      ...margins.flatMap(({ margin, waiting }) => ofDifference(margin, candidate, waiting && candidate.group === 'weather')),
      ...budgets.flatMap((budget) => ofPower(budget, candidate)),
    ];
    const best = largest(options);
    return best === null ? [] : fieldsOf(candidate, best, { setups: setups.map(({ name }) => name), oneOuting });
  });
  const outing = runs.some(({ inputs }) => inputs.outing === null) ? largest(margins.flatMap(({ margin }) => ofOuting(margin))) : null;
  const all = outing === null ? found : [...found, { field: 'outing', label: 'outing', ...outing, sentence: outingSentence(outing) }];
  return { answer: [...all].sort((a, b) => Number(b.decides) - Number(a.decides) || gain(b) - gain(a)) };
});

function marginOf({ wheelPowerW, budget, explanations = [] }: ComparisonResult, powerW: number): Margin | null {
  const halves = wheelPowerW.high.flatMap((high, i) =>
    high === null || wheelPowerW.low[i] == null ? [] : [(high - wheelPowerW.low[i]!) / 2],
  );
  if (halves.length === 0 || budget === null || budget === undefined || !(powerW > 0)) return null;
  const assumed = explanations
    .filter(({ standing }) => standing === 'assumed')
    .map(({ name, lowW, highW }) => {
      const reach = lowW.map((low, i) => Math.max(Math.abs(low ?? 0), Math.abs(highW[i] ?? 0)));
      return [name, medianOf(reach) / powerW] as const;
    });
  return { band: medianOf(halves) / powerW, explanations: new Map(assumed), budget };
}

/** What an input makes of the margin of a difference. */
function ofDifference(margin: Margin, candidate: SharpenCandidate, decides: boolean): Found[] {
  const part = margin.budget.parts.find(({ name }) => name === candidate.part);
  const reach = candidate.explanation === undefined ? undefined : margin.explanations.get(candidate.explanation);
  const ratio = part === undefined || part.standing !== 'assumed' ? null : ratioOf(part, candidate);
  if (ratio === null && reach === undefined) return [];
  const others = [...margin.explanations].filter(([name]) => name !== candidate.explanation).map(([, one]) => one);
  // Without a part of its own the explanation is as well known then as its part would be: by an entered value.
  const scaled = (reach ?? 0) * (ratio ?? 0.15);
  return [
    {
      ...base(candidate, part),
      of: 'difference',
      marginNow: Math.hypot(margin.band, ...margin.explanations.values()),
      marginThen: Math.hypot(narrowed(margin.band, part, ratio ?? 1), ...others, scaled),
      decides,
    },
  ];
}

function ofPower(budget: Budget, candidate: SharpenCandidate): Found[] {
  const part = budget.parts.find(({ name }) => name === candidate.part);
  if (part === undefined || part.standing !== 'assumed' || !(budget.valueW > 0)) return [];
  const now = (level95 * budget.spreadW) / budget.valueW;
  const then = narrowed(now, part, ratioOf(part, candidate) ?? 1);
  return [{ ...base(candidate, part), of: 'power', marginNow: now, marginThen: then, decides: false }];
}

/** If all runs were of one outing: its part cancels, and the air was the same for both setups. */
function ofOuting(margin: Margin): Found[] {
  const part = margin.budget.parts.find(({ name }) => name === bandPartNames.outings);
  if (part === undefined || part.standing === 'measured') return [];
  const others = [...margin.explanations].filter(([name]) => name !== 'air').map(([, one]) => one);
  return [
    {
      group: 'outing',
      assumed: { value: null, spread: part.spread, unit: '1' },
      standing: part.standing,
      of: 'difference',
      marginNow: Math.hypot(margin.band, ...margin.explanations.values()),
      marginThen: Math.hypot(narrowed(margin.band, part, 0), ...others),
      decides: false,
    },
  ];
}

function base(candidate: SharpenCandidate, part: BudgetPart | undefined): Pick<Found, 'group' | 'assumed' | 'standing'> {
  return {
    group: candidate.group,
    assumed: { value: part?.value ?? null, spread: part?.spread ?? null, unit: part?.unit ?? '1' },
    standing: part?.standing ?? 'assumed',
  };
}

/** A half-width once one part of its variance shrinks by a ratio of its spread. */
function narrowed(half: number, part: BudgetPart | undefined, ratio: number): number {
  return part === undefined ? half : half * Math.sqrt(Math.max(0, 1 - part.share * (1 - ratio ** 2)));
}

/** Spread once it is entered over spread as it is; null where there is none, or nothing to win. */
function ratioOf(part: BudgetPart, candidate: SharpenCandidate): number | null {
  const ratio = candidate.spreadThen(part) / (part.spread ?? 0);
  return ratio < 1 ? ratio : null;
}

const gain = ({ marginNow, marginThen }: Pick<Found, 'marginNow' | 'marginThen'>): number => 1 - marginThen / marginNow;

function largest(options: readonly Found[]): Found | null {
  const worth = options.filter((one) => one.decides || gain(one) >= leastGain);
  return worth.length === 0 ? null : worth.reduce((most, one) => (gain(one) > gain(most) ? one : most));
}

/** A candidate by its fields: one for the trial, or one for each setup where setups may differ. */
function fieldsOf(
  candidate: SharpenCandidate,
  found: Found,
  { setups, oneOuting }: { readonly setups: readonly string[]; readonly oneOuting: boolean },
): SharpenInput[] {
  const own = candidate.perSetup && !oneOuting && setups.length > 1;
  const label = own ? `${candidate.label} of each setup` : candidate.label;
  const sentence = sentenceOf(label, found);
  return setups.slice(0, own ? undefined : 1).flatMap((name, s) =>
    candidate.fields.map((field) => ({
      field: own ? `setups[${s}].${field}` : field,
      ...found,
      label: own ? `${fieldLabel(field, candidate)}, ${name}` : fieldLabel(field, candidate),
      sentence,
    })),
  );
}

function fieldLabel(field: string, { label, fields }: SharpenCandidate): string {
  return fields.length === 1 ? label : (field.split('.').at(-1)!.replaceAll('-', ' ') ?? label);
}

function sentenceOf(label: string, { of, marginNow, marginThen, decides }: Found): string {
  const name = label.charAt(0).toUpperCase() + label.slice(1);
  if (decides) return `${name}: no verdict without it; margin ${percent(marginNow)} to ${percent(marginThen)}.`;
  return of === 'power'
    ? `${name}: power from ±${percent(marginNow)} to ±${percent(marginThen)}; the gain in % hardly needs it.`
    : `${name}: margin ${percent(marginNow)} to ${percent(marginThen)}.`;
}

function outingSentence({ marginNow, marginThen }: Found): string {
  return `Outing of each setup: if it was one trip for all, margin ${percent(marginNow)} to ${percent(marginThen)}.`;
}

function percent(share: number): string {
  return `${numberText(100 * share, 1)}%`;
}

function medianOf(values: ArrayLike<number>): number {
  const known = Array.from(values)
    .filter(Number.isFinite)
    .sort((a, b) => a - b);
  return known[known.length >> 1] ?? 0;
}
