import type { Plan } from '../../shared/plan';
import { blindLabel, blindWeakness, handlingWords } from '../plan-words';
import { namesSaid } from './role-words';

export interface Earned {
  /** What the report may call the study. */
  label: string;
  because: string;
}

/** Whoever brought the files knows them apart, and is told no more of what plays than a listener is. */
const playsWords =
  'Nobody handles samples: the server makes and plays a file for each; who brought the files is told no more than others of which one plays.';
/** The same, once it is over. */
export const playedWords =
  'Nobody handled samples: the server made and played a file for each; who brought the files was told no more than others of which one played.';

/** How blind a study is by its handling and its team; the same wherever it is promised. */
export function earnedLabel(
  plan: { handling: Plan['handling']; method: { id: string } },
  team: { preparers: readonly string[]; operators: readonly string[] },
): Earned {
  if (plan.handling === 'server') return { label: blindLabel(plan), because: playsWords };
  const both = team.preparers.filter((name) => team.operators.includes(name));
  if (plan.handling === 'solo') {
    return { label: handlingWords.solo.label, because: 'By plan, whoever loads the carriers also hands them over.' };
  }
  if (both.length > 0) {
    const load = both.length === 1 ? 'loads the carriers and hands' : 'load the carriers and hand';
    return { label: handlingWords.solo.label, because: `${namesSaid(both)} ${load} them over.` };
  }
  const label = blindLabel(plan);
  const weakness = blindWeakness(plan);
  if (weakness !== null) return { label, because: weakness };
  return plan.handling === 'day-code'
    ? { label, because: 'Who hands over did not load. Codes last the day, so a sample can be known again within it.' }
    : { label, because: 'Neither who hands over nor who listens knows which sample is which.' };
}
