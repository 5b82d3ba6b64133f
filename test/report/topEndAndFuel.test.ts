import type { TrialResult } from '@pullproof/core';
import { renderReport } from '@pullproof/report';
import { describe, expect, test } from 'vitest';
import { inventedTrials } from './inventedTrials.js';
import { topicOf, wordsOf } from './reportText.js';

const trial = (name: string): TrialResult => inventedTrials[name]!;

/** Words of a topic. */
const wordsIn = (result: TrialResult, id: string): string => wordsOf(topicOf(renderReport(result), id));

describe('what limits the top end', () => {
  const words = wordsIn(trial('gain'), 'top-end');

  test('cannot tell is said plainly, with the causes in order', () => {
    expect(words).toContain('Cannot tell. The gain fades');
    expect(words.indexOf('Blower out of capacity :')).toBeGreaterThan(0);
    expect(words.indexOf('Blower out of capacity :')).toBeLessThan(words.indexOf('Charge heat :'));
    expect(words).not.toMatch(/\bNaN|undefined|\[object/);
  });

  test('each reason names what it rests on: channel, readings, pulls, logs', () => {
    expect(words).toContain('Manifold pressure (MAP (kPa)): 468 readings of 6 pulls, 74 mm pulley.csv, 70 mm pulley.csv.');
    expect(words).toContain('What the reasons use: manifold pressure');
    expect(words).toContain('To find out: Log the pressure before the blower');
  });

  test('readings of every pull stand under the figure, with log, time and engine speed', () => {
    expect(words).toMatch(/Manifold pressure 70 mm pulley 70 mm pulley\.csv top 47\.20 48\.90 5,800 6,400 38 /);
  });

  test('a setup that fades nowhere is one sentence', () => {
    expect(words).toContain('74 mm pulley by itself Nothing fades. Torque holds to the top of the pulls.');
  });

  test('no analysis, no section', () => {
    expect(wordsIn(trial('nothing'), 'top-end')).toBe('');
  });
});

describe('fuel supply', () => {
  test('headroom at the measured and at the forecast airflow, in the units of the trial', () => {
    const words = wordsIn(trial('gain'), 'fuel');
    // 0.85 / 0.79 − 1 = 7.6 %; 226 kW × 0.85 / 0.79 = 243.2 kW = 326 hp.
    expect(words).toMatch(/as measured 6,300 79 \(76 to 82\) 85 \+8 \(\+4 to \+12\) 326 \(/);
    expect(words).toMatch(/as forecast 6,300 82 /);
    expect(words).toContain('as forecast: in the densest air of the trial Factors: denser air: × 1.042 (model: ratio of densities)');
    expect(words).toContain('falls. Fuel pressure across the injectors falls by 16 kPa');
  });

  test('without duty it says which channel would tell, and cannot tell of the pressure', () => {
    const words = wordsIn(trial('missing'), 'fuel');
    expect(words).toContain('Log injector duty, or pulse width with engine speed.');
    expect(words).toContain('cannot tell. fuel pressure was not logged');
  });
});

describe('routes to power', () => {
  test('disagreement, where, and what it usually means', () => {
    const words = wordsIn(trial('gain'), 'cross-check');
    expect(words).toContain('Motion and fuel disagree by 11 % from 2,500 to 6,400 rpm.');
    expect(words).toContain('Beyond the margins: 2,500 to 6,400 rpm −11%.');
    expect(words).toContain('The injectors flow more than entered.');
    expect(words).toContain('Enter the displacement.');
  });
});

describe('which estimator gave a curve', () => {
  const [first, ...rest] = trial('gain').setups;
  const withEstimator = (estimator: NonNullable<TrialResult['setups'][number]['estimator']>): TrialResult => ({
    ...trial('gain'),
    setups: [{ ...first!, estimator }, ...rest],
  });

  test('one line where nothing is to be said', () => {
    const words = wordsIn(withEstimator({ used: 'output-error fit', why: null, disagreement: null }), 'power');
    expect(words).toContain('Two ways of working it out give the same curve.');
  });

  test('the fall-back with its reason, and where the two disagree', () => {
    const words = wordsIn(
      withEstimator({
        used: 'local polynomial',
        why: 'The fit did not converge',
        disagreement: { fromRpm: 5200, toRpm: 6100, largestShare: -0.034 },
      }),
      'power',
    );
    expect(words).toContain('74 mm pulley: from the slope of the recorded speeds. The fit did not converge.');
    expect(words).toContain('From 5,200 to 6,100 rpm the two ways differ by more than their margins');
    expect(words).toContain('−3.4% from the fit');
  });
});

describe('change sheet', () => {
  const words = wordsIn(trial('gain'), 'change-sheet');

  test('torque in three units side by side', () => {
    // Source: 1 lbf·ft = 1.3558179 N·m, 1 lbf·in = 0.1129848 N·m, NIST SP 811 (2008) B.8: 25 N·m are 18.4 and 221.
    expect(words).toContain('blower pulley M8x1.25 8.8 25 18.4 221 25 N m 15 to 34 in the expected range');
  });

  test('what is flagged says why, and the maker rules', () => {
    expect(words).toContain('another unit meant?');
    expect(words).toContain('90 lb ft would break an M6; 90 lb in fits.');
    expect(words).toContain('Caution: The maker’s figure rules.');
  });
});

test('hostile words in every field of these sections stay words', () => {
  for (const id of ['top-end', 'fuel', 'cross-check', 'change-sheet']) {
    const section = topicOf(renderReport(trial('hostile')), id);
    expect(section.split('&lt;img src=x').length).toBeGreaterThan(5);
    expect(section).not.toMatch(/<(img|script|a href="javascript)/);
    // What may stand in a page: these control characters may not.
    expect(section).not.toMatch(/[\u0000-\u0008\u000b-\u001f\u202a-\u202e\u2066-\u2069]/);
  }
});
