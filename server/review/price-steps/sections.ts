import type { PriceStepsFindings } from '../../../shared/findings-price-steps';
import type { Plan } from '../../../shared/plan';
import type { RatedSection } from '../view-models';

/** What the step from one price class to the next buys. As sections of an audience's part of the letter. */
export const priceStepsSections = (_found: PriceStepsFindings, _plan: Plan): RatedSection[] => [];
