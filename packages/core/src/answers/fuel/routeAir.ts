import { airFlowBySpeedAndDensity } from '../../fuel/index.js';
import { channelsOf, findChannel } from '../../log/index.js';
import type { TrialPull } from '../../pulls/index.js';
import { onGrid, type PullModel, pullCurves } from './pullCurves.js';
import { assumedInput, type KnownInput, statedInput } from './supplyInputs.js';

/** Air of each pull, kg/s, as a model. */
export interface KnownAirFlow {
  readonly model: PullModel;
  readonly pulls: readonly TrialPull[];
  readonly channels: readonly string[];
  readonly equation: string;
}

/** Above this share of the air's pressure the engine is boosted. */
const boostedShare = 1.1;

/** Air by manifold pressure and charge temperature; or what is missing for it. */
export function airBySpeedAndDensity(
  pulls: readonly TrialPull[],
  gridRpm: Float64Array,
): KnownAirFlow | { readonly missing: readonly string[] } {
  const { displacementM3, engine } = pulls[0]!.run.inputs;
  const manifold = pullCurves(pulls, ['manifold-pressure'], gridRpm);
  const charge = pullCurves(pulls, ['charge-temperature'], gridRpm);
  const intake = pullCurves(pulls, ['intake-temperature'], gridRpm);
  const quantity = charge.some((curve) => curve !== null) ? ('charge-temperature' as const) : ('intake-temperature' as const);
  const temperature = quantity === 'charge-temperature' ? charge : intake;
  const told = pulls.map((_, p) => p).filter((p) => manifold[p] !== null && temperature[p] !== null);
  const missing = [
    ...(displacementM3 === null ? ['give car.displacement'] : []),
    ...(manifold.every((curve) => curve === null) ? ['log manifold pressure'] : []),
    ...(temperature.every((curve) => curve === null) ? ['log the temperature of the charge'] : []),
  ];
  if (displacementM3 === null || told.length === 0)
    return { missing: missing.length > 0 ? missing : ['log manifold pressure and charge temperature in one log'] };
  const boosted = told.some((p) => manifold[p]!.some((pa) => pa > boostedShare * pulls[p]!.run.inputs.stationPressurePa.value));
  const efficiency =
    engine.volumetricEfficiency === null
      ? assumedInput('volumetricEfficiency')
      : statedInput('volumetricEfficiency', engine.volumetricEfficiency);
  const inputs = [efficiency, assumedInput('manifoldPressureSensor'), chargeBias(quantity, boosted)];
  const { log } = pulls[told[0]!]!;
  return {
    model: {
      inputs,
      curves: ([volumetricEfficiency, sensor, biasK]) =>
        told.map((p) =>
          gridRpm.map((engineSpeedRpm, i) =>
            airFlowBySpeedAndDensity({
              volumetricEfficiency: volumetricEfficiency!,
              displacementM3,
              engineSpeedRpm,
              manifoldPressurePa: sensor! * manifold[p]![i]!,
              chargeTemperatureK: temperature[p]![i]! + biasK!,
            }),
          ),
        ),
    },
    pulls: told.map((p) => pulls[p]!),
    channels: [findChannel(log, 'manifold-pressure')!.name, findChannel(log, quantity)!.name],
    equation: 'air flow = VE × displacement × engine speed ÷ 2 × pressure ÷ (R × temperature), in the manifold',
  };
}

/** How far the charge at the ports may be from what the sensor reads. Common practice, no source. */
function chargeBias(quantity: 'charge-temperature' | 'intake-temperature', boosted: boolean): KnownInput {
  if (quantity === 'charge-temperature') return assumedInput('chargeTemperature');
  return boosted
    ? assumedInput('chargeTemperature', {
        value: 20,
        spread: 20,
        source: 'the intake sensor may sit before the blower; common practice, no source',
      })
    : assumedInput('chargeTemperature', {
        value: 8,
        spread: 8,
        source: 'air warms between the intake sensor and the ports; common practice, no source',
      });
}

/** Air by a meter; banks that have one each are added. Null where no pull has one. */
export function airByMeter(pulls: readonly TrialPull[], gridRpm: Float64Array): KnownAirFlow | null {
  const told = pulls.flatMap((pull) => {
    const found = findChannel(pull.log, 'air-mass-flow');
    if (found === null) return [];
    const banks = new Map(
      channelsOf(pull.log, 'air-mass-flow')
        .filter(({ bank }) => bank !== null)
        .map((channel) => [channel.bank, channel]),
    );
    const channels = banks.size > 1 ? [...banks.values()] : [found];
    const curves = channels.map((channel) => onGrid(pull, channel, gridRpm));
    return [{ pull, channels, values: gridRpm.map((_, i) => curves.reduce((sum, curve) => sum + curve[i]!, 0)) }];
  });
  if (told.length === 0 || told.every(({ values }) => values.every(Number.isNaN))) return null;
  return {
    model: { inputs: [assumedInput('airMeter')], curves: ([meter]) => told.map(({ values }) => values.map((value) => meter! * value)) },
    pulls: told.map(({ pull }) => pull),
    channels: told[0]!.channels.map(({ name }) => name),
    equation: 'air flow as the meter reads it',
  };
}
