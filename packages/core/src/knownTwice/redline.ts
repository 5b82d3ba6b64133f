import type { Evidence } from '../pulls/index.js';
import type { Contradiction } from '../result/index.js';
import { rpmText } from '../units/index.js';

/** A limiter lets an engine pass the redline by no more than this. Common practice, no source. */
const over = 1.08;

/** The redline as entered against the end of the pulls. */
export function redline({ setups, file }: Evidence, toldAlready: ReadonlySet<string>): Contradiction[] {
  const beyond = setups.flatMap((setup) =>
    setup.pulls.flatMap(({ pull, run }) => {
      const limit = run.inputs.redlineRpm;
      return limit !== null && pull.toRpm !== null && pull.toRpm > over * limit && !toldAlready.has(setup.name)
        ? [{ run, limit, rpm: pull.toRpm }]
        : [];
    }),
  );
  if (beyond.length === 0) return [];
  const { limit, run, rpm } = beyond.toSorted((a, b) => b.rpm - a.rpm)[0]!;
  const names = [...new Set(beyond.map((one) => one.run.inputs.setup))];
  return [
    {
      name: 'redline',
      setups: names,
      sources: [
        { what: 'the redline entered', value: limit, unit: 'rpm', shown: rpmText(limit), where: `${file.path}, car.redline` },
        { what: 'the end of a pull', value: rpm, unit: 'rpm', shown: rpmText(rpm), where: run.inputs.log },
      ],
      difference: `${rpmText(rpm - limit)} above`,
      effects: names.map((setup) => ({ setup, share: 0 })),
      mistakes: [{ name: 'redline', sentence: 'car.redline is mistyped' }],
      fix: 'Correct car.redline: limits at the redline are worked out from it.',
    },
  ];
}
