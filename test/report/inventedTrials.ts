import type { ChangedBesides, Finding, Region, TrialResult } from '@pullproof/core';
import { bump, type InventedTrial, inventedResult, nothingAlarming, notMeasured, stopLine } from './inventedResult.js';

// Invented throughout, see inventedResult.ts.

const region = (
  verdict: Region['verdict'],
  fromRpm: number,
  toRpm: number,
  watts: readonly [number, number, number],
  clear: readonly [number, number] = [fromRpm, toRpm],
): Region => ({
  fromRpm,
  toRpm,
  verdict,
  meanW: watts[0],
  lowW: watts[1],
  highW: watts[2],
  meanShare: watts[0] / 190_000,
  clearFromRpm: clear[0],
  clearToRpm: clear[1],
});

const warmer: ChangedBesides = {
  quantity: 'charge temperature at the start of the pull',
  before: 311.2,
  after: 314.9,
  unit: 'K',
  couldExplain: 'no',
  reason: 'It was warmer after, which costs power: it cannot have made a gain.',
  couldExplainW: -1100,
};
const timing: ChangedBesides = {
  quantity: 'spark-advance',
  before: 17.2,
  after: 18.4,
  unit: 'deg',
  couldExplain: 'cannot tell',
  reason: 'More advance can make power; no rule for this engine is known.',
  couldExplainW: null,
};
const air: ChangedBesides = {
  quantity: 'air density',
  before: 1.152,
  after: 1.181,
  unit: 'kg/m³',
  couldExplain: 'yes',
  reason: 'Denser air after: with an exponent up to 1.2 it covers the whole difference.',
  couldExplainW: 5800,
};

const gainTrial: InventedTrial = {
  title: 'Smaller blower pulley',
  setups: [
    { name: '74 mm pulley', leftOut: 'throttle closed at 4,700 rpm' },
    { name: '70 mm pulley', gainW: bump(8800, 3900, 1050), outing: 'sunday', chargeStartK: 313 },
    {
      name: '70 mm pulley, wide throttle body',
      gainW: (rpm) => bump(9000, 4000, 1200)(rpm) + bump(5200, 6300, 900)(rpm),
      outing: 'sunday',
      chargeStartK: 316,
    },
  ],
  comparisons: [
    {
      before: 0,
      after: 1,
      regions: [region('gain', 3100, 4700, [8100, 3000, 13300], [2900, 4900]), region('no clear change', 5300, 6400, [400, -4900, 5600])],
      changedBesides: [timing, warmer],
      overall: {
        sentence: 'Gain from 3,100 to 4,700 rpm: +11 hp (+4 to +18). No clear change above 5,300. Three and three pulls, two outings.',
        verdict: 'gain',
        reasons: ['OUTINGS_DIFFER'],
        next: [
          'Log 74 mm pulley once more on the same outing as 70 mm pulley: that would narrow the band from ±7 hp to about ±4 hp.',
          'Log spark advance below 2 % steps, so that its part can be told.',
          'The gain fades above 4,700 rpm: see whether the manifold pressure stops rising there.',
        ],
      },
    },
    {
      before: 1,
      after: 2,
      regions: [region('no clear change', 2500, 5400, [300, -4300, 4800]), region('gain', 5800, 6400, [5100, 900, 9400])],
      changedBesides: [warmer],
      overall: {
        sentence: 'Gain from 5,800 to 6,400 rpm: +7 hp (+1 to +13). No clear change below 5,400. Three and three pulls, one outing.',
        verdict: 'gain',
        reasons: [],
        next: ['Enough for a verdict. Three more pulls with each setup would narrow the band from ±6 hp to about ±4 hp.'],
      },
    },
  ],
};

