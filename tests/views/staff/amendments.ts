import { type AmendmentRow, amendmentRow } from '../../../server/amendment-words';
import { aPlan } from '../../blinding/a-plan';

const plan = aPlan({
  audiences: [
    ['stage', 8],
    ['home', 12],
  ],
  sessions: 3,
});

/** Two amendments of an invented study, the second one after closing. */
export const amendments: AmendmentRow[] = [
  {
    number: 1,
    at: '2026-11-25T09:12:00Z',
    by: 'Mara Winter',
    reason: 'Two of the stage listeners fell ill, so two more are asked, on one more evening.',
    seen: { kind: 'progress' as const, words: '' },
    facts: { answers: 96, sheets: ['Jonas Feld'], blindReview: [], codes: [] },
    changes: [
      { path: 'audiences.0.listeners', from: 8, to: 10 },
      { path: 'sessions.count', from: 2, to: 3 },
      { path: 'sessions.maximumSpanDays', from: 14, to: 0 },
      { path: 'checkIn.tiredness', from: 'pass', to: 'mark' },
      { path: 'exclusions', from: [], to: ['marked', 'outside-listening'] },
    ],
    reopened: false,
  },
  {
    number: 2,
    at: '2026-12-02T16:40:00Z',
    by: 'Mara Winter',
    reason: 'Closed by mistake before the last evening.',
    seen: { kind: 'key' as const, words: 'One code was revealed to me after a rash' },
    facts: { answers: 188, sheets: ['Jonas Feld'], blindReview: ['Mara Winter'], codes: ['Mara Winter'] },
    changes: [],
    reopened: true,
  },
].map((one) => amendmentRow(plan, one));
