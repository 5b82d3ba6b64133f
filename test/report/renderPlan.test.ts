import type { PlanResult } from '@pullproof/core';
import { renderCheck, renderPlan } from '@pullproof/report';
import { describe, expect, test } from 'vitest';
import { markupOf, topicOf, wordsOf } from './reportText.js';

const hostile = '<img src=x onerror=alert(1)>\u202e';

// Invented throughout: regression, not truth.
const plan: PlanResult = {
  schema: 'pullproof/plan@1',
  title: hostile,
  units: 'imperial',
  power: 0.8,
  level: 0.95,
  comparisons: [
    {
      before: 'base',
      after: hostile,
      pullsBefore: 6,
      pullsAfter: 3,
      // 2237.1 W are 3.0 hp at 745.7 W each.
      couldHaveShownW: { value: 2237.1, low: 2000, high: 2500, share: 0.013, standing: 'measured' },
      asked: { share: 0.01, value: 1700 },
      morePullsPerSetup: 3,
      options: [{ how: 'more pulls in the same outings', morePullsPerSetup: null, moreOutingsPerSetup: 0, thenShownShare: null }],
      parts: [
        {
          name: 'pull-to-pull',
          share: 0.005,
          standing: 'measured',
          shownShareWithout: 0.004,
          remedy: 'Start each pull at the same temperature.',
        },
      ],
      advice: ['Make three more pulls of each.'],
    },
  ],
  findings: [],
};

describe('the page of a plan', () => {
  const page = renderPlan(plan);
  const words = wordsOf(markupOf(page));

  test('says what the pulls can show, what was asked for, and how many more it takes', () => {
    expect(words).toContain('Smallest change they can show, 8 times in 10');
    expect(words).toContain('6 and 3 1.3% (3.0 hp) 1.0% at least 3');
    expect(words).toMatch(/What to do next Make three more pulls of each\./);
  });

  test('keeps ways to go on and what limits it in a topic, a way that does not suffice as such', () => {
    const topic = wordsOf(topicOf(page, 'pair-1'));
    expect(topic).toContain('more pulls in the same outings not enough 0 –');
    expect(topic).toContain('pull to pull 0.5% measured 0.4% Start each pull');
  });

  test('makes nothing of hostile names', () => {
    expect(markupOf(page)).not.toContain('<img');
    expect(page).not.toContain('\u202e');
    expect(words).toContain('<img src=x');
  });
});

describe('the page of a check', () => {
  const log = {
    path: hostile,
    dialect: { delimiter: ',', decimal: '.', encoding: 'utf-8', evidence: '' },
    rows: 10,
    rowsDropped: 1,
    durationS: 5,
    channels: [],
    stretches: [],
    fitness: [
      { work: 'pull', verdict: 'fit', amount: 3, found: 'Three pulls.', missing: [], next: [] },
      {
        work: 'idle',
        verdict: 'fit with gaps',
        amount: 12,
        found: '12 s of idle.',
        missing: ['short-term fuel trim'],
        next: ['Log fuel trim.'],
      },
      { work: 'cruise', verdict: 'not fit', amount: 0, found: 'None.', missing: [], next: ['Log fuel trim.'] },
    ],
    findings: [],
  } as const;
  const together = { logs: 2, works: log.fitness, gears: [], missingForComparison: ['a second setup'] };

  test('gives one verdict over the set, then each log, and what to log next once', () => {
    const page = renderCheck({ schema: 'pullproof/check@1', logs: [log, { ...log, path: 'b.csv' }], together });
    const words = wordsOf(markupOf(page));
    expect(words).toContain('These 2 logs together: pulls good , idle gaps , cruise not usable .');
    expect(words).toContain('For a comparison of two setups is still missing: a second setup.');
    const answer = words.slice(0, words.indexOf('Details'));
    expect(answer.split('Log fuel trim.').length).toBe(2);
    expect([...markupOf(page).matchAll(/data-verdict="([^"]*)"/g)].map((match) => match[1]).slice(0, 3)).toEqual([
      'good',
      'gaps',
      'not usable',
    ]);
    expect(markupOf(page)).not.toContain('<img');
  });

  test('opens a log that could not be read', () => {
    const unread = {
      ...log,
      dialect: null,
      rows: 0,
      findings: [{ code: 'E_X', severity: 'error' as const, message: 'No columns.', where: {}, fix: 'Save it as CSV.' }],
    };
    expect(topicOf(renderCheck({ schema: 'pullproof/check@1', logs: [unread, log] }), 'log-1')).toMatch(
      /^<details class="topic state-stop" id="log-1" open/,
    );
  });
});
