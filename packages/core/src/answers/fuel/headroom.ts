import { moreAirUntilDuty } from '../../fuel/index.js';
import type { Repeatability } from '../../power/index.js';
import type { BandedValue, CurveResult, Headroom, HeadroomToLimit } from '../../result/index.js';
import { nullable } from '../../result/index.js';
import { rpmText } from '../../units/index.js';
import { bandedCurve, type ModelledCurve, modelledCurve, type PullModel } from './pullCurves.js';
import type { KnownInput } from './supplyInputs.js';

/** Shares of the time that count as run out: 0.85 common practice, no source; 1 by definition. */
const limitDuties = [0.85, 1] as const;

/** Injectors of each pull on the grid, as headroom takes them. */
export interface HeadroomPull {
  readonly gridRpm: Float64Array;
  readonly duty: Float64Array;
  /** Manifold pressure, absolute, over the pressure across the injector; NaN where one is unknown. */
  readonly manifoldOverAcross: Float64Array;
}

/** What the airflow is held at. */
export interface AirflowCase {
  readonly at: Headroom['at'];
  readonly description: string;
  readonly factors: Headroom['factors'];
  /** Factor on the air, and on the fuel for the same air. */
  readonly airFactor: number;
  readonly fuelFactor: (rpm: number) => number;
}

/** What is known of the injectors besides the pulls. */
export interface HeadroomCar {
  readonly deadTime: KnownInput;
  readonly railFollows: KnownInput;
  readonly wheelPowerW: CurveResult | null;
}

/**
 * Headroom at the engine speed that has least, for one airflow.
 *
 * @param pulls one for each pull
 * @param airflow as measured, or a forecast
 * @param car dead time, what the rail does, and the power curve
 * @param spread of pulls, for a single one
 * @returns null where no point has a duty
 */
export function headroomAt(pulls: readonly HeadroomPull[], airflow: AirflowCase, car: HeadroomCar, spread: Repeatability): Headroom | null {
  const gridRpm = pulls[0]!.gridRpm;
  const rooms = limitDuties.map((limit) => modelledCurve(roomModel(pulls, airflow, car, limit), gridRpm, spread));
  const at = lowestIndex(rooms[0]!.mean) ?? lowestIndex(rooms[1]!.mean);
  if (at === null) return null;
  const rpm = gridRpm[at]!;
  const duty = pointOf(modelledCurve(dutyModel(pulls, airflow, car), gridRpm, spread), at, 0);
  const limits = limitDuties.map((limitDuty, l): HeadroomToLimit => {
    const moreAir = pointOf(rooms[l]!, at, 1);
    return { limitDuty, moreAir, wheelPowerW: powerThen(car.wheelPowerW, rpm, moreAir, airflow.airFactor) };
  });
  return {
    at: airflow.at,
    description: airflow.description,
    engineSpeedRpm: rpm,
    duty,
    factors: airflow.factors,
    limits,
    sentence: sentenceOf(airflow, rpm, duty, limits),
  };
}

/** Air at the limit over that of the case. */
function roomModel(pulls: readonly HeadroomPull[], airflow: AirflowCase, car: HeadroomCar, limit: number): PullModel {
  return withInputs(car, (deadTimeS, railFollows) =>
    pulls.map(({ gridRpm, duty, manifoldOverAcross }) =>
      duty.map((value, i) => {
        const point = {
          duty: value,
          engineSpeedRpm: gridRpm[i]!,
          deadTimeS,
          fuelFactor: airflow.fuelFactor(gridRpm[i]!),
          railFollows,
          manifoldOverAcross: manifoldOverAcross[i]!,
        };
        return (1 + moreAirUntilDuty(point, limit)) / airflow.airFactor;
      }),
    ),
  );
}

