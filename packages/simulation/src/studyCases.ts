import type { Surroundings } from './car.js';
import type { Logger } from './logger.js';
import { makeLog } from './makeLog.js';
import type { Mark } from './phases.js';
import { plainLogger } from './plainLogger.js';
import { type Curve, curveOn } from './powerCurve.js';
import { type Random, seededRandom } from './random.js';
import { type StudyRun, studyAir, studyCar, studyPowerW, studyTrialYaml } from './studyCar.js';

/** One generated trial of two setups, `before` and `after`, and what is true about it. */
export interface StudyCase {
  /** Text of the trial file. */
  readonly trial: string;
  /** Text of each log by the path the trial file gives it. */
  readonly logs: ReadonlyMap<string, string>;
  readonly truth: {
    /** The setups' own wheel power, before any outing's luck or pull's scale. */
    readonly before: Curve;
    readonly after: Curve;
    /** After minus before of those. */
    readonly differenceW: readonly number[];
    /** Engine speed where the gain has fallen to half; null where it does not fade. */
    readonly halfGainRpm: number | null;
    /** Each run's outing factor and its pulls as driven. */
    readonly runs: readonly {
      readonly log: string;
      readonly setup: string;
      readonly outing: string;
      readonly luck: number;
      readonly pulls: readonly Mark[];
    }[];
  };
}

/** What can be asked of any case. */
export interface StudyOptions {
  /** Gain of `after` over `before` as a share of power where the case has an even gain; 0.03 when left out, 0 for a null trial. */
  readonly gainShare?: number;
  /** Pulls in each setup, 3 when left out. */
  readonly pulls?: number;
  /** Standard deviation of a pull's factor in {@link pullSpread1pct}; 0.01 when left out. */
  readonly pullSpread?: number;
  /** True where what the trial file enters is off as entered values are taken to be: wind 0.5 m/s and grade 0.1 % an outing, fuel 2 L a run. */
  readonly inputErrors?: boolean;
}

interface Plan {
  readonly title: string;
  readonly beforeW: (rpm: number) => number;
  readonly gainShare: (rpm: number) => number;
  readonly halfGainRpm?: number;
  readonly logger: Logger;
  readonly pulls: number;
  /** Standard deviation of a pull's factor about 1. */
  readonly pullSpread: number;
  /** Outing of each setup and the standard deviation of an outing's factor about 1. */
  readonly outings: readonly [before: string, after: string];
  readonly outingSpread: number;
  readonly inputErrors: boolean;
}

const fromRpm = 2400;
const toRpm = 6600;
const gear = 3;
/** Integration step of the studies; its error is below 1e-8 m/s. */
const stepS = 0.01;

function build(plan: Plan, seed: number): StudyCase {
  const random = seededRandom(seed);
  const factor = (spread: number, source: Random): number => 1 + spread * source.normal();
  const lucks = new Map<string, number>();
  const days = new Map<string, Surroundings>();
  const dayOf = (outing: string): Surroundings => {
    if (!plan.inputErrors) return studyAir;
    const day = days.get(outing) ?? { ...studyAir, headwindMps: 0.5 * random.normal(), grade: 0.001 * random.normal() };
    days.set(outing, day);
    return day;
  };
  const afterW = (rpm: number): number => plan.beforeW(rpm) * (1 + plan.gainShare(rpm));
  const logs = new Map<string, string>();
  const runs = (['before', 'after'] as const).map((setup, i) => {
    const outing = plan.outings[i]!;
    const luck = lucks.get(outing) ?? factor(plan.outingSpread, random);
    lucks.set(outing, luck);
    const power = setup === 'before' ? plan.beforeW : afterW;
    const phases = Array.from({ length: plan.pulls }, () => {
      return { kind: 'pull', gear, fromRpm, toRpm, scale: luck * factor(plan.pullSpread, random), leadS: 2 } as const;
    });
    const log = `${setup}.csv`;
    const made = makeLog({
      car: plan.inputErrors ? { ...studyCar, massKg: studyCar.massKg + 1.49 * random.normal() } : studyCar,
      around: dayOf(outing),
      engine: { fullLoadWheelPowerW: power },
      phases,
      logger: plan.logger,
      seed: Math.floor(random.uniform() * 2 ** 48),
      stepS,
    });
    logs.set(log, made.text);
    return { log, setup, outing, luck, pulls: made.truth.marks };
  });
  const runOf = (setup: string): StudyRun[] => runs.filter((run) => run.setup === setup).map(({ log, outing }) => ({ log, outing }));
  const before = curveOn(plan.beforeW, fromRpm, toRpm, 50);
  const after = curveOn(afterW, fromRpm, toRpm, 50);
  return {
    trial: studyTrialYaml(
      plan.title,
      ['before', 'after'].map((name) => ({ name, runs: runOf(name) })),
    ),
    logs,
    truth: {
      before,
      after,
      differenceW: after.wheelPowerW.map((w, i) => w - before.wheelPowerW[i]!),
      halfGainRpm: plan.halfGainRpm ?? null,
      runs,
    },
  };
}

