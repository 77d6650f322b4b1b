import type { OverTimeFindings } from '../../../shared/findings-over-time';
import type { Plan } from '../../../shared/plan';
import type { RatedSection } from '../view-models';

/** What time did to the answer that the verdict is about. As sections of an audience's part of the letter. */
export const overTimeSections = (_found: OverTimeFindings, _plan: Plan): RatedSection[] => [];