/** Duty that the case needs: the limit at which no more air is left, by halving. */
function dutyModel(pulls: readonly HeadroomPull[], airflow: AirflowCase, car: HeadroomCar): PullModel {
  return withInputs(car, (deadTimeS, railFollows) =>
    pulls.map(({ gridRpm, duty, manifoldOverAcross }) =>
      duty.map((value, i) => {
        const fuelFactor = airflow.fuelFactor(gridRpm[i]!);
        if (airflow.airFactor === 1 && fuelFactor === 1) return value;
        const point = {
          duty: value,
          engineSpeedRpm: gridRpm[i]!,
          deadTimeS,
          fuelFactor,
          railFollows,
          manifoldOverAcross: manifoldOverAcross[i]!,
        };
        return dutyFor(airflow.airFactor, (limit) => 1 + moreAirUntilDuty(point, limit));
      }),
    ),
  );
}

/** Duty at which so much air is fed; NaN beyond three times the whole time, where no injector is meant. */
function dutyFor(airFactor: number, airAt: (duty: number) => number): number {
  let [low, high] = [0, 3];
  if (!(airAt(high) >= airFactor)) return Number.NaN;
  for (let step = 0; step < 50; step++) {
    const middle = (low + high) / 2;
    // Shorter than the dead time nothing flows, and the air is NaN: too low.
    if (airAt(middle) >= airFactor) high = middle;
    else low = middle;
  }
  return high;
}

function withInputs(
  { deadTime, railFollows }: HeadroomCar,
  curves: (deadTimeS: number, railFollows: number) => readonly Float64Array[],
): PullModel {
  const open = railFollows.spread > 0;
  return {
    inputs: open ? [deadTime, railFollows] : [deadTime],
    curves: ([deadTimeS, follows]) => curves(deadTimeS!, open ? follows! : railFollows.value),
  };
}

function lowestIndex(values: Float64Array): number | null {
  let lowest: number | null = null;
  values.forEach((value, i) => {
    if (Number.isFinite(value) && (lowest === null || value < values[lowest]!)) lowest = i;
  });
  return lowest;
}

function pointOf(modelled: ModelledCurve, index: number, less: number): BandedValue {
  const { value, low, high } = bandedCurve(modelled);
  const at = (values: readonly (number | null)[]): number | null => (values[index] === null ? null : values[index]! - less);
  return { value: at(value), low: at(low), high: at(high), unit: '1', standing: 'model' };
}

/** Power once that much more air flows, power taken to follow air; the band is that of the air alone. */
function powerThen(curve: CurveResult | null, rpm: number, moreAir: BandedValue, airFactor: number): BandedValue | null {
  if (curve === null) return null;
  const index = curve.engineSpeedRpm.indexOf(rpm);
  const powerW = index < 0 ? null : curve.value[index]!;
  if (powerW === null) return null;
  const scaled = (share: number | null): number | null => (share === null ? null : nullable(powerW * airFactor * (1 + share)));
  return { value: scaled(moreAir.value), low: scaled(moreAir.low), high: scaled(moreAir.high), unit: 'W', standing: 'model' };
}

function sentenceOf(airflow: AirflowCase, rpm: number, duty: BandedValue, limits: readonly HeadroomToLimit[]): string {
  const percent = (share: number): string => `${(100 * share).toFixed(0)} %`;
  const band = ({ low, high }: BandedValue): string =>
    low === null || high === null ? '' : ` (${(100 * low).toFixed(0)} to ${(100 * high).toFixed(0)})`.replaceAll('-', '−');
  const rooms = limits.map(({ limitDuty, moreAir }) => {
    const { value } = moreAir;
    if (value === null) return `what is left until ${percent(limitDuty)} cannot be told`;
    return value < 0
      ? `${percent(-value)} beyond what ${percent(limitDuty)} can feed`
      : `room for ${percent(value)}${band(moreAir)} more air until ${percent(limitDuty)}`;
  });
  const [subject, verb] = airflow.at === 'measured' ? ['As measured', 'are open'] : ['As forecast', 'would be open'];
  const open = duty.value === null ? 'for an unknown part' : `${percent(duty.value)}${band(duty)}`;
  return `${subject} the injectors ${verb} ${open} of the time at ${rpmText(rpm)}: ${rooms.join(', ')}.`;
}
