import type { ComparisonResult, OverallResult, TrialResult } from '@pullproof/core';
import { changeText, displayUnits, numberText } from '@pullproof/figures';
import { type Html, html, shortName, trustedHtml } from '../html.js';
import { px } from '../plot/paint.js';
import { keepTogether, splitSentence } from '../text.js';
import { verdictMark } from './verdictMark.js';

/** Changes against the first setup, one line each: verdict, where, how much, and a small curve. */
export function verdictTable(result: TrialResult): Html {
  const base = result.comparisons[0]?.before ?? '';
  const rows = result.comparisons.flatMap((comparison, index) => {
    const overall = result.overall[index];
    return overall === undefined || comparison.before !== base ? [] : [row(comparison, overall, result, index)];
  });
  return html`<table class="verdicts"><caption>At the wheels, vs <b>${shortName(base, 60)}</b></caption>
<thead class="for-reader"><tr><th scope="col">Change</th><th scope="col">Verdict</th><th scope="col">Where and how much</th><th scope="col">Curve</th></tr></thead>
<tbody>${rows}</tbody></table>`;
}

function row(comparison: ComparisonResult, overall: OverallResult, result: TrialResult, index: number): Html {
  return html`<tr data-row="${index}"><th scope="row">${shortName(comparison.after, 60)}</th>
<td>${verdictMark(overall.verdict)}</td>
<td class="where-cell">${whereText(comparison, overall, result)}</td>
<td class="spark-cell">${spark(comparison)}</td></tr>
`;
}

/** Clear regions with their margins; without one the sentence that says why. */
function whereText({ regions }: ComparisonResult, { verdict, sentence }: OverallResult, { units }: TrialResult): Html {
  const clear =
    verdict === 'cannot tell' || verdict === 'no clear change' ? [] : regions.filter((one) => one.verdict !== 'no clear change');
  if (clear.length === 0) {
    const [first, rest] = splitSentence(sentence);
    const [why] = splitSentence(withoutVerdict(first, verdict) === '' ? rest : withoutVerdict(first, verdict));
    return html`${keepTogether(why)}`;
  }
  const { power } = displayUnits[units];
  return html`${clear.map(({ meanW, lowW, highW, fromRpm, toRpm }, place) => {
    const [mean, low, high] = [meanW, lowW, highW].map(power.fromSi) as [number, number, number];
    const range = `${numberText(fromRpm, 0)} to ${numberText(toRpm, 0)} rpm`;
    return html`${place === 0 ? null : html`<br>`}<b>${keepTogether(`${changeText(mean)} ${power.symbol}`)}</b> ${keepTogether(`(${changeText(low)} to ${changeText(high)})`)}, ${keepTogether(range)}`;
  })}`;
}

const [wide, high] = [132, 34];

/** The difference and its margin, small: its zero line, its shape, no scale. */
function spark({ wheelPowerW: { engineSpeedRpm, difference, low, high: upper } }: ComparisonResult): Html | null {
  const known = engineSpeedRpm.flatMap((rpm, at) => {
    const [value, least, most] = [difference[at], low[at], upper[at]];
    return value === null || value === undefined || least === null || least === undefined || most === null || most === undefined
      ? []
      : [{ rpm, value, least, most }];
  });
  if (known.length < 2) return null;
  const [from, to] = [known[0]!.rpm, known.at(-1)!.rpm];
  const bottom = Math.min(0, ...known.map(({ least }) => least));
  const top = Math.max(0, ...known.map(({ most }) => most));
  const x = (rpm: number): string => px(1 + ((rpm - from) / (to - from)) * (wide - 2));
  const y = (watts: number): string => px(high - 2 - ((watts - bottom) / (top - bottom || 1)) * (high - 4));
  const line = (of: (one: (typeof known)[number]) => number, points = known): string =>
    points.map((one) => `${x(one.rpm)} ${y(of(one))}`).join('L');
  const area = `M${line(({ most }) => most)}L${line(({ least }) => least, [...known].reverse())}Z`;
  return trustedHtml(
    `<svg class="spark" width="${wide}" height="${high}" viewBox="0 0 ${wide} ${high}" aria-hidden="true"><path d="${area}" class="f-difference" fill-opacity="0.2"/><path d="M0 ${y(0)}H${wide}" class="s-axis"/><path d="M${line(({ value }) => value)}" fill="none" class="s-difference" stroke-width="1.8"/></svg>`,
  );
}

/** The verdict stands in its own cell. */
function withoutVerdict(sentence: string, verdict: string): string {
  if (!sentence.toLowerCase().startsWith(verdict)) return sentence;
  const rest = sentence.slice(verdict.length).replace(/^[:.,]?\s*/, '');
  return rest.charAt(0).toUpperCase() + rest.slice(1);
}
