import { readLog } from '@pullproof/core';
import { describe, expect, it } from 'vitest';
import { repairedText } from '../../../packages/core/src/log/text/mojibake.js';
import { english } from '../../../packages/core/src/log/words/english.js';
import { french } from '../../../packages/core/src/log/words/french.js';
import { german } from '../../../packages/core/src/log/words/german.js';
import { italian } from '../../../packages/core/src/log/words/italian.js';
import { matchWords } from '../../../packages/core/src/log/words/matchWords.js';
import { parseName } from '../../../packages/core/src/log/words/nameAndUnit.js';
import { portuguese } from '../../../packages/core/src/log/words/portuguese.js';
import { spanish } from '../../../packages/core/src/log/words/spanish.js';
import { utf8 } from './fixture.js';

// Common practice, no source: how the trade and OBD tools at large write these in English. Service 01 names after SAE J1979 wording.
const inEnglish: readonly (readonly [string, string | null])[] = [
  ['Engine RPM', 'engine-speed'],
  ['RPM', 'engine-speed'],
  ['EngineSpeed', 'engine-speed'],
  ['engine_speed', 'engine-speed'],
  ['Eng Spd', 'engine-speed'],
  ['Vehicle Speed', 'road-speed'],
  ['Speed', 'road-speed'],
  ['VSS', 'road-speed'],
  ['Vehicle Speed Sensor', 'road-speed'],
  ['GPS Speed', 'gps-speed'],
  ['Wheel Speed FL', 'wheel-speed'],
  ['Intake Manifold Absolute Pressure', 'manifold-pressure'],
  ['MAP', 'manifold-pressure'],
  ['Boost', 'manifold-pressure'],
  ['Boost Pressure', 'manifold-pressure'],
  ['Manifold Pressure', 'manifold-pressure'],
  ['Barometric Pressure', 'barometric-pressure'],
  ['Baro', 'barometric-pressure'],
  ['Supercharger inlet pressure', 'blower-inlet-pressure'],
  ['Intake Air Temperature', 'intake-temperature'],
  ['IAT', 'intake-temperature'],
  ['Intake Air Temp', 'intake-temperature'],
  ['Charge Air Temp', 'charge-temperature'],
  ['Post intercooler temp', 'charge-temperature'],
  ['Ambient Air Temperature', 'ambient-temperature'],
  ['Engine Coolant Temperature', 'coolant-temperature'],
  ['ECT', 'coolant-temperature'],
  ['Water temp', 'coolant-temperature'],
  ['Lambda 1', 'lambda'],
  ['Wideband AFR', 'lambda'],
  ['AFR', 'lambda'],
  ['Commanded Lambda', 'commanded-lambda'],
  ['AFR Target', 'commanded-lambda'],
  ['Lambda Target Bank 1', 'commanded-lambda'],
  ['Absolute Throttle Position', 'throttle'],
  ['TPS', 'throttle'],
  ['Throttle Position', 'throttle'],
  ['Throttle Position Sensor', 'throttle'],
  ['Accelerator Pedal Position D', 'pedal'],
  ['Pedal', 'pedal'],
  ['Accel Pedal Pos', 'pedal'],
  ['Throttle pedal', 'pedal'],
  ['Engine Load', 'load'],
  ['Calculated Load Value', 'load'],
  ['Mass Air Flow', 'air-mass-flow'],
  ['MAF', 'air-mass-flow'],
  ['Air Flow Rate from Mass Flow Sensor', 'air-mass-flow'],
  ['Injector Pulse Width', 'injector-pulse-width'],
  ['Inj PW', 'injector-pulse-width'],
  ['Injector Duty Cycle', 'injector-duty'],
  ['IDC', 'injector-duty'],
  ['Fuel Rail Pressure', 'fuel-pressure'],
  ['Fuel Temperature', 'fuel-temperature'],
  ['Ethanol Content', 'ethanol-share'],
  ['Short Term Fuel Trim Bank 1', 'short-term-fuel-trim'],
  ['LTFT B2', 'long-term-fuel-trim'],
  ['Timing Advance', 'spark-advance'],
  ['Ignition Timing', 'spark-advance'],
  ['Knock Retard', 'knock-retard'],
  ['EGT 1', 'exhaust-temperature'],
  ['Exhaust Back Pressure', 'exhaust-pressure'],
  ['Abgasgegendruck', 'exhaust-pressure'],
  ['Contropressione scarico', 'exhaust-pressure'],
  ['Battery Voltage', 'battery-voltage'],
  ['Gear', 'gear'],
  ['Commanded Gear', 'commanded-gear'],
  ['TCC Slip', 'converter-slip'],
  ['Wastegate Duty', 'wastegate-duty'],
  ['Supercharger bypass', 'bypass-duty'],
  ['Longitudinal Acceleration', 'acceleration'],
  ['Latitude', 'latitude'],
  ['Longitude', 'longitude'],
  ['Altitude', 'altitude'],
  ['Elapsed Time', 'time'],
  ['Time', 'time'],
  ['Timestamp', 'time'],
  // What must not be taken for a reading.
  ['Oil Pressure', null],
  ['Oil Temperature', null],
  ['Engine Oil Temp', null],
  ['Boost Target', null],
  ['Throttle Position Commanded', null],
  ['Engine Speed Limit', null],
  ['Idle Speed Target', null],
  ['Fan Speed', null],
  ['Transmission Fluid Temperature', null],
  ['Fuel Level', null],
  ['Knock Count', null],
  ['MAP Correction', null],
  ['Load Limit', null],
  ['Speed Limiter', null],
  ['Lambda Error', null],
  ['Turbine Speed', null],
  ['Steering angle', null],
  ['Aux 3', null],
  ['Fuel Pressure Desired', null],
  ['Catalyst Temperature', null],
  // One word, two quantities: without a unit nobody can tell.
  ['Ambient', null],
  ['Intake', null],
];

