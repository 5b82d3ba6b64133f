import type { Finding } from '../../findings/index.js';
import type { Repeatability } from '../../power/index.js';
import type { FittedSetup, FoundCeiling, TrialPull } from '../../pulls/index.js';
import type { RouteName, RoutePair, RouteResult, RoutesResult, RouteVia } from '../../result/index.js';
import { rpmText } from '../../units/index.js';
import { flowRoute, type RouteFlow } from './flowRoute.js';
import { fuelFlowByChannel, fuelFlowByInjectors } from './fuelFlow.js';
import { injectorReadings } from './injectorReadings.js';
import { motionRoute } from './motionRoute.js';
import { largestIndex, type OpenRoute } from './openRoute.js';
import { airByMeter, airBySpeedAndDensity } from './routeAir.js';
import { routeOf, routeWords } from './routeMeanings.js';
import { routePairs } from './routePairs.js';
import type { KnownInput } from './supplyInputs.js';

/** Routes of a setup, and what was taken for them. */
export interface RouteParts {
  readonly routes: RoutesResult;
  readonly inputs: readonly KnownInput[];
  readonly findings: readonly Finding[];
}

const names: Readonly<Record<RouteVia, string>> = {
  'wheel power': 'Motion, by wheel power',
  'speed and density': 'Air, by manifold pressure and charge temperature',
  'air meter': 'Air, by its meter',
  injectors: 'Fuel, by the injectors',
  'fuel flow channel': 'Fuel, by its flow channel',
};
const closedNames: Readonly<Record<RouteName, string>> = { motion: 'Motion', air: 'Air', fuel: 'Fuel' };

/** Crank power of a setup by motion, by air and by fuel, side by side, and where they disagree. */
export function powerRoutes(
  setup: FittedSetup,
  options: {
    readonly spread: Repeatability;
    readonly gridRpm: Float64Array;
    readonly pulls: readonly TrialPull[];
    readonly ceilings: readonly FoundCeiling[];
    readonly units: 'metric' | 'imperial';
  },
): RouteParts {
  const { pulls, gridRpm, spread, ceilings } = options;
  const motion = motionRoute(setup, spread);
  const byDensity = airBySpeedAndDensity(pulls, gridRpm);
  const byMeter = airByMeter(pulls, gridRpm);
  const byInjectors = fuelFlowByInjectors(
    injectorReadings(pulls, gridRpm).filter(({ told }) => told),
    spread,
  );
  const byChannel = fuelFlowByChannel(pulls, gridRpm, spread);
  const flows: readonly (RouteFlow | null)[] = [
    'missing' in byDensity ? null : { ...byDensity, via: 'speed and density', ceilingsOf: ['manifold-pressure'] },
    byMeter === null ? null : { ...byMeter, via: 'air meter', ceilingsOf: ['air-mass-flow'] },
    'missing' in byInjectors ? null : { ...byInjectors, via: 'injectors', equation: injectorEquation, ceilingsOf: ['lambda'] },
    byChannel === null ? null : { ...byChannel, via: 'fuel flow channel', equation: '', ceilingsOf: ['lambda'] },
  ];
  const opened = [motion, ...flows.map((flow) => (flow === null ? null : flowRoute(flow, gridRpm, spread, ceilings)))].filter(
    (one) => one !== null,
  );
  const open = opened.map(({ route }) => route);
  const missing: Readonly<Record<RouteName, string>> = {
    motion: 'Log road or GPS speed: without the car’s motion there is no power by this route.',
    air: `${'missing' in byDensity ? sentence(byDensity.missing) : 'The readings of pressure and temperature do not meet at any engine speed'}; or log the air mass flow of a meter.`,
    fuel: `${'missing' in byInjectors ? byInjectors.missing : 'The readings of the injectors do not meet at any engine speed.'} Or log fuel flow.`,
  };
  const pairs = routePairs(open);
  const routes = (['motion', 'air', 'fuel'] as const).flatMap((route) => {
    const own = open.filter(({ via }) => routeOf[via] === route);
    return own.length > 0 ? own.map(routeResult) : [closedRoute(route, missing[route])];
  });
  const answer =
    open.length === 0 ? 'no route' : open.length === 1 ? 'one route only' : pairs.every(({ agrees }) => agrees) ? 'agree' : 'disagree';
  const result: RoutesResult = { routes, pairs, answer, sentence: answerText(answer, open, pairs, options.units) };
  return { routes: result, inputs: opened.flatMap(({ inputs }) => inputs), findings: disagreement(result, setup.name) };
}

const injectorEquation =
  'fuel flow = injectors × rated flow × √(pressure across ÷ rated pressure) × (duty − dead time × engine speed ÷ 120)';

function sentence(parts: readonly string[]): string {
  const text = parts.join(', ');
  return text.charAt(0).toUpperCase() + text.slice(1);
}

function routeResult({ via, curve, equation, channels, inputs }: OpenRoute): RouteResult {
  return { route: routeOf[via], via, name: names[via], equation, crankPowerW: curve, status: null, channels, inputs };
}

function closedRoute(route: RouteName, status: string): RouteResult {
  return { route, via: null, name: closedNames[route], equation: '', crankPowerW: null, status, channels: [], inputs: [] };
}

function answerText(
  answer: RoutesResult['answer'],
  open: readonly OpenRoute[],
  pairs: readonly RoutePair[],
  units: 'metric' | 'imperial',
): string {
  if (answer === 'no route') return 'No route to crank power is open: see what each would need.';
  const at = largestIndex(open[0]!.powerW);
  const rpm = open[0]!.gridRpm[at]!;
  const powers = open
    .filter(({ powerW }) => Number.isFinite(powerW[at]!))
    .map(({ via, powerW }) => `${routeWords[via]} ${powerText(powerW[at]!, units)}`)
    .join(', ');
  if (answer === 'one route only') return `Crank power by one route only, ${powers} at ${rpmText(rpm)}: nothing to hold it against.`;
  if (answer === 'agree') return `The routes to crank power agree within their bands: ${powers} at ${rpmText(rpm)}.`;
  const worst = worstPair(pairs);
  return `${worst.sentence} Usually: ${worst.usuallyMeans[0]}. At ${rpmText(rpm)}: ${powers}.`;
}

function powerText(powerW: number, units: 'metric' | 'imperial'): string {
  return units === 'metric' ? `${(powerW / 1000).toFixed(0)} kW` : `${(powerW / 745.6998715822702).toFixed(0)} hp`;
}

/** The pair that is furthest apart. */
function worstPair(pairs: readonly RoutePair[]): RoutePair {
  const apart = ({ regions }: RoutePair): number => Math.max(0, ...regions.map(({ meanShare }) => Math.abs(Math.log1p(meanShare))));
  return pairs.reduce((a, b) => (apart(b) > apart(a) ? b : a));
}

function disagreement({ answer, pairs }: RoutesResult, setup: string): Finding[] {
  if (answer !== 'disagree') return [];
  const worst = worstPair(pairs);
  if (worst.regions.length === 0) return [];
  return [
    {
      code: 'W_ROUTES_DISAGREE',
      severity: 'warning',
      message: `Two routes to crank power disagree. ${worst.sentence} One of them rests on something that is not so.`,
      where: { setup },
      fix: `Usually: ${worst.usuallyMeans.join('; or ')}.`,
    },
  ];
}
