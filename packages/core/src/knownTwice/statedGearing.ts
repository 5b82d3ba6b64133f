import { type Evidence, type LoadedRun, rarenessOf } from '../pulls/index.js';
import type { Contradiction } from '../result/index.js';
import { numberText } from '../units/index.js';
import { rpmPerMps } from '../vehicle/index.js';
import { seenRatios, standingRpm } from './seenRatios.js';
import { shown } from './shown.js';

/** A mistyped or misread number, and by what it multiplies engine over road speed. */
interface Named {
  readonly factor: number;
  readonly mistake: 'engine-speed' | 'speed-unit';
  readonly sentence: string;
}

/** What loggers get wrong by a whole factor. */
const named: readonly Named[] = [
  { factor: 0.5, mistake: 'engine-speed', sentence: 'engine speed is logged at half its value' },
  { factor: 2, mistake: 'engine-speed', sentence: 'engine speed is logged at twice its value' },
  { factor: 4, mistake: 'engine-speed', sentence: 'engine speed is logged at four times its value' },
  { factor: 0.25, mistake: 'engine-speed', sentence: 'engine speed is logged at a quarter of its value' },
  { factor: 1.609344, mistake: 'speed-unit', sentence: 'road speed is in mph but named km/h' },
  { factor: 1 / 1.609344, mistake: 'speed-unit', sentence: 'road speed is in km/h but named mph' },
  { factor: 3.6, mistake: 'speed-unit', sentence: 'road speed is in m/s but named km/h' },
];

/** Slip and growth of the tires, and a radius measured with a tape: within this the gearing agrees. Common practice, no source. */
const agrees = 0.04;
/** A speedometer is not further off than this. Common practice, no source. */
const mostSpeedScale = 0.12;
/** One run whose gearing as told does not give the speeds that it logged. */
interface Miss {
  readonly run: LoadedRun;
  /** Engine over road speed as logged, over what the trial tells; null where no one factor explains every gear. */
  readonly factor: number | null;
  readonly named: readonly Named[];
  readonly seen: number;
  readonly told: number;
}

/** Gear ratios, final drive and tire radius of the trial against engine speed over road speed of the logs. */
export function statedGearing({ setups, file }: Evidence): Contradiction[] {
  const runs = setups.flatMap((setup) => setup.runs.filter((run) => seenRatios(run).pulls.length > 0));
  const misses = runs.flatMap((run) => missOf(run) ?? []);
  const groups: Miss[][] = [];
  for (const miss of misses) {
    const same = groups.find(([first]) => alike(first!, miss));
    if (same === undefined) groups.push([miss]);
    else same.push(miss);
  }
  return groups.map((group) => contradiction(group, { runs, misses, units: file.units, setups: setups.map(({ name }) => name) }));
}

function alike(a: Miss, b: Miss): boolean {
  if (a.factor === null || b.factor === null) return a.factor === b.factor;
  const radius = a.run.inputs.tyreRadiusM.value === b.run.inputs.tyreRadiusM.value;
  return radius && Math.abs(a.factor / b.factor - 1) < 0.015;
}

function missOf(run: LoadedRun): Miss | null {
  const { gearRatios, finalDrive, tyreRadiusM } = run.inputs;
  if (gearRatios === null || finalDrive === null || tyreRadiusM.standing === 'assumed') return null;
  // A converter that slips runs ahead of any gear.
  if (run.inputs.transmission === 'automatic' && run.inputs.lockUp !== true) return null;
  const told = gearRatios.map((_, i) => rpmPerMps({ gearRatios, finalDrive, tyreRadiusM: tyreRadiusM.value }, i + 1));
  const { pulls, all } = seenRatios(run);
  const near = agrees + rarenessOf(run.found.signals);
  const far = (ratios: readonly number[], factor: number): number =>
    Math.max(...ratios.map((ratio) => Math.min(...told.map((one) => gap(ratio / factor, one)))));
  const off = (factor: number): number => far(all, factor);
  const idle = standingRpm(run);
  // Somebody may cruise in a gear that the trial does not list: the pulls decide, unless the idle is not that of an engine.
  if (far(pulls, 1) <= near && (off(1) <= near || idle === null || usual(idle))) return null;
  const seen = pulls[0]!;
  const idles = (factor: number): boolean => idle === null || usual(idle / factor);
  const fitting = named.filter(({ factor, mistake }) => off(factor) <= near && idles(mistake === 'engine-speed' ? factor : 1));
  // The engine's own speed at a stand decides: where it is right as logged, engine speed is not what is wrong.
  const byIdle = fitting.filter(({ mistake }) => (idle !== null && idles(1) ? mistake !== 'engine-speed' : true));
  const nearest = (factor: number): number => told.reduce((best, one) => (gap(seen / factor, one) < gap(seen / factor, best) ? one : best));
  if (byIdle.length > 0) return { run, factor: byIdle[0]!.factor, named: byIdle, seen, told: nearest(byIdle[0]!.factor) };
  const factors = told
    .map((one) => seen / one)
    .filter((factor) => factor > 0.4 && factor < 2.6 && off(factor) <= agrees / 2)
    .sort((a, b) => Math.abs(Math.log(a)) - Math.abs(Math.log(b)));
  const factor = factors[0] ?? null;
  return { run, factor, named: [], seen, told: nearest(factor ?? 1) };
}

