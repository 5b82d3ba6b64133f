import {
  combined,
  type Explanation,
  type ExplanationEffect,
  explanationEffects,
  mayHide,
  type OpenRange,
  type PowerDifference,
  takenAway,
} from '../../../compare/index.js';
import type { ExplanationResult } from '../../../result/index.js';
import { nullable } from '../../../result/index.js';

const order: readonly ExplanationEffect[] = ['takes away', 'takes away with others', 'may hide', 'note'];

/** Explanations as a result tells them: what takes a claim away first, the largest of these first. */
export function explanationResults(difference: PowerDifference, explanations: readonly Explanation[]): ExplanationResult[] {
  const effects = explanationEffects(difference, explanations);
  const points = difference.differenceW.length;
  const together = takenAway(difference, combined(explanations, points));
  return explanations
    .map((one, k) => ({ one, effect: effects[k]!, size: meanReach(one) }))
    .toSorted((a, b) => order.indexOf(a.effect) - order.indexOf(b.effect) || b.size - a.size)
    .map(({ one, effect }): ExplanationResult => {
      const hides = effect === 'may hide' ? mayHide(difference, one) : null;
      const marks = effect === 'takes away' ? takenAway(difference, one) : effect === 'takes away with others' ? together : [];
      const unboundedRpm = spanOf(difference, boundless(one));
      const takesRpm = spanOf(difference, marks);
      return {
        name: one.name,
        standing: one.standing,
        sentence: one.sentence,
        settle: one.settle,
        effect,
        ...(hides === null ? {} : { hides }),
        lowW: Array.from(one.lowW, nullable),
        highW: Array.from(one.highW, nullable),
        ...(unboundedRpm === null ? {} : { unboundedRpm }),
        ...(takesRpm === null ? {} : { takesRpm }),
      };
    });
}

function boundless({ lowW, highW }: OpenRange): boolean[] {
  return Array.from(lowW, (low, i) => !Number.isFinite(low) || !Number.isFinite(highW[i]!));
}

/** Engine speeds from the first to the last marked point; null where none is. */
function spanOf({ engineSpeedRpm }: PowerDifference, marks: readonly boolean[]): readonly [from: number, to: number] | null {
  const from = marks.indexOf(true);
  return from < 0 ? null : [engineSpeedRpm[from]!, engineSpeedRpm[marks.lastIndexOf(true)]!];
}

function meanReach({ lowW, highW }: OpenRange): number {
  return lowW.reduce((sum, low, i) => sum + Math.max(Math.abs(low), Math.abs(highW[i]!)), 0) / lowW.length;
}
