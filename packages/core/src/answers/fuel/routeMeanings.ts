import type { RouteName, RouteVia } from '../../result/index.js';

/** What it usually means when a route says too little or too much. Common practice, no source. */
const meanings: Readonly<Record<RouteVia, { readonly low: readonly string[]; readonly high: readonly string[] }>> = {
  'wheel power': {
    low: [
      'the mass that was entered is too low, or something came along that nobody wrote down',
      'drag, headwind or a climb is more than was entered',
      'tyres, clutch or converter slip, or the drivetrain takes more than was assumed',
    ],
    high: [
      'the mass that was entered is too high',
      'a tailwind or a descent was not entered, or drag was entered too high',
      'the speed reads high: tyre size or calibration',
    ],
  },
  'speed and density': {
    low: [
      'the engine fills better than the volumetric efficiency that was taken',
      'the manifold-pressure sensor rests on its ceiling or is scaled too low',
      'a heat-soaked sensor reads hotter than the charge is',
    ],
    high: [
      'the engine fills worse than the volumetric efficiency that was taken: exhaust, intake or cams restrict it',
      'the charge at the ports is hotter than the sensor says',
      'the air is there but not its power: spark taken back, misfire',
    ],
  },
  'air meter': {
    low: ['air comes in past the meter', 'the meter is at its ceiling, or calibrated for another intake'],
    high: ['air that the meter has counted leaks out before the engine', 'the meter is calibrated for another intake'],
  },
  injectors: {
    low: [
      'the injectors give more than was entered, or the fuel pressure is higher',
      'the dead time is shorter than was taken',
      'some fuel comes by another way: a second set of injectors, a spray',
    ],
    high: [
      'the injectors give less than was entered: rated at another pressure or with another fluid, or the fuel pressure is lower',
      'the dead time is longer than was taken',
      'the mixture is richer than lambda was read, or fuel leaves unburnt',
    ],
  },
  'fuel flow channel': {
    low: ['the channel is a model of the engine’s computer that does not know of larger injectors or more pressure'],
    high: [
      'the channel is a model of the engine’s computer that does not know of smaller injectors or less pressure',
      'fuel leaves unburnt',
    ],
  },
};

/** Which of two routes is low, which is high, and which one stands apart from a third where that is known. */
export interface Disagreement {
  readonly low: RouteVia;
  readonly high: RouteVia;
  readonly odd: RouteVia | null;
}

/** What a disagreement usually means, most usual first: the route that stands apart from the others, else both in turn. */
export function usualMeanings({ low, high, odd }: Disagreement): readonly string[] {
  if (odd === low) return [...meanings[low].low, ...meanings[high].high.slice(0, 1)];
  if (odd === high) return [...meanings[high].high, ...meanings[low].low.slice(0, 1)];
  const [a, b] = [meanings[low].low, meanings[high].high];
  return [0, 1, 2].flatMap((i) => [a[i], b[i]]).filter((one) => one !== undefined);
}

/** Name of a route in a sentence. */
export const routeWords: Readonly<Record<RouteVia, string>> = {
  'wheel power': 'motion',
  'speed and density': 'air (speed and density)',
  'air meter': 'air (meter)',
  injectors: 'fuel (injectors)',
  'fuel flow channel': 'fuel (channel)',
};

/** Route that a way belongs to. */
export const routeOf: Readonly<Record<RouteVia, RouteName>> = {
  'wheel power': 'motion',
  'speed and density': 'air',
  'air meter': 'air',
  injectors: 'fuel',
  'fuel flow channel': 'fuel',
};
