import type { Evidence, LoadedRun } from '../pulls/index.js';
import type { Contradiction } from '../result/index.js';
import { numberText } from '../units/index.js';
import { shown } from './shown.js';

const poundKg = 0.45359237;

/** What was typed against what cars, drivers, tires and weather can be. The windows are wide; common practice, no source. */
export function typedValues(evidence: Evidence): Contradiction[] {
  return [...weight(evidence), ...driver(evidence), ...tireRadius(evidence), ...humidity(evidence), ...roadLoad(evidence)];
}

interface Odd {
  readonly name: string;
  readonly what: string;
  readonly field: string;
  readonly value: number;
  readonly unit: string;
  readonly shown: string;
  readonly usual: string;
  readonly mistake: Contradiction['mistakes'][number];
  readonly fix: string;
  readonly setups: readonly string[];
  readonly share: number;
}

function told({ name, what, field, value, unit, shown: text, usual, mistake, fix, setups, share }: Odd): Contradiction {
  return {
    name,
    setups,
    sources: [
      { what, value, unit, shown: text, where: field },
      { what: 'what is usual', value: null, unit, shown: usual, where: 'rule of thumb' },
    ],
    difference: 'outside of it',
    effects: setups.map((setup) => ({ setup, share })),
    mistakes: [mistake],
    fix,
  };
}

/** A car in pounds typed as kilograms, or the other way round. */
function weight({ file, setups }: Evidence): Contradiction[] {
  const written = file.car.weighed?.mass ?? file.car['mass-without-fuel'];
  if (written === undefined) return [];
  const kg = written.si;
  const field = file.car.weighed === undefined ? 'car.mass-without-fuel' : 'car.weighed.mass';
  const base = {
    name: 'weight of the car',
    what: 'the weight entered',
    field,
    value: kg,
    unit: 'kg',
    shown: written.text,
    setups: names(setups),
  };
  const usual = `${shown.mass(700, file.units)} to ${shown.mass(2800, file.units)} for a car`;
  if (written.system === 'metric' && kg > 2900 && kg * poundKg > 750) {
    const sentence = `${written.text} is a number of pounds (${numberText(kg, 0)} lb is ${numberText(kg * poundKg, 0)} kg)`;
    return [
      told({
        ...base,
        usual,
        mistake: { name: 'mass', sentence },
        fix: `Write ${numberText(kg, 0)} lb, or the weight in kg.`,
        share: 1 / poundKg - 1,
      }),
    ];
  }
  const number = kg / poundKg;
  if (written.system === 'imperial' && kg < 750 && number > 800) {
    const sentence = `${written.text} is a number of kilograms`;
    return [
      told({
        ...base,
        usual,
        mistake: { name: 'mass', sentence },
        fix: `Write ${numberText(number, 0)} kg, or the weight in lb.`,
        share: poundKg - 1,
      }),
    ];
  }
  return [];
}

function driver({ file, setups }: Evidence): Contradiction[] {
  const written = file.car.driver;
  if (written === undefined || written.system !== 'metric' || written.si < 145 || written.si * poundKg > 140) return [];
  const base = {
    name: 'weight of the driver',
    what: 'the driver entered',
    field: 'car.driver',
    value: written.si,
    unit: 'kg',
    shown: written.text,
  };
  const mass = setups[0]?.runs[0]?.inputs.massKg.value ?? 1500;
  return [
    told({
      ...base,
      usual: `${shown.mass(45, file.units)} to ${shown.mass(140, file.units)} for a driver`,
      mistake: { name: 'driver', sentence: `${written.text} is a number of pounds` },
      fix: `Write ${numberText(written.si, 0)} lb, or the weight in kg.`,
      setups: names(setups),
      share: (written.si * (1 - poundKg)) / mass,
    }),
  ];
}

