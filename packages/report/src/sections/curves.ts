import { powerFigure, torqueFigure } from '@pullproof/figures';
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
