import { findUnit, PullproofError, type TrialDraft, withField } from '@pullproof/core';
import type { StatedChoices } from '../commands/command.js';

/** Puts what was stated on the command line into a trial made of logs. @throws E_STATED for what cannot be read, which is wrong usage */
export function withStated(draft: TrialDraft, choices: StatedChoices): TrialDraft {
  const { mass, driver, fuel, tire, weather = [], sameOuting, set = [] } = choices;
  const fields: (readonly [field: string, value: string])[] = [
    ...(mass === undefined ? [] : massFields(mass)),
    ...(driver === undefined ? [] : ([['car.driver', spaced(driver)]] as const)),
    ...(fuel === undefined ? [] : ([['fuel-in-tank', spaced(fuel)]] as const)),
    ...(tire === undefined ? [] : ([['car.tire', tire]] as const)),
    ...(sameOuting === true ? ([['outing', 'one outing']] as const) : []),
    ...weatherFields(weather, draft.setups.length),
    ...set.map(setField),
  ];
  return fields.reduce((made, [field, value]) => withField(made, field, value), draft);
}

/** Whether anything was stated for a trial made of logs. */
export function isStated({ mass, driver, fuel, tire, weather, sameOuting, set }: StatedChoices): boolean {
  return [mass, driver, fuel, tire, weather, sameOuting, set].some((one) => one !== undefined);
}

/** `3478lb`, or `3478lb out` and `3478lb in`: whether the driver sat in the car on the scale. */
function massFields(written: string): (readonly [string, string])[] {
  const [, amount = '', where] = /^(.*?)(?:[\s,]+(?:driver\s+)?(in|out))?$/i.exec(written.trim()) ?? [];
  return [['car.weighed.mass', spaced(amount)], ...(where === undefined ? [] : ([['car.weighed.driver', where.toLowerCase()]] as const))];
}

/** One weather for all setups, or one for each in their order. */
function weatherFields(written: readonly string[], setups: number): (readonly [string, string])[] {
  if (written.length > 1 && written.length !== setups) {
    throw wrong(
      `--weather is given ${written.length} times, for ${setups} setups.`,
      'Give it once for all, or once for each setup in their order.',
    );
  }
  return written.flatMap((one, s) =>
    airFields(one).map(([key, value]) => [written.length === 1 ? `air.${key}` : `setups[${s}].air.${key}`, value] as const),
  );
}

/** `72F 29.92inHg 40%`: temperature, station pressure, humidity in any order; with an elevation the pressure is an altimeter setting; a second, lower temperature is the dew point. */
function airFields(written: string): (readonly [string, string])[] {
  const parts = [...written.matchAll(/([+\-−]?\d[\d.]*)\s*(%|°?[a-zA-Z][a-zA-Z]*)/g)].map(([, number = '', unit = '']) => {
    const symbol = /^°?[fc]$/i.test(unit) ? `deg${unit.at(-1)!.toUpperCase()}` : unit;
    return { text: `${number} ${symbol}`, value: Number(number), dimension: findUnit(symbol)?.dimension ?? null };
  });
  const left = written.replaceAll(/([+\-−]?\d[\d.]*)\s*(%|°?[a-zA-Z][a-zA-Z]*)/g, '').replaceAll(/[\s,;]/g, '');
  const of = (dimension: string) => parts.filter((part) => part.dimension === dimension);
  const [warm, dew] = of('temperature').sort((a, b) => b.value - a.value);
  const [pressure] = of('pressure');
  const [humidity] = of('ratio');
  const [elevation] = of('length');
  const known = [warm, dew, pressure, humidity, elevation].filter((part) => part !== undefined);
  if (left !== '' || known.length === 0 || known.length !== parts.length)
    throw wrong(
      `--weather takes something like "72F 29.92inHg 40%", not "${written}".`,
      'Give temperature, station pressure and humidity.',
    );
  return [
    ...(warm === undefined ? [] : ([['temperature', warm.text]] as const)),
    ...(dew === undefined ? [] : ([['dew-point', dew.text]] as const)),
    ...(pressure === undefined ? [] : ([[elevation === undefined ? 'pressure' : 'altimeter', pressure.text]] as const)),
    ...(elevation === undefined ? [] : ([['elevation', elevation.text]] as const)),
    ...(humidity === undefined ? [] : ([['humidity', humidity.text]] as const)),
  ];
}

function setField(written: string): readonly [string, string] {
  const at = written.indexOf('=');
  if (at < 1) throw wrong(`--set takes FIELD=VALUE, not "${written}".`, 'Write it like --set "car.final-drive=3.73".');
  return [written.slice(0, at).trim(), written.slice(at + 1).trim()];
}

/** `3478lb` as a trial file has it: `3478 lb`. */
function spaced(written: string): string {
  return written.trim().replace(/^([+\-−]?[\d.]+)\s*(?=[^\s\d.])/, '$1 ');
}

function wrong(what: string, fix: string): PullproofError {
  return new PullproofError('E_STATED', what, {}, fix);
}
