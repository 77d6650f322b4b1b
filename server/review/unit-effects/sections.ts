import type { UnitEffectsFindings } from '../../../shared/findings-unit-effects';
import type { Plan } from '../../../shared/plan';
import type { RatedSection } from '../view-models';

/** What units of one prototype differ by. As sections of an audience's part of the letter. */
export const unitEffectsSections = (_found: UnitEffectsFindings, _plan: Plan): RatedSection[] => [];
