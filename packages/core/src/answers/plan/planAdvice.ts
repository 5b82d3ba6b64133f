import type { PlannedComparison } from '../../result/index.js';

const percent = (share: number): string => `${(100 * share).toFixed(1)} %`;

/** What to record next, most useful first, in sentences. */
export function planAdvice(plan: Omit<PlannedComparison, 'advice'>): string[] {
  const { options, parts, couldHaveShownW, asked, morePullsPerSetup } = plan;
  const advice: string[] = [];
  const assumed = couldHaveShownW.standing === 'assumed' ? ' (from typical spreads, which are assumed)' : '';
  const asking = asked.share === null ? null : percent(asked.share);
  if (morePullsPerSetup === 0 && asking !== null) {
    advice.push(
      `The pulls that are there would show a change of ${asking} four times out of five; compare says what they do show${assumed}.`,
    );
  }
  const [same, both, apart] = options;
  if (asking !== null && same !== undefined && both !== undefined && apart !== undefined) {
    const [inSame, inBoth] = [same.morePullsPerSetup, both.morePullsPerSetup];
    if (inSame !== null && (inBoth === null || inSame <= inBoth)) {
      advice.push(
        `Log ${pulls(inSame)} more of each setup in the same outing: that would show ${asking} four times out of five${assumed}.`,
      );
    } else if (inBoth !== null) {
      const instead =
        inSame === null
          ? `more pulls in the outings as they were would not show ${asking} at all`
          : `in the outings as they were it would take ${pulls(inSame)} of each`;
      advice.push(
        `Alternate the setups in one outing, before-after-before, ${pulls(inBoth)} of each: that would show ${asking} four times out of five${assumed}; ${instead}.`,
      );
    }
    if (inSame === null && inBoth === null && apart.morePullsPerSetup !== null) {
      advice.push(
        `Log each setup in ${apart.moreOutingsPerSetup} more outings, three pulls each: one outing more does not show ${asking}${assumed}.`,
      );
    }
    if (inSame === null && inBoth === null && apart.morePullsPerSetup === null) {
      advice.push(`More pulls alone would not show ${asking}${assumed}: what limits the band has to be measured better first.`);
    }
  }
  const [first] = parts;
  if (first !== undefined) {
    advice.push(
      `What widens the band most is ${first.name} (${percent(first.share)} of power, ${first.standing}); without it ${percent(first.shownShareWithout)} could be shown. ${first.remedy}`,
    );
  }
  if (plan.pullsBefore + plan.pullsAfter > 0 && couldHaveShownW.standing === 'assumed') {
    advice.push('Log at least three pulls of one setup in one outing, so that their spread is measured and not assumed.');
  }
  return advice;
}

function pulls(count: number): string {
  return count === 1 ? '1 pull' : `${count} pulls`;
}
