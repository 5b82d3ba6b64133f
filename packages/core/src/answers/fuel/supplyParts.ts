import type { Finding } from '../../findings/index.js';
import { type Question, question } from '../../pulls/index.js';
import type { ChangeSheetResult, FuelSupplyResult, RoutesResult } from '../../result/index.js';
import type { TrialFile } from '../../trial/index.js';
import { AssumptionLedger, resolveAir } from '../../trial/index.js';
import { changeSheet } from '../changeSheet/changeSheet.js';
import { setupResults } from '../power/setupResult.js';
import { fuelSupply } from './fuelSupply.js';
import { powerRoutes } from './powerRoutes.js';
import { type KnownInput, supplyAssumptions, supplyFindings } from './supplyInputs.js';

/** What a setup's result shows of fuel, routes and changes. */
export interface SetupSupply {
  readonly fuelSupply: FuelSupplyResult | null;
  readonly routes: RoutesResult | null;
  readonly changeSheet: ChangeSheetResult | null;
}

/** Step of the engine speeds where there is no power curve, rpm. */
const gridStepRpm = 50;

/** Fuel supply, routes to power and change sheet of every setup, in the order of the trial. */
export const supplyParts: Question<readonly SetupSupply[]> = question((evidence) => {
  const { setups, file, spread } = evidence;
  const ceilings = evidence.ceilings().found;
  const shown = setupResults(evidence).answer;
  const slipAirKgPerM3 = densestSlipAir(file);
  const findings: Finding[] = [];
  const taken: { setup: string; inputs: readonly KnownInput[] }[] = [];
  const results = setups.map((setup, index): SetupSupply => {
    const { changes } = file.setups[index]!;
    const sheet = changes === undefined ? null : changeSheet(changes, setup.name);
    findings.push(...(sheet?.findings ?? []));
    const pulls = setup.used.length > 0 ? setup.used : setup.pulls.filter(({ signals }) => signals.engine !== null);
    const gridRpm = setup.curve?.engineSpeedRpm ?? gridOf(pulls.map(({ pull }) => pull));
    if (pulls.length === 0 || gridRpm.length < 2) return { fuelSupply: null, routes: null, changeSheet: sheet?.sheet ?? null };
    const common = { spread, gridRpm, pulls };
    const supply = fuelSupply(setup, { ...common, wheelPowerW: shown[index]!.curves.wheelPowerW ?? null, slipAirKgPerM3 });
    const routes = powerRoutes(setup, { ...common, ceilings, units: file.units });
    findings.push(...supply.findings, ...routes.findings);
    taken.push({ setup: setup.name, inputs: [...supply.inputs, ...routes.inputs] });
    return { fuelSupply: supply.supply, routes: routes.routes, changeSheet: sheet?.sheet ?? null };
  });
  return { answer: results, assumptions: supplyAssumptions(taken), findings: [...findings, ...supplyFindings(taken)] };
});

function gridOf(pulls: readonly { readonly fromRpm: number | null; readonly toRpm: number | null }[]): Float64Array {
  const known = pulls.filter((pull) => pull.fromRpm !== null && pull.toRpm !== null);
  if (known.length === 0) return new Float64Array(0);
  const from = Math.ceil(Math.min(...known.map(({ fromRpm }) => fromRpm!)) / gridStepRpm) * gridStepRpm;
  const to = Math.max(...known.map(({ toRpm }) => toRpm!));
  return Float64Array.from({ length: Math.max(0, Math.floor((to - from) / gridStepRpm) + 1) }, (_, i) => from + i * gridStepRpm);
}

/** Densest air among the slips whose temperature and pressure were written; null without such slips, or where they stand in a file of their own. */
function densestSlipAir({ slips }: TrialFile): number | null {
  if (typeof slips !== 'object') return null;
  const densities = slips.flatMap(({ air }) => {
    if (air?.temperature === undefined || (air.pressure === undefined && air.altimeter === undefined)) return [];
    return [resolveAir(air, 'slip', new AssumptionLedger()).airDensityKgPerM3.value];
  });
  return densities.length === 0 ? null : Math.max(...densities);
}
