import type { ListenersFindings } from '../../../shared/findings-listeners';
import type { Plan } from '../../../shared/plan';
import type { RatedSection } from '../view-models';

/** How each listener answers. As sections of an audience's part of the letter. */
export const listenersSections = (_found: ListenersFindings, _plan: Plan): RatedSection[] => [];
