import { type Finding, PullproofError } from '../../../findings/index.js';
import type { Log } from '../../log.js';
import { shownName } from '../../text/shownName.js';
import { findChannel, freshSamples } from '../access.js';

/** What a road speed may have been logged in, and what its numbers must be multiplied by. */
const mistakes: readonly { readonly factor: number; readonly likely: string; readonly unit: string }[] = [
  { factor: 1.609344, likely: 'mph logged as km/h', unit: 'mph' },
  { factor: 1 / 1.609344, likely: 'km/h logged as mph', unit: 'km/h' },
  { factor: 3.6, likely: 'm/s logged as km/h', unit: 'm/s' },
];

/** How near a gear's ratio of engine speed to road speed a sample must lie: tyre growth, wear and slip. */
const nearness = 0.04;

/**
 * Checks the road speed's unit by the car's gears: engine speed over road speed must fall on one of them while driving.
 *
 * @param log the log
 * @param rpmPerMps engine speed over road speed in each gear, rpm per m/s
 * @returns W_IMPLAUSIBLE where the speed as logged misses the gears and another unit hits them; null otherwise, or where there is too little driving to tell
 * @throws E_ARGUMENT when a gear's figure is not above zero
 *
 * Validity: at least 50 fresh speeds above 5 m/s with the engine above 1,200 rpm, of which a locked driveline makes up most.
 * Uncertainty: a wrong tyre radius of 4 % or more hides the finding, never makes one up.
 */
export function checkSpeedByGears(log: Log, rpmPerMps: readonly number[]): Finding | null {
  if (rpmPerMps.length === 0 || !rpmPerMps.every((value) => value > 0 && Number.isFinite(value))) {
    throw new PullproofError(
      'E_ARGUMENT',
      'rpmPerMps needs a figure above zero for each gear.',
      {},
      'Give engine speed over road speed in rpm per m/s.',
    );
  }
  const speed = findChannel(log, 'road-speed');
  const engine = findChannel(log, 'engine-speed');
  if (speed === null || engine === null) return null;
  const { rows, values } = freshSamples(log, speed);
  const ratios = new Float64Array(rows.length);
  let count = 0;
  for (let i = 0; i < rows.length; i++) {
    const rpm = engine.values[rows[i]!]!;
    if (values[i]! > 5 && rpm > 1200) ratios[count++] = rpm / values[i]!;
  }
  if (count < 50) return null;
  const share = (factor: number): number => shareNearGears(ratios.subarray(0, count), rpmPerMps, factor);
  const asLogged = share(1);
  // Most speeds fit as they are: nothing to look for.
  if (asLogged > 0.5) return null;
  const fitting = mistakes.filter(({ factor }) => share(factor) > 0.7);
  const [found] = fitting;
  if (fitting.length !== 1 || found === undefined) return null;
  return {
    code: 'W_IMPLAUSIBLE',
    severity: 'warning',
    message: `"${shownName(speed.name)}" falls on the car's gears in ${percent(asLogged)} of its readings as logged, and in ${percent(share(found.factor))} as ${found.unit}: ${found.likely}. It was used as labeled.`,
    where: { path: log.path, channel: speed.name },
    fix: `If so, state it: channels: { "${shownName(speed.name)}": road-speed ${found.unit} }. If not, check gear ratios, final drive and tyre radius.`,
  };
}

/** Share of the ratios that lie near that of a gear. */
function shareNearGears(ratios: Float64Array, rpmPerMps: readonly number[], factor: number): number {
  let near = 0;
  for (let i = 0; i < ratios.length; i++) {
    for (let g = 0; g < rpmPerMps.length; g++) {
      if (!(Math.abs(ratios[i]! / factor / rpmPerMps[g]! - 1) < nearness)) continue;
      near++;
      break;
    }
  }
  return near / ratios.length;
}

function percent(share: number): string {
  return `${Math.round(100 * share)} %`;
}