const everyFinding: Finding[] = [
  {
    code: 'E_TIME_ORDER',
    severity: 'error',
    message: 'Time falls from 12.40 s to 12.35 s, and does not start again.',
    where: { path: '70-mm-pulley-c.csv', row: 812, channel: 'Time' },
    fix: 'Export the log again, or give its parts as runs of their own.',
  },
  {
    code: 'AIR_COULD_EXPLAIN',
    severity: 'warning',
    message: 'The air was denser after: it alone could have made up to +8 hp, which covers the difference.',
    where: { setup: '70 mm pulley' },
    fix: 'Log both setups on one outing.',
  },
  ...[
    'W_ENCODING',
    'W_NUL',
    'W_QUOTE',
    'W_FOOTER',
    'W_RESTART',
    'W_DUPLICATE_NAME',
    'W_TIME_REPEATED',
    'W_ROLLOVER',
    'W_MIDNIGHT',
    'W_CLOCK_JUMP',
    'W_GAP',
    'W_TIME_QUANTISED',
    'W_MISSING_TOKENS',
    'W_SENTINEL',
    'W_NOT_A_NUMBER',
    'W_OUT_OF_RANGE',
    'W_PRECISION',
    'W_RAGGED',
    'W_TORN_ROW',
    'W_STUCK',
    'W_IMPLAUSIBLE',
    'W_GREW',
    'W_SAME_FILE',
    'W_LINE_ENDS',
  ].map(
    (code, index): Finding => ({
      code,
      severity: 'warning',
      message: `An invented message for ${code}, as long as such messages are: what was seen, with values and units, and why it matters to the answer.`,
      where: {
        path: `logs/saturday evening/74-mm-pulley-${index % 2 === 0 ? 'a' : 'b'}.csv`,
        line: 40 + index,
        row: 38 + index,
        channel: 'Manifold Absolute Pressure (kPa)',
      },
      fix: 'An invented remedy: what to change in the logger, in the trial file, or on the road.',
      count: 1 + index * 7,
    }),
  ),
  {
    code: 'ASSUMED_WIND',
    severity: 'note',
    message: 'Wind was not entered: calm is assumed.',
    where: { field: 'setups[0].runs[0].wind' },
    fix: 'Enter the wind.',
  },
  {
    code: 'CUT_SHIFT',
    severity: 'note',
    message: 'A gear change ends the pull.',
    where: { path: '74-mm-pulley-a.csv', fromTimeS: 41.2, toTimeS: 48.6, fromRpm: 2500, toRpm: 6400 },
    fix: '',
  },
];

const hostileText =
  '<img src=x onerror="window.hostile=1">"><script>window.hostile=1</script>$\\href{javascript:window.hostile=1}{x}$<a href="javascript:window.hostile=1">x</a>%{y}\u202Egnp.exe\u0000\u001b[31m\u2028';

