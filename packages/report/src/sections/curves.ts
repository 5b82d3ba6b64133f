import { bandFigure, powerFigure, torqueFigure } from '@pullproof/figures';
import type { ReportSection } from '../section.js';

/** Power and torque of every setup. */
export const powerSection: ReportSection = {
  id: 'power',
  title: 'Power and torque of each setup',
  render: (result) => [
    [
      { figure: powerFigure(result), caption: 'Wheel power, uncorrected, with bands' },
      { figure: torqueFigure(result), caption: 'Wheel torque at engine speed, uncorrected, with bands' },
    ],
  ],
};

/** Manifold pressure and lambda of every setup. */
export const pressureAndMixtureSection: ReportSection = {
  id: 'pressure',
  title: 'Manifold pressure and mixture',
  render: (result) => [
    [
      { figure: bandFigure(result, { curve: 'manifoldPressurePa' }), caption: 'Manifold pressure, absolute, with bands' },
      { figure: bandFigure(result, { curve: 'lambda' }), caption: 'Lambda, with bands' },
    ],
  ],
};
