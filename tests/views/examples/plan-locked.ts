import type { LockedPlanPage } from '../../../server/plan/view-models';
import { base, frame, hash, study, type ViewExamples } from '../staff/frame';

const model: LockedPlanPage = {
  ...frame('The plan, locked', study('plan', 'locked'), { notice: 'The plan is locked.' }),
  base,
  rows: [
    { label: 'Question', value: 'Which vent does the panel prefer?' },
    { label: 'Prototypes', value: 'Closed bore (CB-01, CB-02), Wide vent (WV-01), Felt damper (FD-03)' },
    { label: 'Panel', value: 'Stage: 8 listeners. Home: 12 listeners.' },
    { label: 'Turns', value: '12 for each listener, over 2 sessions' },
    { label: 'No preference', value: 'Offered; counts as half to each' },
    { label: 'Risks', value: 'α 0.05, β 0.2, smallest share worth finding 75 %, either way' },
    { label: 'Primary comparison', value: 'Wide vent against Closed bore; Holm over the rest' },
    { label: 'Handling', value: 'Two-person, double blind' },
    { label: 'Programme', value: 'A bench player' },
    { label: 'Tips', value: 'Each listener keeps own tips' },
  ],
  planHash: hash('4'),
  commitment: hash('b'),
  lockedAt: '24 November 2026, 10:12',
  lockedBy: 'Mara Winter',
  next: { label: 'Prepare session 1', url: `${base}/prepare` },
};

const examples: ViewExamples<LockedPlanPage> = {
  view: 'plan/locked',
  layout: 'staff',
  examples: [
    { name: 'done', model },
    {
      name: 'single-blind',
      model: {
        ...model,
        notice: null,
        study: study(
          'plan',
          'running',
          'Whoever hands over has seen the sheet. Every report says so in its first line.',
        ),
      },
    },
  ],
};
export default examples;