/** The trials that the report is looked at with. */
export const inventedTrials: Readonly<Record<string, TrialResult>> = {
  gain: inventedResult({ ...gainTrial, laterParts: {} }),
  onePull: inventedResult({
    title: 'Intake duct, one pull each',
    units: 'metric',
    setups: [
      { name: 'standard duct', pulls: 1 },
      { name: 'short duct', pulls: 1, gainW: bump(3800, 5600, 1400), outing: 'sunday' },
    ],
    comparisons: [
      {
        before: 0,
        after: 1,
        halfWidthW: 9800,
        regions: [region('no clear change', 2500, 6400, [1700, -8900, 12200])],
        overall: {
          sentence: 'No clear change from 2,500 to 6,400 rpm: +2 kW (−9 to +12). One and one pull, two outings.',
          verdict: 'no clear change',
          reasons: ['ONE_PULL'],
          next: ['Make two more pulls with each setup on one outing, before, after, before: a gain of 6 kW could then be seen.'],
        },
      },
    ],
  }),
  nothing: inventedResult({
    title: 'New spark plugs',
    setups: [
      { name: 'old plugs' },
      {
        name: 'new plugs',
        pulls: 0,
        missing: {
          wheelPowerW: 'no full-load pull was found in its log',
          wheelTorqueNm: 'no full-load pull was found in its log',
          manifoldPressurePa: 'no full-load pull was found in its log',
          lambda: 'no full-load pull was found in its log',
        },
      },
    ],
    comparisons: [
      {
        before: 0,
        after: 1,
        regions: [],
        status: 'new plugs has no full-load pull, so there is nothing to compare old plugs with.',
        overall: {
          sentence: 'Cannot tell: new plugs has no full-load pull in its log.',
          verdict: 'cannot tell',
          reasons: ['NO_PULL'],
          next: ['Log a pull with new plugs from 2,500 rpm to the top in one gear, pedal on the floor.'],
        },
      },
    ],
    warning: notMeasured,
  }),
  airExplains: inventedResult({
    title: 'Cooler on another evening',
    setups: [
      {
        name: 'old cooler',
        correction: {
          standard: 'ISO 1585',
          factor: 1.021,
          warning: 'The engine is boosted: the standard was not written for it, and overstates.',
        },
      },
      {
        name: 'new cooler',
        gainW: bump(5400, 4400, 2600),
        outing: 'the friday after',
        correction: { standard: 'ISO 1585', factor: 0.998, warning: null },
      },
    ],
    comparisons: [
      {
        before: 0,
        after: 1,
        air: [0, 0.033],
        regions: [region('no clear change', 2500, 6400, [4600, -300, 9600])],
        changedBesides: [air, warmer, timing],
        overall: {
          sentence:
            'No clear change: +6 hp (0 to +13), and the denser air of the second outing could have made +8 hp. Three and three pulls, two outings.',
          verdict: 'no clear change',
          reasons: ['AIR_COULD_EXPLAIN'],
          next: ['Log both coolers on one evening, old, new, old.'],
        },
      },
    ],
    warning: stopLine,
  }),
  everyFinding: inventedResult({ ...gainTrial, title: 'Everything that can be wrong at once', warning: stopLine, findings: everyFinding }),
  missing: inventedResult({
    title: 'Few channels',
    units: 'metric',
    laterParts: { known: false },
    setups: [
      {
        name: 'before',
        chargeStartK: null,
        missing: {
          manifoldPressurePa: 'manifold pressure was not logged',
          lambda: 'lambda was not logged',
          chargeTemperatureK: 'charge temperature was not logged',
          wheelTorqueNm: 'no engine speed of its own',
        },
      },
      {
        name: 'after',
        chargeStartK: null,
        gainW: bump(-9000, 5200, 900),
        missing: {
          lambda: 'lambda was not logged',
          chargeTemperatureK: 'charge temperature was not logged',
          wheelTorqueNm: 'no engine speed of its own',
        },
      },
    ],
    comparisons: [
      {
        before: 0,
        after: 1,
        air: null,
        regions: [
          region('no clear change', 2500, 4300, [-600, -5400, 4100]),
          region('loss', 4600, 5900, [-7900, -12800, -3000], [4500, 6000]),
        ],
        overall: {
          sentence: 'Loss from 4,600 to 5,900 rpm: −8 kW (−13 to −3). No clear change below 4,300. Three and three pulls, one outing.',
          verdict: 'loss',
          reasons: [],
          next: ['Go back to before, or find what costs power above 4,600 rpm.', 'Log manifold pressure and lambda.'],
        },
      },
    ],
    warning: notMeasured,
  }),
  hostile: inventedResult({
    title: hostileText,
    laterParts: { words: (text) => `${text} ${hostileText}` },
    setups: [
      { name: `A ${hostileText}`, leftOut: hostileText, log: `../${hostileText}.csv` },
      { name: `B ${'very long name '.repeat(40)}`, gainW: bump(8800, 3900, 1050), log: '=cmd|calc!A1.csv' },
    ],
    comparisons: [
      {
        before: 0,
        after: 1,
        regions: [region('gain', 3100, 4700, [8100, 3000, 13300])],
        changedBesides: [
          {
            quantity: hostileText,
            before: 1,
            after: 2,
            unit: hostileText,
            couldExplain: 'partly',
            reason: hostileText,
            couldExplainW: 500,
          },
        ],
        overall: { sentence: `Gain ${hostileText}`, verdict: 'gain', reasons: [hostileText], next: [hostileText] },
      },
    ],
    warning: { level: 'stop', sentence: hostileText, details: [{ quantity: hostileText, level: 'stop', text: hostileText }] },
    findings: [
      {
        code: hostileText,
        severity: 'warning',
        message: hostileText,
        where: { path: hostileText, channel: 'x'.repeat(10_000) },
        fix: hostileText,
      },
    ],
  }),
  sixSetups: inventedResult({
    title: 'Six pulleys',
    setups: [78, 76, 74, 72, 70, 68].map((size, index) => ({
      name: `${size} mm pulley`,
      gainW: (rpm: number) => index * 3600 + bump(index * 900, 3900, 1400)(rpm),
      pulls: 3,
      outing: index < 3 ? 'saturday' : 'sunday',
    })),
    comparisons: [1, 2, 3, 4, 5].map((after) => ({
      before: 0,
      after,
      air: [-0.004, 0.004] as const,
      regions:
        after < 2
          ? [region('no clear change', 2500, 6400, [after * 3600, -1200, 8400])]
          : [region('gain', 2500, 6400, [after * 3900, after * 3900 - 5200, after * 3900 + 5200])],
      changedBesides: after === 3 ? [timing] : [],
      overall: {
        sentence:
          after < 2
            ? 'No clear change from 2,500 to 6,400 rpm: +5 hp (−2 to +11). Three and three pulls, one outing.'
            : `Gain from 2,500 to 6,400 rpm: +${Math.round(after * 5.2)} hp (+${Math.round(after * 5.2 - 7)} to +${Math.round(after * 5.2 + 7)}). Three and three pulls, two outings.`,
        verdict: after < 2 ? ('no clear change' as const) : ('gain' as const),
        reasons: [],
        next: ['Log 78 mm pulley once more on sunday’s road: it would narrow every band.'],
      },
    })),
    warning: nothingAlarming,
  }),
};
