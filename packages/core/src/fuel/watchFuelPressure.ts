import type { Finding } from '../findings/index.js';
import { missingText, pullPlace, rpmText } from './pullPlace.js';
import { readingsAt } from './readingsAt.js';
import { sustainedHighest } from './sustained.js';
import type { WarningLimits, Watched, WatchedPull } from './warningTypes.js';

/** Common practice, no source: a tenth less pressure is about a twentieth less fuel (flow goes with the root of pressure). */
const sagShare = 0.1;
/** Above this the pump is a direct-injection one, whose pressure follows a command that is not in these channels. */
const directInjectionPa = 2.5e6;

/** Fuel pressure in the pulls: whether it falls below where the pull began, counted against what the rail should do. */
export function watchFuelPressure(pulls: readonly WatchedPull[], limits: WarningLimits): Watched {
  const findings: Finding[] = [];
  let judged = 0;
  let direct = 0;
  let worst: { readonly pull: WatchedPull; readonly index: number; readonly share: number; readonly dropPa: number } | null = null;
  for (const pull of pulls) {
    const railPa = pull.fuelPressurePa;
    if (!railPa) continue;
    const finite = railPa.filter((value) => Number.isFinite(value));
    if (finite.length < 4) continue;
    if (median(finite) > directInjectionPa) {
      direct += 1;
      continue;
    }
    const watched = watchedPressurePa(pull, railPa, limits.fuelRail ?? null);
    const readings = watched.filter((value) => Number.isFinite(value));
    if (readings.length < 4) continue;
    judged += 1;
    const startPa = median(readings.slice(0, Math.max(2, Math.floor(readings.length / 4))));
    const held = sustainedHighest(
      pull.timeS,
      watched.map((value) => startPa - value),
    );
    if (held === null) continue;
    // The share is of the pressure across the injector where the rail follows, and of the rail's where it does not.
    const share = held.value / startPa;
    if (worst === null || share > worst.share) worst = { pull, index: held.index, share, dropPa: held.value };
    if (share <= sagShare) continue;
    findings.push({
      code: 'W_FUEL_PRESSURE_SAG',
      severity: 'warning',
      message: `Fuel pressure sagged by ${pressure(held.value)} (${(100 * share).toFixed(0)} %) at ${rpmText(pull.engineSpeedRpm[held.index]!)} in ${pull.name}. The injectors give less than the calibration expects, and the mixture goes lean.`,
      where: pullPlace(pull, held.index),
      fix: 'Stop full-load pulls. Check pump voltage, filter, line size and the pump’s flow at this pressure before going on.',
    });
  }
  if (worst === null) {
    const text =
      direct > 0
        ? 'Fuel pressure is that of a direct-injection pump, and the pressure it was asked for is not in the log: whether it sagged cannot be told.'
        : 'Fuel pressure was not logged in the pulls (at least four readings a pull are needed): whether it sagged is unknown.';
    return { details: [{ quantity: 'fuel pressure', level: 'not measured', text }], findings, assumptions: [] };
  }
  const at = `${worst.pull.name}, ${rpmText(worst.pull.engineSpeedRpm[worst.index]!)}`;
  const stop = findings.length > 0;
  const text = stop
    ? `Fuel pressure sagged by ${pressure(worst.dropPa)}, ${(100 * worst.share).toFixed(0)} % (${at}).${missingText(pulls.length, judged)}`
    : `Largest fall of fuel pressure was ${pressure(Math.max(0, worst.dropPa))}, ${(100 * Math.max(0, worst.share)).toFixed(0)} % (${at}).${missingText(pulls.length, judged)}`;
  return { details: [{ quantity: 'fuel pressure', level: stop ? 'stop' : 'nothing alarming seen', text }], findings, assumptions: [] };
}

/** What should stay constant in a pull: rail less manifold pressure where the rail follows it, the rail's own where it does not or nobody said. */
function watchedPressurePa(pull: WatchedPull, railPa: Float64Array, rail: 'referenced' | 'fixed' | null): Float64Array {
  if (rail !== 'referenced' || !pull.manifoldPressurePa) return Float64Array.from(railPa);
  const manifoldPa = readingsAt(pull.timeS, pull.manifoldPressurePa, pull.timeS);
  const stationPa = pull.stationPressurePa ?? 101325;
  return railPa.map((value, i) => value - (manifoldPa[i]! - stationPa));
}

function median(values: ArrayLike<number>): number {
  const sorted = Float64Array.from(values).sort();
  const middle = sorted.length >> 1;
  return sorted.length % 2 === 1 ? sorted[middle]! : (sorted[middle - 1]! + sorted[middle]!) / 2;
}

function pressure(pressurePa: number): string {
  return `${(pressurePa / 1000).toFixed(0)} kPa (${(pressurePa / 6894.757293168361).toFixed(1)} psi)`;
}