// From memory: the usual words of each language for these channels.
const others: readonly (readonly [string, string])[] = [
  ['Motordrehzahl', 'engine-speed'],
  ['Fahrzeuggeschwindigkeit', 'road-speed'],
  ['Saugrohrdruck absolut', 'manifold-pressure'],
  ['Ladedruck', 'manifold-pressure'],
  ['Kühlmitteltemperatur', 'coolant-temperature'],
  ['Kuehlmitteltemperatur', 'coolant-temperature'],
  ['Ansauglufttemperatur', 'intake-temperature'],
  ['Ladelufttemperatur', 'charge-temperature'],
  ['Drosselklappenstellung', 'throttle'],
  ['Fahrpedalstellung', 'pedal'],
  ['Zündwinkel', 'spark-advance'],
  ['Lambdawert', 'lambda'],
  ['Lambda Soll', 'commanded-lambda'],
  ['Gang', 'gear'],
  ['Zeit', 'time'],
  ['Luftmasse', 'air-mass-flow'],
  ['Régime moteur', 'engine-speed'],
  ['Vitesse véhicule', 'road-speed'],
  ["Pression d'admission", 'manifold-pressure'],
  ['Température liquide de refroidissement', 'coolant-temperature'],
  ["Température d'air d'admission", 'intake-temperature'],
  ['Position papillon', 'throttle'],
  ['Pédale accélérateur', 'pedal'],
  ["Avance à l'allumage", 'spark-advance'],
  ['Temps', 'time'],
  ['Rapport engagé', 'gear'],
  ['Richesse lambda consigne', 'commanded-lambda'],
  ['Régimen del motor', 'engine-speed'],
  ['Velocidad del vehículo', 'road-speed'],
  ['Presión del colector', 'manifold-pressure'],
  ['Temperatura del refrigerante', 'coolant-temperature'],
  ['Posición mariposa', 'throttle'],
  ['Pedal del acelerador', 'pedal'],
  ['Avance de encendido', 'spark-advance'],
  ['Tiempo', 'time'],
  ['Marcha', 'gear'],
  ['Temperatura aire admisión', 'intake-temperature'],
  ['Giri motore', 'engine-speed'],
  ['Velocità veicolo', 'road-speed'],
  ['Pressione collettore', 'manifold-pressure'],
  ['Temperatura acqua', 'coolant-temperature'],
  ['Posizione farfalla', 'throttle'],
  ['Pedale acceleratore', 'pedal'],
  ['Anticipo accensione', 'spark-advance'],
  ['Tempo', 'time'],
  ['Marcia', 'gear'],
  ['Temperatura aria aspirata', 'intake-temperature'],
  ['Rotação do motor', 'engine-speed'],
  ['Velocidade do veículo', 'road-speed'],
  ['Pressão do coletor', 'manifold-pressure'],
  ['Temperatura do líquido de arrefecimento', 'coolant-temperature'],
  ['Posição da borboleta', 'throttle'],
  ['Pedal do acelerador', 'pedal'],
  ['Avanço da ignição', 'spark-advance'],
  ['Temperatura do ar de admissão', 'intake-temperature'],
  ['Tensão da bateria', 'battery-voltage'],
];

