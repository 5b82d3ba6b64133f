import { numberText } from '../units/index.js';

type Units = 'metric' | 'imperial';

/** Numbers as people read them, with their units. */
export const shown = {
  pressure: (pa: number, units: Units): string =>
    units === 'imperial' ? `${numberText(pa / 3386.389, 2)} inHg` : `${numberText(pa / 1000, 1)} kPa`,
  temperature: (kelvin: number, units: Units): string =>
    units === 'imperial' ? `${numberText((kelvin - 273.15) * 1.8 + 32, 0)}°F` : `${numberText(kelvin - 273.15, 0)}°C`,
  temperatureStep: (kelvin: number, units: Units): string =>
    units === 'imperial' ? `${numberText(kelvin * 1.8, 0)}°F` : `${numberText(kelvin, 0)}°C`,
  mass: (kg: number, units: Units): string => (units === 'imperial' ? `${numberText(kg / 0.45359237, 0)} lb` : `${numberText(kg, 0)} kg`),
  radius: (m: number, units: Units): string => (units === 'imperial' ? `${numberText(m / 0.0254, 1)} in` : `${numberText(1000 * m, 0)} mm`),
  volume: (m3: number, units: Units): string =>
    units === 'imperial' ? `${numberText(m3 / 0.003785411784, 1)} gal` : `${numberText(1000 * m3, 0)} L`,
  percent: (share: number): string => `${numberText(100 * share, Math.abs(share) < 0.0995 ? 1 : 0)}%`,
};
