import type { TrialResult } from '@pullproof/core';
import { type CurvesOptions, curvesFigure, type NamedCurve } from './curveFigure.js';
import { displayUnits, plainUnit, shareInPercent } from './displayUnits.js';
import type { Figure } from './figure.js';

/** Courses of the fuel supply that can be shown. */
export type FuelQuantity = 'duty' | 'pressureAcross' | 'shortfall' | 'fuelFlow';

/**
 * One course of the fuel supply of every setup against engine speed, with bands.
 * @param result the trial's result
 * @param options `quantity`: injector duty with its limits, pressure across the injectors, fuel pressure less what it should be, or fuel flow
 * @returns a figure as plain data; setups without it say why
 */
export function fuelFigure(result: TrialResult, options: { readonly quantity: FuelQuantity }): Figure {
  const { pressure } = displayUnits[result.units];
  const shown = {
    duty: { title: 'Injector duty', unit: shareInPercent, tickFormat: '~f', levels: dutyLimits(result) },
    pressureAcross: { title: 'Pressure across the injectors', unit: pressure },
    shortfall: { title: 'Fuel pressure less what it should be', unit: pressure, levels: [{ valueSi: 0, label: '' }] },
    fuelFlow: { title: 'Fuel flow', unit: { ...plainUnit('g/s', 1), fromSi: (value: number): number => 1000 * value } },
  } satisfies Record<FuelQuantity, CurvesOptions>;
  return curvesFigure(
    result.setups.map((setup, place) => ({ name: setup.name, place, ...courseOf(setup, options.quantity) })),
    shown[options.quantity],
  );
}

/** Duties at which the injectors are taken to have run out, each once. */
function dutyLimits({ setups }: TrialResult): { readonly valueSi: number; readonly label: string }[] {
  const limits = setups.flatMap(({ fuelSupply }) => fuelSupply?.headroom ?? []).flatMap(({ limits: all }) => all);
  return [...new Set(limits.map(({ limitDuty }) => limitDuty))].map((valueSi) => ({
    valueSi,
    label: valueSi < 1 ? 'usual limit' : 'never closed',
  }));
}

function courseOf({ fuelSupply }: TrialResult['setups'][number], quantity: FuelQuantity): Pick<NamedCurve, 'curve' | 'status'> {
  if (fuelSupply === null || fuelSupply === undefined) return { curve: null, status: 'no pull that could be used' };
  const course = {
    duty: { curve: fuelSupply.duty?.curve ?? null, status: fuelSupply.status },
    pressureAcross: { curve: fuelSupply.pressureAcross?.curve ?? null, status: 'no fuel pressure, or rail, is known' },
    shortfall: { curve: fuelSupply.sag?.shortfallPa ?? null, status: fuelSupply.sagStatus },
    fuelFlow: { curve: fuelSupply.fuelFlowKgPerS?.curve ?? null, status: 'neither injectors nor a flow channel tell it' },
  }[quantity];
  return course.status === null ? { curve: course.curve } : { curve: course.curve, status: course.status.replace(/\.$/, '') };
}