function planOf(title: string, options: StudyOptions): Plan {
  const gain = options.gainShare ?? 0.03;
  return {
    title,
    beforeW: studyPowerW,
    gainShare: () => gain,
    logger: plainLogger(),
    pulls: options.pulls ?? 3,
    pullSpread: 0,
    outings: ['saturday', 'saturday'],
    outingSpread: 0,
    inputErrors: options.inputErrors ?? false,
  };
}

/** 25 Hz, engine speed with 4 rpm of noise, road speed in steps of 0.1 km/h; every pull is the same. */
export function noiseOnly25Hz(seed: number, options: StudyOptions = {}): StudyCase {
  return build(planOf('Noise only, 25 Hz', options), seed);
}

/** 10 Hz, road speed in whole km/h, engine speed in steps of 25 rpm; every pull is the same. */
export function coarse10Hz(seed: number, options: StudyOptions = {}): StudyCase {
  const logger = plainLogger({
    rateHz: 10,
    engineSpeed: { noise: 0, step: 25 },
    roadSpeed: { step: 1, decimals: 0 },
    // The logger's clock and the car's are not in step: without it every pull would meet the steps at the same places.
    timing: { jitterS: 0.004 },
  });
  return build({ ...planOf('Coarse log, 10 Hz', options), logger }, seed);
}

/** As {@link noiseOnly25Hz}, with torque that rises by 12 % between 4300 and 4600 rpm in both setups. */
export function step300(seed: number, options: StudyOptions = {}): StudyCase {
  const rise = (rpm: number): number => {
    const x = Math.min(1, Math.max(0, (rpm - 4300) / 300));
    return 0.12 * x * x * (3 - 2 * x);
  };
  return build({ ...planOf('A step 300 rpm wide', options), beforeW: (rpm) => studyPowerW(rpm) * (0.94 + rise(rpm)) }, seed);
}

/** As {@link noiseOnly25Hz}, with a factor for each pull that spreads by 1 % (standard deviation). */
export function pullSpread1pct(seed: number, options: StudyOptions = {}): StudyCase {
  return build({ ...planOf('Pulls that spread by 1 %', options), pullSpread: options.pullSpread ?? 0.01 }, seed);
}

/** Two outings whose luck spreads by 0.7 % (standard deviation), with pulls that repeat within 0.5 % (two standard deviations). */
export function outingLuck(seed: number, options: StudyOptions = {}): StudyCase {
  const plan = planOf('One outing for each setup', options);
  return build({ ...plan, pullSpread: 0.0025, outings: ['saturday', 'sunday'], outingSpread: 0.007 }, seed);
}

/** A gain of 8 % that fades to nothing around `halfGainRpm` (a logistic fall, from 95 % to 5 % of it within 600 rpm); pulls spread by 0.3 %. */
export function fadingGain(seed: number, options: StudyOptions & { readonly halfGainRpm?: number } = {}): StudyCase {
  const halfGainRpm = options.halfGainRpm ?? 4500;
  const largest = options.gainShare ?? 0.08;
  const gainShare = (rpm: number): number => largest / (1 + Math.exp((rpm - halfGainRpm) / (300 / Math.log(19))));
  return build({ ...planOf('A gain that fades', options), gainShare, halfGainRpm, pullSpread: 0.003 }, seed);
}

/** Every case by name. */
export const studyCases: Readonly<Record<string, (seed: number, options?: StudyOptions) => StudyCase>> = {
  noiseOnly25Hz,
  coarse10Hz,
  step300,
  pullSpread1pct,
  outingLuck,
  fadingGain,
};
