import { PullproofError } from '../findings/index.js';

/** What a tyre's size says about it. */
export interface Tyre {
  readonly widthM: number;
  /** Section height over width. */
  readonly aspectRatio: number;
  readonly rimDiameterM: number;
  /** Radius without load, by the size's nominal figures. */
  readonly freeRadiusM: number;
  /** Distance rolled in one turn over 2π, what engine speed over road speed needs. */
  readonly rollingRadiusM: number;
  /** One standard uncertainty of the rolling radius. */
  readonly rollingRadiusSpreadM: number;
  /** How the rolling radius was found, for people. */
  readonly source: string;
}

/** Rolling circumference over free diameter of a radial tyre. */
const RADIAL_CIRCUMFERENCE_RATIO = 3.05;
/** A band of −2.5 to +1.5 % around the nominal circumference, taken as rectangular: 4 %/√12. */
const ROLLING_SHARE_SPREAD = 0.0115;

const metricSize = /^(?:P|LT)?\s*(\d{3})\s*\/\s*(\d{2,3})\s*Z?\s*RF?\s*(\d{2}(?:\.5)?)C?(?:[\s(].*)?$/i;

/**
 * Rolling radius of a radial tyre from its size: free diameter d = rim + 2 · width · aspect; rolled in one turn at 60 km/h: 3.05 d.
 *
 * The rolling radius, 0.4854 d, lies between the free radius (0.5 d) and the loaded one (about 0.47 d): a belted tyre rolls nearly its belt's length, whatever its load.
 *
 * @param size such as `245/45R17`, `P245/45ZR17 95W`, `195/65 R 15`
 * @returns lengths in m, with a spread of 1.15 % of the radius
 * @throws E_TYRE for a text that is not the metric size of a radial tyre, or a size that no car has
 *
 * Validity: radial road tyres at normal pressure and load, worn tyres up to 1 % less; growth at speed and slip under power (0–3 %) are not in it. A bias-ply or drag tyre needs its radius measured.
 * Source: [ETRTO] dynamic rolling circumference; factor and tolerance from memory.
 *
 * @example
 * ```ts
 * import { tyreFromSize } from '@pullproof/core';
 * tyreFromSize('245/45R17').rollingRadiusM.toFixed(4); // => '0.3166'
 * ```
 */
export function tyreFromSize(size: string): Tyre {
  const match = metricSize.exec(size.trim());
  const [widthMm, aspectPercent, rimIn] = match === null ? [Number.NaN, Number.NaN, Number.NaN] : match.slice(1, 4).map(Number);
  if (!(widthMm! >= 105 && widthMm! <= 405 && aspectPercent! >= 20 && aspectPercent! <= 95 && rimIn! >= 10 && rimIn! <= 26)) {
    throw new PullproofError(
      'E_TYRE',
      `"${size}" is not the metric size of a car's radial tyre.`,
      {},
      'Write it like 245/45R17, or give tyre-radius: the distance rolled in one turn of the wheel over 2π.',
    );
  }
  const widthM = widthMm! / 1000;
  const aspectRatio = aspectPercent! / 100;
  const rimDiameterM = rimIn! * 0.0254;
  const freeDiameterM = rimDiameterM + 2 * widthM * aspectRatio;
  const rollingRadiusM = (RADIAL_CIRCUMFERENCE_RATIO * freeDiameterM) / (2 * Math.PI);
  return {
    widthM,
    aspectRatio,
    rimDiameterM,
    freeRadiusM: freeDiameterM / 2,
    rollingRadiusM,
    rollingRadiusSpreadM: ROLLING_SHARE_SPREAD * rollingRadiusM,
    source: `tyre size ${size.trim()}: 3.05 × free diameter rolled in one turn (ETRTO practice, from memory)`,
  };
}
