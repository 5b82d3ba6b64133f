import type { BudgetPart } from '../../result/index.js';
import { enteredSpread } from '../../trial/index.js';

/** What could be entered, which part of a margin it narrows, and how well it is known then. */
export interface SharpenCandidate {
  readonly group: string;
  readonly label: string;
  /** Fields of the trial, or of a setup where setups may differ in it. */
  readonly fields: readonly string[];
  /** True where each setup may have its own. */
  readonly perSetup: boolean;
  /** Part of the budgets of power and of a difference. */
  readonly part: string;
  /** Explanation of a difference that it narrows alike. */
  readonly explanation?: string;
  /** Standard uncertainty of the part once it is entered, in the unit of the part. */
  readonly spreadThen: (part: Pick<BudgetPart, 'value' | 'spread'>) => number;
}

const ofValue =
  (share: number) =>
  ({ value }: Pick<BudgetPart, 'value'>): number =>
    share * Math.abs(value ?? 0);

/** What a thermometer, a barometer and a hygrometer leave uncertain in the density of the air: 1 K, 1 hPa and 5 % of humidity. */
const enteredAirShare = Math.hypot(enteredSpread('temperature', 293) / 293, enteredSpread('pressure', 99000) / 99000, 0.0005);

export const sharpenCandidates: readonly SharpenCandidate[] = [
  {
    group: 'weather',
    label: 'weather',
    fields: ['air.pressure', 'air.temperature', 'air.humidity'],
    perSetup: true,
    part: 'air density',
    explanation: 'air',
    spreadThen: ofValue(enteredAirShare),
  },
  {
    group: 'mass',
    label: 'car’s weight on a scale',
    fields: ['car.weighed.mass'],
    perSetup: false,
    part: 'mass',
    // Car, driver and fuel on the scale.
    spreadThen: ofValue(1.2 * enteredSpread('scale', 1)),
  },
  {
    group: 'fuel',
    label: 'fuel in the tank',
    fields: ['fuel-in-tank'],
    perSetup: true,
    part: 'fuel and cargo',
    spreadThen: () => 745 * enteredSpread('fuelVolume', 0.03),
  },
  {
    group: 'wind',
    label: 'wind along the pulls',
    fields: ['wind'],
    perSetup: true,
    part: 'wind',
    explanation: 'wind not entered',
    spreadThen: () => enteredSpread('wind', 0),
  },
  {
    group: 'grade',
    label: 'grade of the road',
    fields: ['grade'],
    perSetup: true,
    part: 'grade',
    spreadThen: () => enteredSpread('grade', 0),
  },
  {
    group: 'drag area',
    label: 'drag area of the car',
    fields: ['car.drag-area'],
    perSetup: false,
    part: 'drag area',
    spreadThen: ({ value }) => enteredSpread('dragArea', value ?? 0),
  },
  {
    group: 'rolling',
    label: 'rolling-resistance coefficient',
    fields: ['car.rolling-coefficient'],
    perSetup: false,
    part: 'rolling resistance',
    spreadThen: ({ value }) => enteredSpread('rolling', value ?? 0),
  },
  {
    group: 'rotating parts',
    label: 'inertia of wheels and engine',
    fields: ['car.wheel-inertia', 'car.engine-inertia'],
    perSetup: false,
    part: 'rotating parts',
    // A tenth of what spinning parts add to the mass.
    spreadThen: ({ value }) => Math.abs(enteredSpread('inertia', (value ?? 1) - 1)),
  },
];