function tireRadius({ file, setups }: Evidence): Contradiction[] {
  const runs = setups.flatMap((setup) => setup.runs);
  const odd = runs.filter(
    ({ inputs }) => inputs.tyreRadiusM.standing === 'entered' && (inputs.tyreRadiusM.value > 0.45 || inputs.tyreRadiusM.value < 0.22),
  );
  const first = odd[0];
  if (first === undefined) return [];
  const { value } = first.inputs.tyreRadiusM;
  const sentence =
    value > 0.45
      ? `${shown.radius(value, file.units)} is the diameter, not the radius`
      : `${shown.radius(value, file.units)} is mistyped, or the radius of the rim`;
  return [
    told({
      name: 'tire radius',
      what: 'the rolling radius entered',
      field: first.inputs.tyreRadiusM.source,
      value,
      unit: 'm',
      shown: shown.radius(value, file.units),
      usual: `${shown.radius(0.25, file.units)} to ${shown.radius(0.42, file.units)} for a tire`,
      mistake: { name: 'tyre-radius', sentence },
      fix: 'Give half the rolling diameter, or the tire size: car.tyre: 245/45R17.',
      setups: setupsOf(odd),
      share: 0.02,
    }),
  ];
}

/** `0.45 %` is 45 % typed as a share. */
function humidity({ setups }: Evidence): Contradiction[] {
  const odd = setups
    .flatMap((setup) => setup.runs)
    .filter(
      ({ inputs }) =>
        inputs.relativeHumidity.standing === 'entered' && inputs.relativeHumidity.value > 0 && inputs.relativeHumidity.value < 0.015,
    );
  const first = odd[0];
  if (first === undefined) return [];
  const { value, source } = first.inputs.relativeHumidity;
  return [
    told({
      name: 'humidity',
      what: 'the humidity entered',
      field: source,
      value,
      unit: '1',
      shown: `${numberText(100 * value, 2)}%`,
      usual: '5% to 100%',
      mistake: { name: 'humidity', sentence: `${numberText(10000 * value, 0)}% was meant` },
      fix: `Write humidity: ${numberText(10000 * value, 0)} %.`,
      setups: setupsOf(odd),
      share: 0.005,
    }),
  ];
}

function roadLoad({ file, setups }: Evidence): Contradiction[] {
  const list: Contradiction[] = [];
  const drag = file.car['drag-area'];
  const first = setups[0]?.runs[0]?.inputs;
  if (drag !== undefined && drag !== 'from coast-downs' && (drag.si > 1.3 || drag.si < 0.35)) {
    list.push(
      told({
        name: 'drag area',
        what: 'the drag area entered',
        field: 'car.drag-area',
        value: drag.si,
        unit: 'm²',
        shown: drag.text,
        usual: '0.45 to 1.2 m^2 for a car',
        mistake: { name: 'drag-area', sentence: `${drag.text} is mistyped, or the frontal area without Cd` },
        fix: 'Give Cd times frontal area, or: drag-area: from coast-downs.',
        setups: names(setups),
        share: 0.1,
      }),
    );
  }
  const rolling = first?.rollingCoefficient;
  if (rolling !== undefined && rolling.standing === 'entered' && (rolling.value > 0.03 || rolling.value < 0.006)) {
    list.push(
      told({
        name: 'rolling coefficient',
        what: 'the rolling coefficient entered',
        field: 'car.rolling-coefficient',
        value: rolling.value,
        unit: '1',
        shown: String(rolling.value),
        usual: '0.008 to 0.02 on a road',
        mistake: { name: 'rolling-coefficient', sentence: `${rolling.value} is mistyped` },
        fix: 'Give a value near 0.0125, or: rolling-coefficient: from coast-downs.',
        setups: names(setups),
        share: 0.1,
      }),
    );
  }
  return list;
}

const names = (setups: readonly { readonly name: string }[]): string[] => setups.map(({ name }) => name);

function setupsOf(runs: readonly LoadedRun[]): string[] {
  return [...new Set(runs.map(({ inputs }) => inputs.setup))];
}
