import { rpmText } from '../units/index.js';
import type { SteadyHealth, SteadyMean } from './idleHealth.js';

/** What the idle after a change looks like beside the idle before. */
export type IdleVerdict =
  | 'nothing unusual'
  | 'vacuum leak'
  | 'exhaust leak before the sensor'
  | 'lean everywhere'
  | 'rich everywhere'
  | 'unsteady'
  | 'cannot tell';

export interface IdleComparison {
  readonly verdict: IdleVerdict;
  /** What it rests on, each with values. */
  readonly evidence: readonly string[];
  /** What speaks against it, or what would be needed to tell. */
  readonly open: readonly string[];
  /** What to do. */
  readonly fix: string;
}

/** Sizes that matter. Common practice, no source. */
const leanBy = 0.04;
const pressureByPa = 2500;
const speedByRpm = 60;
const spreadByRpm = 25;
/** An engine that idles above this has no throttle that holds air back: valves do its work, or it is a diesel. Common practice, no source. */
const nearAirPa = 80_000;
/** A difference must also stand out of its own standard error by this. */
const clearOf = 3;

/**
 * Tells a vacuum leak, an exhaust leak before the sensor, and a healthy engine apart at idle, or says that it cannot.
 *
 * Air that leaks in at idle raises manifold pressure (and often speed and its hunting), and unless the engine meters by pressure alone it leans the mixture; at cruise the same hole is a small share of the air, so the lean part shrinks. An exhaust leak draws air to the sensor only: it reads lean, while pressure, speed and steadiness do not follow; at cruise the flow hides it. What is as lean at cruise as at idle is the fuelling.
 *
 * @param before idle before the change, from steadyHealth
 * @param after idle after it
 * @param cruise both cruises, where they were logged
 * @returns verdict with evidence; `cannot tell` where the signs that would decide are missing or contradict each other
 *
 * Validity: a warm engine at the same electrical and air-conditioning load, the same idle target in the calibration. A changed idle target looks like a change of speed: say so to the reader.
 *
 * Source: the signs follow from the gas law and the sensor's principle; the sizes are common practice, no source.
 */
