import { bandPartNames } from '../../compare/index.js';

/** What would shrink each part of a band, in a sentence. */
const remedies: Readonly<Record<string, string>> = {
  [bandPartNames.noise]: 'Log engine speed more often and more finely (fewer channels at once), and in a longer gear.',
  [bandPartNames.shape]:
    'Start every pull from the same engine speed with the engine equally warm: the pulls differ along the range, not only in level.',
  [bandPartNames.pulls]: 'Log more pulls, each from the same coolant and charge temperature.',
  [bandPartNames.outings]: 'Log both setups in one outing, before-after-before: the luck of an outing then cancels.',
  mass: 'Weigh the car, with the driver out and the fuel level noted.',
  'fuel and cargo': 'Note the fuel level before each run: fill the tank, or measure what goes in.',
  'rotating parts': 'Give wheel-inertia and engine-inertia, or measure the rotating factor: a coast-down in gear against one in neutral.',
  'drag area': 'Coast down in neutral from a high speed, both ways, and use drag-area: from coast-downs.',
  'air density': 'Read temperature, station pressure and humidity at the road, at the hour of the pulls.',
  'rolling resistance': 'Coast down in neutral to a low speed, both ways, and use rolling-coefficient: from coast-downs.',
  wind: 'Log pulls both ways on the same road and name their direction, or measure the wind at the road.',
  grade: 'Use one road in one direction for both setups; give the grade from a map, or log satellite altitude at 5 Hz or more.',
  'speed scale, tyre slip and growth': 'Log GPS speed beside engine speed, and use a gear in which the tyres do not slip.',
};

/** What would shrink a part of a band; a plain hint where nothing special is known. */
export function remedyFor(name: string): string {
  return remedies[name] ?? `Measure ${name} better.`;
}
