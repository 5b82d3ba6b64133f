/**
 * Density of moist air as a mixture of two ideal gases, kg/m³.
 *
 * Source: saturation pressure by the Magnus form of WMO-No. 8, Annex 4.B; gas constants 287.05 and 461.5 J/(kg K).
 */
export function moistAirDensity(temperatureK: number, stationPressurePa: number, relativeHumidity: number): number {
  const t = temperatureK - 273.15;
  const vapourPa = relativeHumidity * 611.2 * Math.exp((17.62 * t) / (243.12 + t));
  return (stationPressurePa - vapourPa) / (287.05 * temperatureK) + vapourPa / (461.5 * temperatureK);
}
