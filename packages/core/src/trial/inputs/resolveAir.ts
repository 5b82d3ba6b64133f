import {
  airDensity,
  airDensitySpread,
  reducedPressureFinding,
  relativeHumidityFromDewPoint,
  standardAtmosphere,
  stationPressureFromAltimeter,
} from '../../air/index.js';
import type { Finding, Place } from '../../findings/index.js';
import type { AirFile } from '../file/trialFile.js';
import type { AssumptionLedger } from './assumptions.js';
import { enteredSpread } from './defaults.js';
import type { RunInputs, StatedNumber } from './inputs.js';

type ResolvedAir = Pick<RunInputs, 'temperatureK' | 'stationPressurePa' | 'relativeHumidity' | 'airDensityKgPerM3'>;

/** The air of a run with what is known of it; each part that is missing is assumed by itself. */
export function resolveAir(air: AirFile, log: string, assumed: AssumptionLedger): ResolvedAir {
  const temperatureK: StatedNumber =
    air.temperature === undefined
      ? assumed.assume('temperature', log)
      : {
          value: air.temperature.si,
          spread: enteredSpread('temperature', air.temperature.si),
          standing: 'entered',
          source: `air.temperature: ${air.temperature.text}`,
        };
  const stationPressurePa = resolvePressure(air, log, assumed);
  const relativeHumidity = resolveHumidity(air, log, assumed);
  const point = { temperatureK: temperatureK.value, stationPressurePa: stationPressurePa.value, relativeHumidity: relativeHumidity.value };
  const spreads = {
    temperatureK: temperatureK.spread,
    stationPressurePa: stationPressurePa.spread,
    relativeHumidity: relativeHumidity.spread,
  };
  const allEntered = [temperatureK, stationPressurePa, relativeHumidity].every(({ standing }) => standing === 'entered');
  return {
    temperatureK,
    stationPressurePa,
    relativeHumidity,
    airDensityKgPerM3: {
      value: airDensity(point),
      spread: airDensitySpread(point, spreads).spreadKgPerM3,
      standing: allEntered ? 'entered' : 'assumed',
      source: 'temperature, pressure and humidity by CIPM-2007',
    },
  };
}

/** A station pressure that can only be one reduced to sea level, where the elevation beside it tells. */
export function pressureFinding(air: AirFile, where: Place): Finding | null {
  if (air.pressure === undefined || air.elevation === undefined) return null;
  return reducedPressureFinding(air.pressure.si, air.elevation.si, where);
}

function resolvePressure({ pressure, altimeter, elevation }: AirFile, log: string, assumed: AssumptionLedger): StatedNumber {
  if (pressure !== undefined) {
    return {
      value: pressure.si,
      spread: enteredSpread('pressure', pressure.si),
      standing: 'entered',
      source: `air.pressure: ${pressure.text}`,
    };
  }
  if (elevation === undefined) return assumed.assume('pressure', log);
  if (altimeter === undefined) return assumed.assume('pressureAtElevation', log, { value: standardAtmosphere(elevation.si).pressurePa });
  const value = stationPressureFromAltimeter(altimeter.si, elevation.si);
  const elevationSpreadM = enteredSpread('elevation', elevation.si);
  const lower = stationPressureFromAltimeter(altimeter.si, elevation.si - elevationSpreadM);
  const upper = stationPressureFromAltimeter(altimeter.si, elevation.si + elevationSpreadM);
  return {
    value,
    spread: Math.hypot(enteredSpread('pressure', altimeter.si), (lower - upper) / 2),
    standing: 'entered',
    source: `air.altimeter: ${altimeter.text} at ${elevation.text}`,
  };
}

function resolveHumidity(air: AirFile, log: string, assumed: AssumptionLedger): StatedNumber {
  const { humidity, temperature } = air;
  const dewPoint = air['dew-point'];
  if (humidity !== undefined) {
    return {
      value: humidity.si,
      spread: enteredSpread('humidity', humidity.si),
      standing: 'entered',
      source: `air.humidity: ${humidity.text}`,
    };
  }
  if (dewPoint === undefined || temperature === undefined) return assumed.assume('humidity', log);
  const at = Math.min(dewPoint.si, temperature.si);
  const value = relativeHumidityFromDewPoint(temperature.si, at);
  const slopePerK = (value - relativeHumidityFromDewPoint(temperature.si, at - 0.5)) / 0.5;
  // A kelvin in either of the two temperatures moves the humidity by nearly the same amount.
  const spread = slopePerK * Math.hypot(enteredSpread('dewPoint', at), enteredSpread('temperature', temperature.si));
  return { value, spread, standing: 'entered', source: `air.dew-point: ${dewPoint.text}` };
}
