import { nearestName } from '../../findings/index.js';
import { FieldProblem, type PlacedProblem } from './fieldProblem.js';
import type { AirFile, CarFile, Conditions, FuelLevel, FuelTypeFile, Inherited, SlipFile } from './trialFile.js';
import type { CheckedFile } from './trialSchema.js';

type Report = (at: PlacedProblem['at'], code: string, what: string, fix: string) => void;

/**
 * What single fields cannot show: values that contradict each other, and values that need another one.
 *
 * @param file as written
 * @param complete the same with every run complete
 */
export function checkTrial(file: CheckedFile, complete: CheckedFile): PlacedProblem[] {
  const problems: PlacedProblem[] = [];
  const report: Report = (at, code, what, fix) => problems.push({ at, problem: new FieldProblem(code, what, fix) });
  checkCar(file.car, report);
  checkInherited(file, [], file.car, report);
  file.outings?.forEach((outing, o) => {
    checkInherited(outing, ['outings', o], file.car, report);
    if (file.outings!.findIndex(({ name }) => name === outing.name) !== o)
      report(['outings', o, 'name'], 'E_TRIAL_CONFLICT', `Two outings are called "${outing.name}".`, 'Give each outing its own name.');
  });
  const names = file.setups.map((setup) => setup.name);
  file.setups.forEach((setup, s) => {
    const at = ['setups', s];
    if (names.indexOf(setup.name) !== s) {
      report(
        [...at, 'name'],
        'E_TRIAL_CONFLICT',
        `Two setups are called "${setup.name}".`,
        'Give each setup its own name, or put the runs under one.',
      );
    }
    checkFuelType(setup['fuel-type'], [...at, 'fuel-type'], report);
    checkInherited(setup, at, file.car, report);
    setup.runs?.forEach((run, r) => {
      checkConditions(run, [...at, 'runs', r], file.car, report);
      checkComplete(complete.setups[s]!.runs![r]!, [...at, 'runs', r], file, report);
      const ratios = file.car['gear-ratios'];
      if (run.gear !== undefined && ratios !== undefined && run.gear > ratios.length) {
        report(
          [...at, 'runs', r, 'gear'],
          'E_TRIAL_CONFLICT',
          `Gear ${run.gear} has no entry in gear-ratios.`,
          'Correct the gear, or add its ratio.',
        );
      }
    });
  });
  if (typeof file.slips === 'object') {
    file.slips.forEach((slip, i) => {
      checkSlip(slip, ['slips', i], names, file.car, report);
      checkComplete((complete.slips as readonly SlipFile[])[i]!, ['slips', i], file, report);
    });
  }
  return problems;
}

function checkCar(car: CarFile, report: Report): void {
  const { weighed, tyre, transmission } = car;
  const ratios = car['gear-ratios'];
  const factors = car['rotating-factor'];
  const inertias = [car['wheel-inertia'], car['engine-inertia']].filter((one) => one !== undefined).length;
  if (weighed !== undefined && car['mass-without-fuel'] !== undefined) {
    report(
      ['car', 'mass-without-fuel'],
      'E_TRIAL_CONFLICT',
      'The mass is given twice, here and by weighed.',
      'Keep the one that was measured.',
    );
  }
  if (car.weight !== undefined && (weighed !== undefined || car['mass-without-fuel'] !== undefined)) {
    report(
      ['car', 'weight'],
      'E_TRIAL_CONFLICT',
      'The car was weighed, and its brochure weight is given too.',
      'Keep the weight from the scale.',
    );
  }
  if (tyre !== undefined && car.tire !== undefined)
    report(['car', 'tire'], 'E_TRIAL_CONFLICT', 'The tire is given twice, as tyre and as tire.', 'Keep one.');
  checkFuelLevel(weighed?.['fuel-in-tank'], ['car', 'weighed', 'fuel-in-tank'], car, report);
  checkFuelType(car['fuel-type'], ['car', 'fuel-type'], report);
  if (tyre !== undefined && car['tyre-radius'] !== undefined) {
    report(
      ['car', 'tyre'],
      'E_TRIAL_CONFLICT',
      'The tyre is given twice, by its size and by tyre-radius.',
      'Keep tyre-radius when it was measured, else tyre.',
    );
  }
  ratios?.forEach((ratio, i) => {
    if (i > 0 && ratio >= ratios[i - 1]!) {
      report(
        ['car', 'gear-ratios', i],
        'E_TRIAL_CONFLICT',
        `${ratio} is not below ${ratios[i - 1]}: ratios fall from gear to gear.`,
        'Check the order, first gear first.',
      );
    }
  });
  if (factors !== undefined && inertias > 0) {
    report(['car', 'rotating-factor'], 'E_TRIAL_CONFLICT', 'Spinning parts are given twice, by factor and by inertia.', 'Keep one.');
  }
  if (inertias === 1) {
    const missing = car['wheel-inertia'] === undefined ? 'wheel-inertia' : 'engine-inertia';
    const given = missing === 'wheel-inertia' ? 'engine-inertia' : 'wheel-inertia';
    report(['car', given], 'E_TRIAL_NEEDS', `It needs ${missing} beside it.`, `Add ${missing}, or leave both out to have them assumed.`);
  }
  if (inertias === 2 && (ratios === undefined || car['final-drive'] === undefined)) {
    report(
      ['car', 'engine-inertia'],
      'E_TRIAL_NEEDS',
      'It needs gear-ratios and final-drive to count at the wheels.',
      'Add both, or leave the inertias out.',
    );
  }
  for (const gear of factors?.keys() ?? []) {
    if (ratios !== undefined && gear > ratios.length) {
      report(
        ['car', 'rotating-factor', String(gear)],
        'E_TRIAL_CONFLICT',
        `Gear ${gear} has no entry in gear-ratios.`,
        'Add its ratio or take the factor out.',
      );
    }
  }
  if (car['lock-up'] !== undefined && transmission !== undefined && transmission !== 'automatic') {
    report(
      ['car', 'lock-up'],
      'E_TRIAL_CONFLICT',
      `A ${transmission} transmission has no converter to lock.`,
      'Take it out, or say transmission: automatic.',
    );
  }
  const { lambda, 'leanest-lambda': leanest } = car.targets ?? {};
  if (lambda !== undefined && leanest !== undefined && leanest < lambda) {
    report(
      ['car', 'targets', 'leanest-lambda'],
      'E_TRIAL_CONFLICT',
      `${leanest} is richer than the lambda aimed at, ${lambda}.`,
      'Give the leanest lambda you would accept at full load.',
    );
  }
}

