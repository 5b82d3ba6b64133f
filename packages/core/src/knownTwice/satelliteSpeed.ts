import { findChannel, freshSamples } from '../log/index.js';
import type { Evidence, LoadedRun } from '../pulls/index.js';
import type { Contradiction } from '../result/index.js';
import { joinableGapS, quantileOf, valueAt } from '../stretches/index.js';
import { numberText } from '../units/index.js';
import { shown } from './shown.js';

/** A road speed that is off by more than tires and a speedometer are. Common practice, no source. */
const agrees = 0.05;
const leastReadings = 20;
const leastSpeedMps = 8;

/** Road speed against satellite speed, else against wheel speed, where one log has both. */
export function satelliteSpeed({ setups }: Evidence): Contradiction[] {
  return setups.flatMap(({ name, runs }): Contradiction[] => {
    const seen = runs.flatMap((run) => scaleOf(run) ?? []);
    const off = seen.filter(({ factor }) => Math.abs(factor - 1) > agrees);
    const [first] = off;
    if (first === undefined) return [];
    const { factor, road, other, run, used } = first;
    const unit = [1.609344, 1 / 1.609344, 3.6, 1 / 3.6].find((one) => Math.abs(factor / one - 1) < 0.05);
    return [
      {
        name: 'road speed',
        setups: [name],
        sources: [
          { what: `speed by column ${road}`, value: 1, unit: '1', shown: '1', where: run.inputs.log },
          {
            what: `speed by column ${other}`,
            value: factor,
            unit: '1',
            shown: `${numberText(factor, 3)} times that`,
            where: run.inputs.log,
          },
        ],
        difference: `${shown.percent(Math.abs(factor - 1))} apart`,
        // Where satellite speed serves, the other one moves nothing.
        effects: [{ setup: name, share: used === 'road' ? 1 / factor ** 2 - 1 : 0 }],
        mistakes: [
          unit === undefined
            ? {
                name: 'speed-scale',
                sentence: `column ${road} reads ${factor > 1 ? 'low' : 'high'}: another tire or final drive than the car believes in`,
              }
            : { name: 'speed-unit', sentence: `column ${road} or ${other} is in another unit than it is called` },
        ],
        fix:
          unit === undefined
            ? `Correct the speedometer, or leave "${road}" out: channels: { "${road}": ignore }.`
            : `State the units: channels: { "${road}": road-speed mph }.`,
      },
    ];
  });
}

interface Scale {
  readonly run: LoadedRun;
  readonly factor: number;
  readonly road: string;
  readonly other: string;
  readonly used: 'road' | 'other';
}

/** Satellite (or wheel) speed over road speed while the car hardly accelerates: a late reading then matters little. */
function scaleOf(run: LoadedRun): Scale | null {
  const road = findChannel(run.log, 'road-speed');
  const other = findChannel(run.log, 'gps-speed') ?? findChannel(run.log, 'wheel-speed');
  if (road === null || other === null) return null;
  const roadReadings = { channel: road, ...freshSamples(run.log, road) };
  const gapS = joinableGapS(roadReadings);
  const { timeS, values } = freshSamples(run.log, other);
  const ratios = Array.from(values).flatMap((speed, i) => {
    const here = valueAt(roadReadings, timeS[i]!, gapS);
    const change = valueAt(roadReadings, timeS[i]! + 0.5, gapS) - valueAt(roadReadings, timeS[i]! - 0.5, gapS);
    return speed > leastSpeedMps && here > leastSpeedMps && Math.abs(change) < 0.6 ? [speed / here] : [];
  });
  if (ratios.length < leastReadings) return null;
  const spread = quantileOf(ratios, 0.84) - quantileOf(ratios, 0.16);
  if (spread > 0.06) return null;
  return {
    run,
    factor: quantileOf(ratios, 0.5),
    road: road.name,
    other: other.name,
    used: run.found.signals.road?.channel === other ? 'other' : 'road',
  };
}