describe('channel words', () => {
  it.each(inEnglish)('%s is %s', (name, quantity) => expect(matchWords(name)?.quantity ?? null).toBe(quantity));
  it.each(others)('%s is %s', (name, quantity) => expect(matchWords(name)?.quantity ?? null).toBe(quantity));
  it('does not mind how accents are composed', () => {
    for (const [name, quantity] of others) expect(matchWords(name.normalize('NFD'))?.quantity).toBe(quantity);
  });
});

describe('the lists of words', () => {
  const lists = { english, french, german, italian, portuguese, spanish };
  // Words of two quantities, which only a unit can part.
  const shared = new Set(['manifold', 'intake', 'ambient', 'charge']);

  it.each(Object.entries(lists))('%s: every phrase means what it stands under', (_, words) => {
    for (const [quantity, phrases] of Object.entries(words)) {
      for (const phrase of phrases) {
        const bare = phrase.replace('=', '');
        const flows = quantity === 'fuel-mass-flow' || quantity === 'fuel-volume-flow';
        expect([phrase, matchWords(bare)?.quantity ?? null]).toEqual([phrase, shared.has(bare) || flows ? null : quantity]);
        if (!flows) continue;
        const dimension = quantity === 'fuel-mass-flow' ? 'mass-flow' : 'volume-flow';
        expect([phrase, matchWords(bare, dimension)?.quantity ?? null]).toEqual([phrase, quantity]);
      }
    }
  });
});

describe('name and unit', () => {
  it.each([
    ['Engine RPM [RPM]', '', 'engine-speed', 'rpm'],
    ['Boost (psi)', '', 'manifold-pressure', 'psi'],
    ['Coolant Temp, °F', '', 'coolant-temperature', '°F'],
    ['MAP_kPa', '', 'manifold-pressure', 'kPa'],
    ['Vehicle Speed km/h', '', 'road-speed', 'km/h'],
    ['Manifold pressure (kPa abs)', '', 'manifold-pressure', 'kPa'],
    ['Manifold pressure (kPa (abs))', '', 'manifold-pressure', 'kPa'],
    ['Boost psi gauge', '', 'manifold-pressure', 'psi'],
    ['Time - s', '', 'time', 's'],
    ['Time', 's', 'time', 's'],
    ['Lambda', '-', 'lambda', '1'],
    ['Accel (g)', '', 'acceleration', 'g'],
    ['Longitudinal acceleration (g)', '', 'acceleration', 'g'],
    ['Coolant temperature C', '', 'coolant-temperature', '°C'],
    ['Accelerator Pedal Position D [%]', '', 'pedal', '%'],
    ['Ambient (kPa)', '', 'barometric-pressure', 'kPa'],
    ['Ambient (°C)', '', 'ambient-temperature', '°C'],
    ['Intake (°C)', '', 'intake-temperature', '°C'],
    ['Target (AFR)', '', 'commanded-lambda', 'AFR'],
    ['Error (AFR)', '', null, 'AFR'],
  ] as const)('%s with units row "%s"', (name, row, quantity, unit) => {
    const named = parseName(name, row);
    expect(named.match?.quantity ?? null).toBe(quantity);
    expect(named.unit?.symbol).toBe(unit);
  });

  it('repairs text that was encoded twice, and leaves other text alone', () => {
    expect(repairedText('Temp [Â°C]')).toBe('Temp [°C]');
    expect(repairedText('Injector (Âµs)')).toBe('Injector (µs)');
    expect(repairedText('KÃ¼hlmittel')).toBe('Kühlmittel');
    for (const text of ['Âge', 'Température', 'plain', 'λ', 'São']) expect(repairedText(text)).toBe(text);
  });
});

