import type { TopEndCause } from '../../boost/index.js';
import type { TopEndAnalysis } from '../../result/index.js';

/** What to do about each cause with the car standing still. */
const standing: Readonly<Record<TopEndCause, string>> = {
  'belt-slip': 'Look for polish and dust at the pulleys, and check belt tension and wrap.',
  'blower-capacity': 'Compare rotor speed with the maker’s map.',
  'charge-heat': 'Check where the inlet takes its air from, and the cooler’s pump and flow.',
  'restriction-before': 'Check filter, pipes and hoses for what is clogged or has collapsed.',
  'restriction-after': 'Check the exhaust for what blocks it, the catalyst first.',
  'bypass-or-leak': 'Pressure-test the system, and check the bypass by hand.',
  'sensor-ceiling': 'Fit a pressure sensor with a larger range.',
  'throttle-closing': 'Ask the tuner for the torque and airflow limits of the tune: it closes the throttle when one is reached.',
  'torque-limit': 'Ask the tuner which limit of torque, rpm or gear takes the timing, and whether it is meant.',
  'spark-knock': 'Check octane, mixture and charge temperature, and have timing or boost backed off there. Leave the knock control on.',
  'spark-heat': 'Check the cooler’s pump and flow, and ask the tuner how much timing charge temperature takes.',
  mixture: 'Have the fueling set to its target at these rpm.',
  'fuel-pressure': 'Check pump, filter, supply voltage and regulator.',
  'own-breathing': 'Nothing needs to be done about breathing.',
  'too-few-data': 'Leave the question open until the warning is settled.',
};

/** The analysis where no further pull may be asked for: a setup that the warning line stops, or whose knock control acts. */
export function withoutPulls(analysis: TopEndAnalysis): TopEndAnalysis {
  if (analysis.next.length === 0 && analysis.causes.length === 0) return analysis;
  return {
    ...analysis,
    causes: analysis.causes.map((cause) => ({ ...cause, wouldDecide: standing[cause.cause] })),
    next: [...new Set(analysis.leading.map((cause, i) => `${i === 0 ? 'Before another pull: ' : ''}${standing[cause]}`))].slice(0, 4),
  };
}