/** Warm engines of cars idle between these, rpm. Common practice, no source. */
const usual = (rpm: number): boolean => rpm > 500 && rpm < 1250;

const gap = (a: number, b: number): number => Math.abs(Math.log(a / b));

function contradiction(
  group: readonly Miss[],
  facts: {
    readonly runs: readonly LoadedRun[];
    readonly misses: readonly Miss[];
    readonly units: 'metric' | 'imperial';
    readonly setups: readonly string[];
  },
): Contradiction {
  const [{ run, factor, seen, told, named: fitting }] = group as readonly [Miss, ...Miss[]];
  const setups = facts.setups.filter((name) => group.some((miss) => miss.run.inputs.setup === name));
  const causes = fitting.length > 0 ? fitting.map(({ mistake, sentence }) => ({ name: mistake, sentence })) : typed(group, facts);
  const speed = run.found.signals.road!.channel.name;
  const alone = group.length < facts.runs.length;
  const share = effectOf(
    factor,
    causes.map(({ name }) => name),
    { alone },
  );
  return {
    name: 'gearing',
    setups,
    sources: [
      {
        what: 'engine speed over road speed by gear-ratios, final-drive and tire radius',
        value: told,
        unit: 'rpm per m/s',
        shown: perSpeed(told, facts.units),
        where: 'car.gear-ratios, car.final-drive, tyre-radius',
      },
      {
        what: 'engine speed over road speed as logged in the pulls',
        value: seen,
        unit: 'rpm per m/s',
        shown: perSpeed(seen, facts.units),
        where: `${[...new Set(group.map((miss) => miss.run.inputs.log))].join(', ')}, column ${speed}`,
      },
    ],
    difference: factor === null ? 'no gear of the trial fits' : `${numberText(factor, 3)} times as much`,
    effects: setups.map((setup) => ({ setup, share })),
    mistakes: causes,
    fix: fixOf(
      causes.map(({ name }) => name),
      speed,
    ),
  };
}

function perSpeed(ratio: number, units: 'metric' | 'imperial'): string {
  return units === 'imperial' ? `${numberText(ratio * 0.44704, 1)} rpm per mph` : `${numberText(ratio / 3.6, 1)} rpm per km/h`;
}

type Cause = 'final-drive' | 'tyre-radius' | 'gear-ratios' | 'speed-scale' | 'other-car';

