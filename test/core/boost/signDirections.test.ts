import { describe, expect, test } from 'vitest';
import { type TopEndCause, type TopEndSign, topEndCauses, weighCauses } from '../../../packages/core/src/boost/index.js';
import { healthySigns, signatures } from '../../../packages/core/src/boost/topEndSignatures.js';

const causes = (Object.keys(topEndCauses) as TopEndCause[]).filter((cause) => cause !== 'own-breathing' && cause !== 'too-few-data');
const loss = 0.08;

/** Points that one sign gives a cause where torque fell by 8 % and nothing else was read. */
function pointsOf(cause: TopEndCause, sign: TopEndSign, trend: number, kind: 'comparison' | 'single'): number {
  const { spread } = healthySigns(kind, 'fixed-ratio')[sign];
  const { mean } = healthySigns(kind, 'fixed-ratio').torque;
  const weighed = weighCauses(
    [
      { sign: 'torque', trend: mean - loss, spread: 0.006 },
      { sign, trend, spread: 0.5 * spread },
    ],
    { causes, kind, aspiration: 'fixed-ratio' },
  );
  return weighed.find((one) => one.cause === cause)!.signs[1]!.points;
}

/** Signs whose direction a cause is sure of in each of its ways. */
const directed = causes.flatMap((cause) =>
  (Object.keys(signatures[cause][0]!) as TopEndSign[]).flatMap((sign) => {
    const ways = signatures[cause].map((way) => way[sign] ?? ([0, 0] as const));
    const sure = ways.every(([perLoss, spread]) => Math.abs(perLoss) >= spread && perLoss * ways[0]![0] > 0);
    return sign === 'torque' || !sure ? [] : [[cause, sign, ways[0]![0]] as const];
  }),
);

describe('evidence pulls the way its sign says', () => {
  test('fuel-pressure sag: a measured rise does not count for it', () => {
    for (const rise of [0.02, 0.05, 0.1, 0.3])
      expect(pointsOf('fuel-pressure', 'fuel-pressure', rise, 'comparison')).toBeLessThanOrEqual(0.02);
    expect(pointsOf('fuel-pressure', 'fuel-pressure', -0.3, 'comparison')).toBeGreaterThan(1);
  });

  test.each(directed)('%s: %s moved towards it and away from it', (cause, sign, perLoss) => {
    expect(directed.length).toBeGreaterThan(35);
    for (const kind of ['comparison', 'single'] as const) {
      const { mean, spread } = healthySigns(kind, 'fixed-ratio')[sign];
      const way = Math.sign(perLoss);
      const still = pointsOf(cause, sign, mean, kind);
      // One unit is what a sound engine scatters by; towards it as far as the cause foretells.
      for (const units of [1, 2, 4, 8]) {
        const away = pointsOf(cause, sign, mean - way * units * spread, kind);
        expect(away, `${kind}, ${units} away`).toBeLessThanOrEqual(Math.max(still, 0) + 0.05);
      }
      // What is foretold must stand out of what sound engines scatter by, or it says nothing either way.
      if (Math.abs(perLoss) * loss > spread)
        expect(pointsOf(cause, sign, mean + perLoss * loss, kind), `${kind}, towards`).toBeGreaterThan(still);
    }
  });
});