function checkConditions(conditions: Conditions, at: PlacedProblem['at'], car: CarFile, report: Report): void {
  const { from, to } = conditions;
  checkInherited(conditions, at, car, report);
  checkFuelType(conditions['fuel-type'], [...at, 'fuel-type'], report);
  if (from !== undefined && to !== undefined && to.si <= from.si) {
    report([...at, 'to'], 'E_TRIAL_CONFLICT', `It ends at ${to.text}, not after it begins at ${from.text}.`, 'Swap or correct them.');
  }
}

function checkInherited(part: Inherited | Omit<Inherited, 'outing'>, at: PlacedProblem['at'], car: CarFile, report: Report): void {
  checkFuelLevel(part['fuel-in-tank'], [...at, 'fuel-in-tank'], car, report);
  if (part.air !== undefined) checkAir(part.air, [...at, 'air'], report);
}

/** What a run needs once all that it inherits is in it. */
function checkComplete({ air = {}, outing }: Conditions, at: PlacedProblem['at'], { outings }: CheckedFile, report: Report): void {
  if (air.altimeter !== undefined && air.elevation === undefined) {
    report(
      [...at, 'air', 'altimeter'],
      'E_TRIAL_NEEDS',
      'An altimeter setting needs the elevation to become the pressure at the road.',
      'Add elevation, such as 610 ft.',
    );
  }
  if (air['dew-point'] !== undefined && air.temperature === undefined) {
    report(
      [...at, 'air', 'dew-point'],
      'E_TRIAL_NEEDS',
      'A dew point needs the temperature beside it.',
      'Add temperature, or give humidity instead.',
    );
  }
  if (outings === undefined || outing === undefined || outings.some(({ name }) => name === outing)) return;
  const names = outings.map(({ name }) => name);
  const nearest = nearestName(outing, names);
  const fix = nearest === null ? `Outings are ${names.join(', ')}.` : `Did you mean ${nearest}?`;
  report([...at, 'outing'], 'E_TRIAL_CONFLICT', `"${outing}" is not in the list of outings.`, fix);
}

function checkAir(air: AirFile, at: PlacedProblem['at'], report: Report): void {
  const { pressure, altimeter, temperature, humidity } = air;
  const dewPoint = air['dew-point'];
  if (pressure !== undefined && altimeter !== undefined) {
    report(
      [...at, 'altimeter'],
      'E_TRIAL_CONFLICT',
      'The air pressure is given twice, as station pressure and as altimeter setting.',
      'Keep the station pressure.',
    );
  }
  if (humidity !== undefined && dewPoint !== undefined) {
    report([...at, 'dew-point'], 'E_TRIAL_CONFLICT', 'The moisture is given twice, as humidity and as dew point.', 'Keep one.');
  }
  if (dewPoint !== undefined && temperature !== undefined && dewPoint.si > temperature.si + 1e-6) {
    report(
      [...at, 'dew-point'],
      'E_TRIAL_CONFLICT',
      `${dewPoint.text} lies above the air temperature, ${temperature.text}.`,
      'Check both; a dew point is at most the temperature.',
    );
  }
}

function checkFuelLevel(level: FuelLevel | undefined, at: PlacedProblem['at'], car: CarFile, report: Report): void {
  if (level?.kind === 'share' && car.tank === undefined) {
    report(at, 'E_TRIAL_NEEDS', `${level.text} of a tank of unknown volume says nothing.`, 'Add car.tank, such as 60 L, or give a volume.');
  }
  if (level?.kind === 'volume' && car.tank !== undefined && level.si > 1.1 * car.tank.si) {
    report(at, 'E_TRIAL_CONFLICT', `${level.text} does not fit in the tank of ${car.tank.text}.`, 'Check both.');
  }
}

function checkFuelType(fuelType: FuelTypeFile | undefined, at: PlacedProblem['at'], report: Report): void {
  if (fuelType === undefined) return;
  const given = [fuelType.ethanol, fuelType['stoich-afr']].filter((one) => one !== undefined).length;
  if (given === 2) report(at, 'E_TRIAL_CONFLICT', 'The fuel is given twice, by ethanol and by stoich-afr.', 'Keep one.');
  if (given === 0)
    report(at, 'E_TRIAL_MISSING', 'It names neither ethanol nor stoich-afr.', 'Write { ethanol: 10 % } or { stoich-afr: 14.1 }.');
}

function checkSlip(slip: SlipFile, at: PlacedProblem['at'], names: readonly string[], car: CarFile, report: Report): void {
  checkConditions(slip, at, car, report);
  if (names.includes(slip.setup)) return;
  const nearest = nearestName(slip.setup, names);
  const fix = nearest === null ? `Setups are ${names.join(', ')}.` : `The nearest setup is ${nearest}.`;
  report([...at, 'setup'], 'E_TRIAL_CONFLICT', `"${slip.setup}" is not a setup of this trial.`, fix);
}
