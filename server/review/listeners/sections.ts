import type { ListenersFindings } from '../../../shared/findings-listeners';
import type { Plan } from '../../../shared/plan';
import type { RatedSection } from '../view-models';
import { preferenceSection } from './preference';
import { rankingSection } from './ranking';
import { ratingSection } from './rating';
import { rightSection } from './right';
import { yesNoSection } from './yes-no';

/** How each listener answers. As sections of an audience's part of the letter. */
export function listenersSections(found: ListenersFindings, plan: Plan): RatedSection[] {
  switch (found.kind) {
    case 'right':
      return [rightSection(found, plan)];
    case 'yes-no':
      return [yesNoSection(found, plan)];
    case 'preference':
      return [preferenceSection(found, plan)];
    case 'ranking':
      return [rankingSection(found)];
    case 'rating':
      return ratingSection(found, plan);
  }
}
