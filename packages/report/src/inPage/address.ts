import type { UnitSystem } from '@pullproof/figures';

/** What a reader has chosen; it stands in the address, so that a link opens what was seen. */
export interface Choices {
  units: UnitSystem;
  pair: number;
  open: Set<string>;
  /** Engine speeds that every figure along them shows; null for all. */
  range: readonly [number, number] | null;
  /** Setups that are switched off. */
  off: Set<number>;
  /** Pulls in the viewer, by setup and place; null for those that it opens with. */
  pulls: readonly string[] | null;
  by: 'time' | 'rpm';
}

/** Reads the part of the address behind `#`; an address that is no more than a name opens the topic of that name. */
export function choicesFrom(hash: string, start: Choices): Choices {
  const text = decodeURIComponentOr(hash.replace(/^#/, ''));
  const choices: Choices = { ...start, open: new Set(start.open), off: new Set(start.off) };
  if (text === '') return choices;
  if (!text.includes('=')) {
    if (/^[\w-]+$/.test(text)) choices.open.add(text);
    return choices;
  }
  for (const part of text.split('&')) {
    const [name, value = ''] = part.split('=') as [string, string?];
    if (name === 'units' && (value === 'metric' || value === 'us')) choices.units = value === 'us' ? 'imperial' : 'metric';
    if (name === 'pair' && /^\d+$/.test(value)) choices.pair = Number(value);
    if (name === 'open') choices.open = new Set(value.split(',').filter((id) => /^[\w-]+$/.test(id)));
    if (name === 'rpm') choices.range = rangeFrom(value);
    if (name === 'off')
      choices.off = new Set(
        value
          .split(',')
          .filter((one) => /^\d+$/.test(one))
          .map(Number),
      );
    if (name === 'pulls') choices.pulls = value.split(',').filter((one) => /^\d+\.\d+$/.test(one));
    if (name === 'by' && (value === 'time' || value === 'rpm')) choices.by = value;
  }
  return choices;
}

/** The choices as an address, shortest first: what is as it was at the start is left out. */
export function addressOf(choices: Choices, start: Choices): string {
  const same = (a: Iterable<unknown>, b: Iterable<unknown>): boolean => [...a].sort().join() === [...b].sort().join();
  const parts = [
    ...(choices.units === start.units ? [] : [`units=${choices.units === 'imperial' ? 'us' : 'metric'}`]),
    ...(choices.pair === start.pair ? [] : [`pair=${choices.pair}`]),
    ...(same(choices.open, start.open) ? [] : [`open=${[...choices.open].join(',')}`]),
    ...(choices.range === null ? [] : [`rpm=${choices.range.map(Math.round).join('-')}`]),
    ...(choices.off.size === 0 ? [] : [`off=${[...choices.off].join(',')}`]),
    ...(choices.pulls === null ? [] : [`pulls=${choices.pulls.join(',')}`]),
    ...(choices.by === start.by ? [] : [`by=${choices.by}`]),
  ];
  return parts.length === 0 ? '#' : `#${parts.join('&')}`;
}

function rangeFrom(value: string): readonly [number, number] | null {
  const [from, to] = value.split('-').map(Number);
  return from !== undefined && to !== undefined && to > from ? [from, to] : null;
}

function decodeURIComponentOr(text: string): string {
  try {
    return decodeURIComponent(text);
  } catch {
    return '';
  }
}
