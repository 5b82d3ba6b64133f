import type { Finding } from '../../findings/index.js';
import { type Question, question } from '../../pulls/index.js';
import type { TopEndResult, WarningLine } from '../../result/index.js';
import { comparisons } from '../compare/compareTrial.js';
import { pressures } from '../pressure/pressureParts.js';
import { trialWarnings } from '../warning/trialWarnings.js';
import { topEndAnalysis } from './topEndAnalysis.js';
import { topEndBesideVerdict } from './topEndBesideVerdict.js';

/** What limits the top end: every setup by itself, and every pair that is compared; a note where a pair fades. */
export const topEnd: Question<TopEndResult> = question((evidence) => {
  const { setups, pairs } = evidence;
  const { units } = evidence.file;
  const ceilings = evidence.ceilings().found;
  const beside = pressures(evidence).answer;
  const alone: TopEndResult = {
    setups: setups.map((setup) => topEndAnalysis(setup, null, { ceilings, expectedRatio: null, units })),
    comparisons: pairs.map(([before, after], i) =>
      topEndAnalysis(setups[after]!, setups[before]!, { ceilings, expectedRatio: beside[i]?.expectedRatio ?? null, units }),
    ),
  };
  const result = topEndBesideVerdict(
    alone,
    comparisons(evidence).answer.map(({ overall }) => overall),
    stopped(trialWarnings(evidence)),
  );
  const findings = result.comparisons.flatMap(({ answer, before, after, sentence, next }): Finding[] =>
    answer === 'one cause leads' || answer === 'cannot tell'
      ? [{ code: 'TOP_END', severity: 'note', message: `${before} to ${after}: ${sentence}`, where: { setup: after }, fix: next[0] ?? '' }]
      : [],
  );
  return { answer: result, findings };
});

/** Setups that the warning line says stop for. */
function stopped({ answer, findings }: { readonly answer: WarningLine; readonly findings: readonly Finding[] }): ReadonlySet<string> {
  if (answer.level !== 'stop') return new Set();
  const names = findings
    .filter(({ severity, code }) => severity === 'warning' && code !== 'W_CHARGE_HEATING')
    .flatMap(({ where }) => where.setup ?? []);
  return new Set(names);
}
