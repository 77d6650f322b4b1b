import type { MeasuredFindings } from '../../../shared/findings-measured';
import type { Plan } from '../../../shared/plan';
import type { RatedSection } from '../view-models';

/** Measured against heard, as sections of the letter. */
export const measuredSections = (_found: MeasuredFindings, _plan: Plan): RatedSection[] => [];
