import { renderTerminal } from '@pullproof/report';
import { describe, expect, it } from 'vitest';
import { inventedTrials } from './inventedTrials.js';

const lines = (name: string, options = {}): string[] => renderTerminal(inventedTrials[name]!, options).split('\n');

describe.each(Object.keys(inventedTrials))('the terminal summary of %s', (name) => {
  it.each([48, 80, 110])('keeps to %d characters a line', (width) => {
    for (const line of lines(name, { width })) expect(Array.from(line).length).toBeLessThanOrEqual(width);
  });

  it('sends nothing that steers a terminal, unless colour is wanted', () => {
    expect(renderTerminal(inventedTrials[name]!)).not.toMatch(/[\u0000-\u0009\u000b-\u001f\u007f-\u009f\u202a-\u202e\u2066-\u2069]/);
    expect(renderTerminal(inventedTrials[name]!, { colour: true }).replace(/\u001b\[(1|1;31|0)m/g, '')).toBe(
      renderTerminal(inventedTrials[name]!),
    );
  });
});

describe('the terminal summary', () => {
  it('answers in the order of the first screen', () => {
    const text = renderTerminal(inventedTrials.airExplains!);
    const places = [
      'No clear change',
      'STOP',
      'Changed   air density',
      'Difference in wheel power, hp',
      'Next      1. Log both coolers',
      'Findings',
    ].map((word) => text.indexOf(word));
    expect(places.every((place) => place >= 0)).toBe(true);
    expect(places).toEqual([...places].sort((left, right) => left - right));
  });

  it('plots the difference in plain characters, where it is', () => {
    const plot = lines('gain').filter((line) => /^ {0,7}[+−]?\d* *\|/.test(line));
    expect(plot.slice(0, 11).join('')).toMatch(/^[ -~−]*$/);
    const column = 8 + 1 + Math.round(((3900 - 2500) / 3900) * 70);
    const rows = plot.slice(0, 11);
    const peak = rows.findIndex((line) => line[column] === '*');
    const zero = rows.findIndex((line) => line.startsWith('      0 |'));
    // The invented difference at 3,900 rpm is 11.8 hp, the axis runs from −8 to +19 in ten steps.
    expect((zero - peak) * 2.7).toBeGreaterThan(8);
    expect((zero - peak) * 2.7).toBeLessThan(15);
  });

  it('marks regions by word and by sign', () => {
    expect(renderTerminal(inventedTrials.gain!)).toMatch(/\++ gain \++/);
    expect(renderTerminal(inventedTrials.missing!)).toMatch(/-+ loss -+/);
  });

  it('says why there is no plot', () => {
    expect(renderTerminal(inventedTrials.nothing!)).toContain('nothing to compare old plugs with');
  });

  it('ends with the caution that full-throttle pulls do not belong on a public road', () => {
    expect(renderTerminal(inventedTrials.onePull!).replace(/\n/g, ' ')).toContain('never on a public road');
  });
});
