import type { SetupResult, TrialResult } from '@pullproof/core';
import { inertText } from './inertText.js';
import { wrapped } from './layout.js';
import { type Style, shownBy } from './style.js';

/** Fuel, power by other routes, and bolts in a line each: headroom of every setup, routes that disagree, fasteners that are flagged. */
export function supplyLines({ setups }: TrialResult, style: Style): string[] {
  const lines = setups.flatMap((setup) => setupLines(setup, setups.length > 1));
  if (lines.length === 0) return [];
  return [...lines.flatMap((line) => wrapped(shownBy(inertText(line), style), style.width, '  - ', '    ')), ''];
}

function setupLines({ name, fuelSupply, routes, changeSheet }: SetupResult, named: boolean): string[] {
  const of = named ? `${name}: ` : '';
  const flagged = (changeSheet?.fasteners ?? []).filter(({ flag }) => flag !== 'none' && flag !== 'cannot tell');
  return [
    // As measured, and as forecast: the second half is the one that cautions.
    ...(fuelSupply === null || fuelSupply === undefined || fuelSupply.headroom.length === 0
      ? []
      : [`${of}${fuelSupply.headroom.map(({ sentence }) => sentence).join(' ')}`]),
    ...(routes?.answer === 'disagree' ? [`${of}${routes.sentence}`] : []),
    ...flagged.map(({ where, sentence }) => `${of}${where}: ${sentence}`),
  ];
}
