import type { CheckedLog, Finding, FitnessResult, LogWork } from '@pullproof/core';
import { inertText } from './inertText.js';
import { wrapped } from './layout.js';
import { pullCautionLines } from './pullCaution.js';
import { type Style, shownBy } from './style.js';

const workNames: Readonly<Record<LogWork, string>> = { pull: 'pulls', idle: 'idle', cruise: 'cruise' };
const workOrder: readonly LogWork[] = ['pull', 'idle', 'cruise'];
const verdictWords: Readonly<Record<FitnessResult['verdict'], string>> = { fit: 'good', 'fit with gaps': 'gaps', 'not fit': 'no' };

/** What a log is good for, in one phrase: `good for pulls; idle and cruise have gaps`. */
export function headline(fitness: readonly FitnessResult[]): string {
  const of = (verdict: FitnessResult['verdict']): string[] =>
    workOrder.filter((work) => fitness.some((one) => one.work === work && one.verdict === verdict)).map((work) => workNames[work]);
  const good = of('fit');
  const gaps = of('fit with gaps');
  const none = of('not fit');
  const parts = [
    ...(good.length > 0 ? [`good for ${listed(good)}`] : []),
    ...(gaps.length > 0 ? [`${listed(gaps)} ${gaps.length === 1 && gaps[0] !== 'pulls' ? 'has' : 'have'} gaps`] : []),
    ...(none.length > 0 ? [`no use for ${listed(none)}`] : []),
  ];
  return parts.join('; ');
}

/** A line for each kind of work. */
export function workLines(fitness: readonly FitnessResult[], style: Style): string[] {
  const plain = (text: string) => shownBy(inertText(text, 400), style);
  return workOrder.flatMap((work) => {
    const one = fitness.find((each) => each.work === work);
    if (one === undefined) return [];
    const missing = one.missing.length === 0 ? '' : `; missing: ${shortened(one.missing).join(', ')}`;
    return wrapped(
      plain(`${workNames[work].padEnd(6)}  ${verdictWords[one.verdict].padEnd(4)}  ${one.found}${missing}`),
      style.width,
      '  ',
      ' '.repeat(16),
    );
  });
}

/** What to do next time, with the caution that belongs to more pulls. */
export function nextLines(fitness: readonly FitnessResult[], style: Style): string[] {
  const next = nextSteps(fitness);
  const caution = fitness.some(({ work, next: steps }) => work === 'pull' && steps.length > 0);
  return [
    ...(next.length === 0 ? [] : wrapped(shownBy(inertText(`Next time: ${next.join(' ')}`, 600), style), style.width, '', '  ')),
    ...(caution ? pullCautionLines(style) : []),
  ];
}

/** What to do next time, each step once, channels in one list. */
function nextSteps(fitness: readonly FitnessResult[]): string[] {
  const channels = new Set<string>();
  const others = new Set<string>();
  for (const work of workOrder) {
    for (const step of fitness.find((one) => one.work === work)?.next ?? []) {
      const named = /^Log (.*) as well\.$/.exec(step);
      if (named === null) others.add(step);
      else for (const name of named[1]!.split(', ')) channels.add(name.replace(/ \(in .*\)$/, ''));
    }
  }
  const log = channels.size === 0 ? [] : [`log ${listed(shortened([...channels]))}.`];
  return [...log, ...others].map((text, i) => (i === 0 ? text.charAt(0).toLowerCase() + text.slice(1) : text));
}

/** Both fuel trims in one word. */
function shortened(names: readonly string[]): string[] {
  const trims = ['short-term fuel trim', 'long-term fuel trim'];
  if (!trims.every((trim) => names.includes(trim))) return [...names];
  return names.flatMap((name) => (name === trims[0] ? ['fuel trims'] : name === trims[1] ? [] : [name]));
}

function listed(words: readonly string[]): string {
  if (words.length < 2) return words.join('');
  return `${words.slice(0, -1).join(', ')}${words.some((word) => word.includes(' or ')) ? ',' : ''} and ${words.at(-1)}`;
}

const delimiterNames: Readonly<Record<string, string>> = {
  ',': 'comma',
  ';': 'semicolon',
  '\t': 'tab',
  '|': 'pipe',
  spaces: 'space',
  'wide spaces': 'space',
};
const encodingNames: Readonly<Record<string, string>> = {
  'utf-8': 'UTF-8',
  'utf-16le': 'UTF-16 LE',
  'utf-16be': 'UTF-16 BE',
  'windows-1252': 'Windows-1252',
};

/** How a file was taken apart. */
export function dialectText({ delimiter, decimal, encoding }: NonNullable<CheckedLog['dialect']>): string {
  const separated = delimiterNames[delimiter] ?? `"${delimiter}"`;
  return `${separated}-separated, decimal ${decimal === ',' ? 'comma' : 'point'}, ${encodingNames[encoding] ?? encoding}`;
}

/** A unit, with what zero means for a pressure. */
export function unitText(unit: string, reference: 'absolute' | 'gauge' | null | undefined): string {
  if (reference === null || reference === undefined || unit === '') return unit;
  return `${unit} ${reference === 'absolute' ? 'abs' : 'gauge'}`;
}

/** A finding that stands below the name of its log, which need not be said again. */
export function withoutPath(finding: Finding): Finding {
  const { path: _, ...where } = finding.where;
  return { ...finding, where };
}
