import { handsOver } from '../../shared/plan';
import { planOf } from '../command';
import type { Room } from '../roles/rights';
import type { StudyRow } from '../store/tables';

/** What comes next in a study, and where; or where somebody can go whose part in it is another. */

interface Step {
  label: string;
  tab: Exclude<Room, 'team'>;
}

const steps: Record<StudyRow['state'], Step> = {
  draft: { label: 'Go on planning', tab: 'plan' },
  locked: { label: 'Prepare the samples', tab: 'prepare' },
  running: { label: 'Go to the desk', tab: 'run' },
  closed: { label: 'Unseal', tab: 'review' },
  unsealed: { label: 'Read and sign', tab: 'review' },
  signed: { label: 'Read the verdict', tab: 'review' },
  refused: { label: 'Read the verdict', tab: 'review' },
};

const otherwise: readonly Step[] = [
  { label: 'Go to the desk', tab: 'run' },
  { label: 'Go to the sheets', tab: 'prepare' },
  { label: 'Go to the review', tab: 'review' },
  { label: 'Read the plan', tab: 'plan' },
];

/** Null for whoever has no part in it. Renders aren't prepared by hand: what comes first is their files. */
export function nextStep(study: Pick<StudyRow, 'id' | 'state' | 'plan'>, open: readonly Room[]): NextStep | null {
  const { id, state } = study;
  if (state === 'locked' && open.includes('prepare') && !handsOver(planOf(study))) {
    return { label: 'Bring the files', url: `/studies/${id}/sound` };
  }
  const step = [steps[state], ...otherwise].find(({ tab }) => open.includes(tab));
  return step ? { label: step.label, url: `/studies/${id}/${step.tab}` } : null;
}

export interface NextStep {
  label: string;
  url: string;
}
