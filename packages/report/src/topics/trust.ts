import type { TrialResult } from '@pullproof/core';
import { displayUnits, numberText } from '@pullproof/figures';
import { cautionsOf } from '../first/warningStrip.js';
import { shortName } from '../html.js';
import { assumptionsSection } from '../sections/assumptions.js';
import { bandPartsSection } from '../sections/bandParts.js';
import { changeSheetSection } from '../sections/changeSheet.js';
import { conditionsSection } from '../sections/conditions.js';
import { findingsSection } from '../sections/findings.js';
import { cautionsSection, provenanceSection } from '../sections/provenance.js';
import { sharpenSection } from '../sections/sharpen.js';
import { plainName } from '../text.js';
import { blocksOf, plural, type TopicMaker } from './parts.js';

export const conditionsTopic: TopicMaker = (result) => {
  const blocks = blocksOf(result, [conditionsSection]);
  if (blocks.length === 0) return null;
  const assumed = result.setups.some(({ runs }) => runs.some(({ air }) => air.densityKgPerM3.standing === 'assumed'));
  return {
    id: 'conditions',
    title: 'Weight and weather',
    state: assumed ? 'look' : 'plain',
    status: assumed ? 'weather assumed' : 'entered',
    sentence: `${weightText(result)} ${densityText(result)}`.trim(),
    open: false,
    blocks,
  };
};

function weightText({ setups, units }: TrialResult): string {
  const { mass } = displayUnits[units];
  const known = setups.flatMap(({ runs }) => runs.flatMap(({ massKg }) => (massKg.value === null ? [] : [massKg.value])));
  if (known.length === 0) return '';
  const [low, high] = [Math.min(...known), Math.max(...known)].map((value) => numberText(mass.fromSi(value), mass.decimals)) as [
    string,
    string,
  ];
  return `${low === high ? low : `${low} to ${high}`} ${mass.symbol} as driven.`;
}

function densityText({ setups }: TrialResult): string {
  const known = setups.flatMap(({ runs }) => runs.flatMap(({ air }) => air.densityKgPerM3.value ?? []));
  if (known.length < 2) return '';
  const share = 100 * (Math.max(...known) / Math.min(...known) - 1);
  return `Air density differs by ${share < 0.05 ? 'under 0.1' : `up to ${numberText(share, 1)}`}%.`;
}

export const sureTopic: TopicMaker = (result) => {
  const most = result.comparisons[0]?.bandParts[0];
  const assumed = result.assumptions.length;
  return {
    id: 'sure',
    title: 'How sure',
    state: 'plain',
    status: `${assumed} assumed`,
    sentence: `${plural(assumed, 'value')} ${assumed === 1 ? 'was' : 'were'} assumed.${most === undefined ? '' : ` Most of the margin: ${shortName(plainName(most.name), 60)}.`}`,
    open: false,
    blocks: blocksOf(result, [sharpenSection, bandPartsSection, assumptionsSection], { headings: true }),
  };
};

export const changeSheetTopic: TopicMaker = (result) => {
  const blocks = blocksOf(result, [changeSheetSection]);
  if (blocks.length === 0) return null;
  const all = result.setups.flatMap(({ changeSheet }) => changeSheet?.fasteners ?? []);
  const flagged = all.filter(({ flag }) => flag === 'above' || flag === 'below' || flag === 'another unit meant');
  return {
    id: 'change-sheet',
    title: 'Change sheet',
    state: flagged.length > 0 ? 'look' : 'plain',
    status: flagged.length > 0 ? 'check a torque' : 'as entered',
    sentence:
      flagged.length > 0
        ? `${shortName(flagged[0]!.where, 60)}: torque looks wrong.`
        : `${all.length === 0 ? 'What was changed for each setup.' : `${plural(all.length, 'fastener')}, nothing flagged.`}`,
    open: false,
    blocks,
  };
};

export const logQualityTopic: TopicMaker = (result) => {
  const cautions = cautionsOf(result.findings);
  const errors = cautions.filter(({ severity }) => severity === 'error').length;
  const notes = result.findings.length - cautions.length;
  return {
    id: 'log-quality',
    title: 'Log quality',
    state: cautions.length > 0 ? 'look' : 'plain',
    status: errors > 0 ? plural(errors, 'error') : cautions.length > 0 ? plural(cautions.length, 'warning') : 'no warning',
    sentence: `${plural(errors, 'error')}, ${plural(cautions.length - errors, 'warning')}, ${plural(notes, 'note')}.`,
    open: errors > 0,
    blocks: blocksOf(result, [findingsSection]),
  };
};

export const computedTopic: TopicMaker = (result) => ({
  id: 'computed',
  title: 'How it was computed',
  state: 'plain',
  status: `version ${result.provenance.version}`,
  sentence: `From ${plural(result.provenance.inputs.length, 'log')}; the same files give the same answer.`,
  open: false,
  blocks: blocksOf(result, [provenanceSection, cautionsSection]),
});
