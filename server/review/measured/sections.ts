import type { MeasuredFindings } from '../../../shared/findings-measured';
import type { Plan } from '../../../shared/plan';
import type { RatedSection } from '../view-models';
import { mapSections } from './map-sections';
import { responsesSections } from './responses-section';

/** Measured against heard, and maps, as sections of the letter: they explore, and decide nothing. */
export const measuredSections = ({ responses, maps = [] }: MeasuredFindings, plan: Plan): RatedSection[] => [
  ...(responses ? responsesSections(responses, plan) : []),
  ...maps.flatMap((map) => mapSections(map, plan)),
];
