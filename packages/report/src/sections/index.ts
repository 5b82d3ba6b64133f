import type { ReportSection } from '../section.js';
import { answerSection } from './answer.js';
import { assumptionsSection } from './assumptions.js';
import { bandPartsSection } from './bandParts.js';
import { calculatedSection } from './calculated.js';
import { allChangesSection, changedSection } from './changed.js';
import { changeSheetSection } from './changeSheet.js';
import { conditionsSection } from './conditions.js';
import { correctedSection } from './corrected.js';
import { powerSection } from './curves.js';
import { differenceSection, regionsSection } from './difference.js';
import { findingsSection } from './findings.js';
import { fuelSupplySection } from './fuelSupply.js';
import { mixtureSection } from './mixture.js';
import { nextSection } from './next.js';
import { pressureSection } from './pressure.js';
import { cautionsSection, provenanceSection } from './provenance.js';
import { chargeTemperatureSection, pullsSection } from './pulls.js';
import { routesSection } from './routes.js';
import { topEndSection } from './topEnd.js';
import { warningSection, watchedSection } from './warning.js';

/** The first screen, in this order: it has to answer in five seconds. */
export const firstScreen: readonly ReportSection[] = [answerSection, warningSection, changedSection, differenceSection, nextSection];

/** What follows, for an hour of doubt. A new part of the product adds its section here. */
export const furtherSections: readonly ReportSection[] = [
  regionsSection,
  allChangesSection,
  powerSection,
  topEndSection,
  pullsSection,
  chargeTemperatureSection,
  pressureSection,
  mixtureSection,
  fuelSupplySection,
  routesSection,
  calculatedSection,
  watchedSection,
  conditionsSection,
  changeSheetSection,
  bandPartsSection,
  assumptionsSection,
  findingsSection,
  correctedSection,
  cautionsSection,
  provenanceSection,
];