describe('fuel flow', () => {
  // Common practice, no source: how the trade writes it; by mass or by volume is told by the unit.
  const names: readonly (readonly [string, string, string])[] = [
    ['Fuel flow (L/h)', 'fuel-volume-flow', 'English'],
    ['Fuel flow (kg/h)', 'fuel-mass-flow', 'English'],
    ['Engine fuel rate [g/s]', 'fuel-mass-flow', 'English'],
    ['Fuel mass flow, lb/h', 'fuel-mass-flow', 'English'],
    ['Kraftstoffdurchfluss (l/h)', 'fuel-volume-flow', 'German'],
    ['Kraftstoffmassenstrom [kg/h]', 'fuel-mass-flow', 'German'],
    ['Débit de carburant (L/h)', 'fuel-volume-flow', 'French'],
    ['Caudal de combustible (cc/min)', 'fuel-volume-flow', 'Spanish'],
    ['Portata carburante (kg/h)', 'fuel-mass-flow', 'Italian'],
    ['Vazão de combustível (L/h)', 'fuel-volume-flow', 'Portuguese'],
  ];

  it.each(names)('%s is %s', (name, quantity) => {
    expect(parseName(name, '').match?.quantity).toBe(quantity);
  });

  it('is not taken for air, and means nothing without a unit', () => {
    expect(parseName('Mass flow (g/s)', '').match?.quantity).toBe('air-mass-flow');
    expect(parseName('Fuel flow', '').match).toBeNull();
    expect(parseName('Fuel consumption (L/100km)', '').match).toBeNull();
  });

  it('is held in kg/s or m³/s', () => {
    const rows = Array.from({ length: 40 }, (_, i) => `${(i * 0.04).toFixed(2)},${(36 + i).toFixed(1)},${(60 + i).toFixed(1)}`);
    const read = readLog(utf8(`Time (s),Fuel flow (kg/h),Return fuel flow (L/min)\n${rows.join('\n')}\n`), { path: 'a.csv' });
    // 36 kg/h is 10 g/s; 60 L/min is 1 L/s.
    expect(read.channels[1]).toMatchObject({ quantity: 'fuel-mass-flow', standing: 'recognised' });
    expect(read.channels[1]!.values[0]).toBeCloseTo(0.01, 12);
    // Fuel that goes back to the tank is not burnt.
    expect(read.channels[2]!.quantity).toBeNull();
  });
});

describe('what a channel is', () => {
  const log = (header: string, cell: (i: number) => string, extra: object = {}) =>
    readLog(utf8(`Time (s),${header}\n${Array.from({ length: 60 }, (_, i) => `${(i * 0.04).toFixed(2)},${cell(i)}`).join('\n')}\n`), {
      path: 'a.csv',
      ...extra,
    });

  it('keeps a unit that cannot be settled out of the maths', () => {
    const read = log('Vehicle speed', (i) => String(60 + i));
    expect(read.channels[1]).toMatchObject({ quantity: null, standing: 'unknown' });
    expect(read.findings.map(({ code }) => code)).toEqual(['W_UNIT_UNKNOWN']);
  });

  it('takes a stated quantity, unit and reference', () => {
    const read = log('Col seven', (i) => (5 + (i % 9)).toFixed(1), { channels: new Map([['Col seven', 'manifold-pressure psi gauge']]) });
    expect(read.channels[1]).toMatchObject({ quantity: 'manifold-pressure', unit: 'psi', reference: 'gauge', standing: 'stated' });
    // Source: NIST SP 811 (2008), table B.8: 1 psi = 6.894757 E+03 Pa.
    expect(read.channels[1]!.values[0]).toBeCloseTo(5 * 6894.757, 1);
  });

  it('turns an air-fuel ratio into lambda by the scale of the gauge', () => {
    const read = log('AFR', (i) => (12 + (i % 7) / 10).toFixed(1), { gaugeStoich: 14.7 });
    expect(read.channels[1]!.values[0]).toBe(12 / 14.7);
    expect(log('AFR', (i) => (12 + (i % 7) / 10).toFixed(1), { gaugeStoich: 14.1 }).channels[1]!.values[0]).toBe(12 / 14.1);
  });

  it('refuses a column that is not there, and a quantity that is none', () => {
    expect(() => log('MAP (kPa)', (i) => String(90 + i), { channels: new Map([['Map', 'manifold-pressure kPa abs']]) })).toThrow(
      /E_CHANNEL/,
    );
    expect(() => log('MAP (kPa)', (i) => String(90 + i), { channels: new Map([['MAP (kPa)', 'boostiness kPa']]) })).toThrow(/E_CHANNEL/);
    expect(() => log('MAP (kPa)', (i) => String(90 + i), { channels: new Map([['MAP (kPa)', 'manifold-pressure km/h']]) })).toThrow(
      /E_CHANNEL/,
    );
  });

  it('leaves out what is to be ignored', () => {
    expect(log('MAP (kPa)', (i) => String(90 + i), { channels: new Map([['MAP (kPa)', 'ignore']]) }).channels[1]!.quantity).toBeNull();
  });

  it('tells banks and wheels', () => {
    const read = readLog(
      utf8(
        `Time (s),Lambda Bank 1,Lambda Bank 2,Wheel speed RL (km/h)\n${Array.from({ length: 40 }, (_, i) => `${(i * 0.04).toFixed(2)},${(0.85 + (i % 5) / 100).toFixed(2)},${(0.86 + (i % 7) / 100).toFixed(2)},${50 + i}`).join('\n')}\n`,
      ),
      { path: 'a.csv' },
    );
    expect(read.channels.map(({ bank, position }) => [bank, position])).toEqual([
      [null, null],
      [1, null],
      [2, null],
      [null, 'rear-left'],
    ]);
  });
});