/** What was typed wrong, where no whole factor of a logger explains it. */
function typed(
  group: readonly Miss[],
  facts: { readonly runs: readonly LoadedRun[]; readonly misses: readonly Miss[]; readonly units: 'metric' | 'imperial' },
): { readonly name: Cause; readonly sentence: string }[] {
  const [{ run, factor }] = group as readonly [Miss, ...Miss[]];
  if (factor === null) return [{ name: 'gear-ratios', sentence: 'gear-ratios are of another gearbox, or the log is of another car' }];
  const { finalDrive, tyreRadiusM } = run.inputs;
  const others = facts.runs.filter((other) => !facts.misses.some((miss) => miss.run === other));
  const otherRadius = others.some(({ inputs }) => inputs.tyreRadiusM.value !== tyreRadiusM.value);
  const radius = {
    name: 'tyre-radius',
    sentence: `the tire radius of ${shown.radius(tyreRadiusM.value, facts.units)} is wrong (${shown.radius(tyreRadiusM.value / factor, facts.units)} would fit)`,
  } as const;
  const drive = {
    name: 'final-drive',
    sentence: `the final drive of ${numberText(finalDrive, 2)} is wrong (${numberText(finalDrive! * factor, 2)} would fit)`,
  } as const;
  const fits = possibleRadius(tyreRadiusM.value / factor);
  // Another run of this car fits with its own radius: then this radius is what differs.
  if (others.length > 0 && otherRadius && fits) return [radius];
  const satellite = run.found.signals.road!.channel.quantity === 'gps-speed';
  const scale = {
    name: 'speed-scale',
    sentence: `the car's road speed reads ${shown.percent(Math.abs(1 / factor - 1))} ${factor > 1 ? 'low' : 'high'}`,
  } as const;
  const small = Math.abs(factor - 1) <= mostSpeedScale && !satellite;
  if (others.length > 0) {
    // The same gearing fits other logs of this car: it was typed right.
    const tires = { name: 'tyre-radius', sentence: 'other tires were fitted and not entered' } as const;
    const other = { name: 'other-car', sentence: 'this log is of another car or axle' } as const;
    return small
      ? [{ ...scale, sentence: `${scale.sentence} there (another speed source, or recalibrated)` }, tires]
      : [other, { ...scale, sentence: 'road speed is scaled wrong there' }];
  }
  if (!possibleRadius(tyreRadiusM.value) && fits) return [radius];
  const list = slipOfDigits(finalDrive!, finalDrive! * factor) || !fits ? [drive, radius] : [radius, drive];
  return [...list.filter(({ name }) => name !== 'tyre-radius' || fits), ...(small ? [scale] : [])];
}

/** Rolling radii of road cars, m. Common practice, no source. */
function possibleRadius(radiusM: number): boolean {
  return radiusM > 0.24 && radiusM < 0.42;
}

/** Whether one wrong digit, or two that changed places, makes the typed number of the true one. */
function slipOfDigits(typedValue: number, trueValue: number): boolean {
  const digits = typedValue.toFixed(2);
  const near = (text: string): boolean => Math.abs(Number(text) / trueValue - 1) < 0.012;
  for (let i = 0; i < digits.length; i++) {
    if (digits[i] === '.') continue;
    for (let d = 0; d <= 9; d++) if (near(digits.slice(0, i) + d + digits.slice(i + 1))) return true;
    for (let j = i + 1; j < digits.length; j++) {
      if (digits[j] === '.') continue;
      const swapped = [...digits];
      [swapped[i], swapped[j]] = [swapped[j]!, swapped[i]!];
      if (near(swapped.join(''))) return true;
    }
  }
  return false;
}

/** Power follows the square of road speed; engine speed puts every claim at a wrong place; gearing alone is only in the spinning parts. */
function effectOf(factor: number | null, causes: readonly string[], { alone }: { readonly alone: boolean }): number {
  if (causes.includes('engine-speed')) return 1;
  // Of another car nothing is known; of a gearbox typed wrong only the spinning parts are.
  if (factor === null) return alone ? 1 : 0.05;
  if (causes.includes('speed-unit') || causes.includes('speed-scale') || causes.includes('other-car')) return 1 / factor ** 2 - 1;
  return 0.1 * (1 / factor - 1);
}

function fixOf(causes: readonly string[], speed: string): string {
  if (causes.includes('speed-unit'))
    return `State the unit of road speed in the trial: channels: { "${speed}": road-speed mph } (or km/h).`;
  if (causes.includes('engine-speed'))
    return 'Set the number of cylinders or pulses in the logger, or export engine speed again, and log again.';
  if (causes.includes('gear-ratios')) return 'Check gear-ratios, final-drive and tyre-radius, and that the log is of this car.';
  if (causes.includes('other-car'))
    return 'Check that every log of this setup is of this car; give tyre-radius for the run if other tires were fitted.';
  if (causes.includes('speed-scale')) return 'Check final-drive and tyre-radius; compare the car’s road speed with GPS at a steady speed.';
  return 'Check final-drive and tyre-radius in the trial file.';
}
