import { type VerdictReasonCode, verdictReasons } from '../../compare/index.js';
import type { BecauseResult, Contradiction, ExplanationResult } from '../../result/index.js';
import { contradictionBecause } from './contradictionBlocks.js';

/** Reasons that are said by the explanations themselves. */
const ofExplanations: readonly VerdictReasonCode[] = [
  'AIR_COULD_EXPLAIN',
  'WEATHER_UNKNOWN',
  'OTHER_CHANGE_COULD_EXPLAIN',
  'MAY_HIDE_A_CHANGE',
];

/**
 * Why a claim could not be made, or what an answer without one may hide: reasons that end the matter first, then what takes a claim away,
 * then what may hide a change.
 */
export function becauseOf(
  reasons: readonly VerdictReasonCode[],
  explanations: readonly ExplanationResult[],
  facts: { readonly weatherUnknown: boolean; readonly contradiction: Contradiction | null },
): BecauseResult[] {
  const plain = reasons
    .filter((reason) => !ofExplanations.includes(reason) && reason !== 'OUTING_ASSUMED')
    .map(
      (code): BecauseResult => ({
        code,
        explanation: null,
        ...(code === 'CONTRADICTION' && facts.contradiction !== null
          ? { sentence: contradictionBecause(facts.contradiction), settle: facts.contradiction.fix }
          : { sentence: verdictReasons[code].whyNot ?? lowerFirst(verdictReasons[code].sentence), settle: verdictReasons[code].remedy }),
      }),
    );
  const told = explanations
    .filter(({ effect }) => effect !== 'note')
    .map(({ name, sentence, settle, effect }): BecauseResult => {
      const weather = name === 'air' && facts.weatherUnknown;
      const code = weather
        ? 'WEATHER_UNKNOWN'
        : effect === 'may hide'
          ? 'MAY_HIDE_A_CHANGE'
          : name === 'air'
            ? 'AIR_COULD_EXPLAIN'
            : 'OTHER_CHANGE_COULD_EXPLAIN';
      return { code, explanation: name, sentence, settle };
    });
  return [...plain, ...told];
}

function lowerFirst(text: string): string {
  return (text.charAt(0).toLowerCase() + text.slice(1)).replace(/\.$/, '');
}