export function compareIdle(
  before: SteadyHealth,
  after: SteadyHealth,
  cruise: { readonly before: SteadyHealth | null; readonly after: SteadyHealth | null } = { before: null, after: null },
): IdleComparison {
  const pressure = change(before.manifoldPressurePa, after.manifoldPressurePa, pressureByPa);
  const speed = change(before.engineSpeedRpm, after.engineSpeedRpm, speedByRpm);
  const lean = change(before.missingFuel, after.missingFuel, leanBy);
  const cruiseLean = change(cruise.before?.missingFuel ?? null, cruise.after?.missingFuel ?? null, leanBy);
  const hunting =
    after.engineSpeedRpm.spread - before.engineSpeedRpm.spread > spreadByRpm &&
    after.engineSpeedRpm.spread > 1.7 * before.engineSpeedRpm.spread;
  const evidence = [
    told('manifold pressure', pressure, (value) => `${(value / 1000).toFixed(1)} kPa`),
    told('idle speed', speed, rpmText),
    told('fuel missing at idle', lean, (value) => `${(100 * value).toFixed(1)} %`),
    told('fuel missing at cruise', cruiseLean, (value) => `${(100 * value).toFixed(1)} %`),
    hunting ? `idle speed scatters by ${rpmText(after.engineSpeedRpm.spread)}, before by ${rpmText(before.engineSpeedRpm.spread)}` : null,
  ].filter((one) => one !== null);
  const result = (verdict: IdleVerdict, fix: string, open: readonly string[] = []): IdleComparison => ({ verdict, evidence, open, fix });

  const airIn = pressure?.sign === 1;
  if (pressure === null) {
    const open = ['Manifold pressure was not logged at both idles: a vacuum leak and an exhaust leak cannot be told apart without it.'];
    if (lean === null) return result('cannot tell', 'Log manifold pressure, lambda and trims at a warm idle.', open);
    if (lean.sign === 0 && speed?.sign === 0 && !hunting) return result('nothing unusual', 'Nothing to do.', open);
    return result('cannot tell', 'Log manifold pressure at a warm idle of both setups.', open);
  }
  if (airIn && (before.manifoldPressurePa?.mean ?? 0) > nearAirPa) {
    return result('cannot tell', 'If idle changed, look at its load and its target.', [
      'At idle this engine runs near the pressure of the air by design, so a rise of pressure does not speak of a leak.',
    ]);
  }
  if (airIn) {
    if (lean !== null && lean.sign === 1 && cruiseLean !== null && cruiseLean.sign === 1 && cruiseLean.difference > 0.7 * lean.difference) {
      return result('cannot tell', 'Check for a vacuum leak and have the fuelling checked too.', [
        'Pressure at idle rose as with a vacuum leak, but the mixture is as lean at cruise, as with missing fuel.',
      ]);
    }
    if (lean !== null && lean.sign === -1) {
      return result('cannot tell', 'Compare idle target, cam timing and spark at idle of both calibrations.', [
        'Pressure at idle rose while the mixture went richer: more load or less spark explains that as well as air.',
      ]);
    }
    if (lean?.sign === 1 || (speed !== null && speed.sign === 1) || hunting) {
      return result(
        'vacuum leak',
        'Look for air that leaks in after the throttle (gaskets, hoses, couplers, injector seals): smoke test. Do not correct fuel for it.',
      );
    }
    return result('cannot tell', 'Look for a small vacuum leak, and for more load at idle (lights, fan, air conditioning).', [
      'Pressure at idle rose, and nothing else did: a small leak, more load or less spark at idle all do that.',
    ]);
  }
  if (lean === null) {
    return result('cannot tell', 'Log lambda at a warm idle of both setups.', [
      'Lambda was not logged at both idles: an exhaust leak cannot be seen.',
    ]);
  }
  if (lean.sign === 1) {
    if (cruiseLean === null) {
      return result('cannot tell', 'Log steady cruise with both setups.', [
        'The mixture reads lean at idle while pressure did not rise: an exhaust leak, or missing fuel. The cruise, which would tell, was not logged with both.',
      ]);
    }
    if (cruiseLean.sign === 1 && cruiseLean.difference > 0.5 * lean.difference) {
      return result('lean everywhere', 'Have the fuelling corrected: fuel pressure, injector data or air metering.');
    }
    if (hunting || speed?.sign === 1) {
      return result('cannot tell', 'Check for leaks on both sides of the engine.', [
        'The mixture reads lean at idle only, as with an exhaust leak, but idle speed moved, as with air leaking in.',
      ]);
    }
    return result(
      'exhaust leak before the sensor',
      'Check gaskets and joints from the head to the sensor. The reading is wrong, not the mixture: do not add fuel for it.',
    );
  }
  if (lean.sign === -1) {
    if (cruiseLean?.sign === -1)
      return result('rich everywhere', 'Have the fuelling corrected: fuel pressure, injector data or air metering.');
    return result('cannot tell', 'Check for a leaking injector and the idle part of the calibration.', [
      'The mixture went richer at idle only.',
    ]);
  }
  if (hunting) {
    return result('unsteady', 'Look at idle control, spark and a small leak.', [
      'Idle speed scatters more, while pressure and mixture stayed.',
    ]);
  }
  return result('nothing unusual', 'Nothing to do.');
}

interface Change {
  readonly difference: number;
  readonly standardError: number;
  /** 1 or −1 when it matters and stands out, 0 otherwise. */
  readonly sign: -1 | 0 | 1;
}

function change(before: SteadyMean | null, after: SteadyMean | null, matters: number): Change | null {
  if (before === null || after === null) return null;
  const difference = after.mean - before.mean;
  const standardError = Math.hypot(before.standardError, after.standardError);
  const clear = Math.abs(difference) >= matters && Math.abs(difference) > clearOf * standardError;
  return { difference, standardError, sign: clear ? (difference > 0 ? 1 : -1) : 0 };
}

function told(quantity: string, one: Change | null, show: (value: number) => string): string | null {
  if (one === null) return null;
  const isZero = (text: string): boolean => /^0(\.0*)? /.test(text);
  const size = show(Math.abs(one.difference));
  const around = show(2 * one.standardError);
  const signed = `${isZero(size) ? '' : one.difference > 0 ? '+' : '−'}${size}`;
  const spread = isZero(around) ? `under ${around.replace(/0 /, '1 ')}` : around;
  return `${quantity} ${signed} (± ${spread})${one.sign === 0 ? ', no clear change' : ''}`;
}
