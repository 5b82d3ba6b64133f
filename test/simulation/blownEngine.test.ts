import { describe, expect, it } from 'vitest';
import {
  type Blower,
  baseSetup,
  blowerAir,
  blownEngine,
  drive,
  pulleySetup,
  sampleCar,
  sampleEngine,
} from '../../packages/simulation/src/index.js';

/** A blower with one number for every law. */
const plain = (driveRatio: number, effectiveness: number): Blower => ({
  blowerVolumeM3: 1.84e-3,
  engineVolumeM3: 4.6e-3,
  driveRatio,
  fillShare: 0.88,
  leakageRpm: 0,
  adiabaticEfficiency: () => 0.6,
  volumetricEfficiency: () => 0.85,
  coolerEffectiveness: () => effectiveness,
  inletLoss: 0,
  coolerLoss: 0,
});

describe('blowerAir', () => {
  // Source: the equations of J. B. Heywood (1988), chapter 6, solved twice independently for the inputs shown (c_p 1005, κ 1.4).
  it.each([
    [2.0, 0, 2.4705, 444.7],
    [2.0, 0.7, 1.8409, 331.3],
    [2.2, 0, 2.9031, null],
    [2.2, 0.7, 2.0604, null],
  ])('drive ratio %f, cooler %f', (ratio, effectiveness, pressureRatio, chargeK) => {
    const air = blowerAir(plain(ratio, effectiveness), 6000, 101_325, 298.15, 305);
    expect(Math.abs(air.pressureRatio - pressureRatio)).toBeLessThan(1e-3);
    if (chargeK !== null) expect(Math.abs(air.chargeK - chargeK)).toBeLessThan(0.1);
  });

  it('mass flow and drive power of a worked example', () => {
    // By hand: 0.88 · 1.84e-3 · 200 · 101325/(287.05 · 298.15) = 0.38339 kg/s.
    const air = blowerAir(plain(2, 0.7), 6000, 101_325, 298.15, 305);
    expect(air.massFlowKgPerS).toBeCloseTo(0.38339, 4);
    // Heat balance: what the cooler takes is what the charge loses.
    expect(air.coolerHeatW).toBeCloseTo(air.massFlowKgPerS * 1005 * 0.7 * (air.outletK - 305), 6);
    // Heat put in by the rotors is the shaft's work.
    expect(air.driveW).toBeCloseTo(air.massFlowKgPerS * 1005 * (air.outletK - 298.15), 6);
  });

  it('hot charge raises pressure, not air mass', () => {
    const cold = blowerAir(plain(2, 0.7), 6000, 101_325, 298.15, 300);
    const hot = blowerAir(plain(2, 0.7), 6000, 101_325, 298.15, 330);
    expect(hot.manifoldPa).toBeGreaterThan(cold.manifoldPa * 1.03);
    expect(hot.massFlowKgPerS).toBeCloseTo(cold.massFlowKgPerS, 10);
  });

  it('says so when it does not settle', () => {
    expect(() => blowerAir({ ...plain(2, 0.7), adiabaticEfficiency: () => Number.NaN }, 6000, 101_325, 298.15, 305)).toThrow(
      /does not settle/,
    );
  });
});

describe('blownEngine', () => {
  const around = { airDensityKgPerM3: 1.16, headwindMps: 0, grade: 0 };
  const pull = { kind: 'pull', gear: 3, fromRpm: 2400, toRpm: 6600 } as const;
  const spec = sampleEngine(baseSetup, 294, 98_700);
  const d = drive(
    sampleCar(40),
    around,
    blownEngine(spec),
    [{ kind: 'key-on', durationS: 4 }, { kind: 'idle', durationS: 8 }, pull, pull],
    {
      stepS: 0.01,
    },
  );
  const at = (name: string, timeS: number): number => d.channels.get(name)![Math.round(timeS / 0.01)]!;
  const pulls = d.marks.filter((mark) => mark.kind === 'pull');

  it('reads the air outside with the engine off, vacuum at idle, boost in a pull', () => {
    expect(at('manifoldPa', 2)).toBe(98_700);
    expect(at('manifoldPa', 10)).toBeLessThan(50_000);
    expect(at('manifoldPa', pulls[0]!.endS - 1)).toBeGreaterThan(150_000);
    expect(at('injectorPulseS', 2)).toBe(0);
  });

  it('the fuel through the injectors, the air and lambda agree', () => {
    const t = pulls[0]!.endS - 1;
    const rpm = at('engineSpeedRpm', t);
    const air = blowerAir(spec.blower, rpm, 98_700, at('intakeK', t), at('coolerK', t));
    const fuelKgPerS = ((at('injectorPulseS', t) - spec.injectorDeadS) * spec.injectorKgPerS * 6 * rpm) / 120;
    expect(air.massFlowKgPerS / fuelKgPerS / 14.1 / at('lambdaTrue', t)).toBeCloseTo(1, 2);
    // Four strokes, one opening in two turns. Source: duty % = ms · rpm / 1200.
    expect(at('injectorDuty', t)).toBeCloseTo((1000 * at('injectorPulseS', t) * rpm) / 1200 / 100, 9);
    // Source: 0.55 to 0.65 lb/(hp h) for boosted petrol engines at full load, 335 to 395 g/kWh at the crank: trade range, from memory.
    const gPerKWh = (fuelKgPerS * 3.6e9 * spec.drivelineShare) / at('wheelPowerW', t);
    expect(gPerKWh).toBeGreaterThan(335);
    expect(gPerKWh).toBeLessThan(395);
  });

  it('the lambda sensor sees the exhaust later', () => {
    const { fullFromS } = pulls[0]!;
    const crossing = (name: string): number => {
      let t = fullFromS! - 0.4;
      while (at(name, t) > 0.9) t += 0.01;
      return t;
    };
    const delay = crossing('lambda') - crossing('lambdaTrue');
    // A cycle and a quarter at 2450 rpm is 61 ms, the pipe about 12 ms.
    expect(delay).toBeGreaterThan(0.05);
    expect(delay).toBeLessThan(0.1);
  });

  it('the cooler warms in a pull and recovers after', () => {
    const [first, second] = pulls as [(typeof pulls)[number], (typeof pulls)[number]];
    expect(at('coolerK', first.endS) - at('coolerK', first.startS)).toBeGreaterThan(4);
    expect(at('coolerK', second.startS)).toBeLessThan(at('coolerK', first.endS) - 2);
    // Intake air warms at a stand and cools on the move.
    expect(at('intakeK', 11.9)).toBeGreaterThan(at('intakeK', 0) + 3);
    expect(at('intakeK', second.endS)).toBeLessThan(at('intakeK', 11.9) - 3);
  });

  it('the small pulley brings more pressure, heat and, past the start of knock, retard', () => {
    const blown = drive(sampleCar(40), around, blownEngine(sampleEngine(pulleySetup, 294, 98_700)), [pull], { stepS: 0.01 });
    const alone = drive(sampleCar(40), around, blownEngine(spec), [pull], { stepS: 0.01 });
    const last = (run: typeof d, name: string): number => run.channels.get(name)![Math.round(run.marks[0]!.endS / 0.01) - 20]!;
    expect(last(blown, 'manifoldPa')).toBeGreaterThan(last(alone, 'manifoldPa') + 8_000);
    expect(last(blown, 'chargeK')).toBeGreaterThan(last(alone, 'chargeK') + 2);
    expect(last(alone, 'knockRetardDeg')).toBeLessThan(0.1);
    expect(last(blown, 'knockRetardDeg')).toBeGreaterThan(1.5);
  });
});
