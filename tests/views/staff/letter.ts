import { findingsOf } from '../../../server/review/findings';
import { letterOf } from '../../../server/review/letter';
import type { VerdictPage } from '../../../server/review/view-models';
import type { Plan } from '../../../shared/plan';
import { randomStudy, type Wish } from '../../review/random-study';
import { base, field, frame, study } from './frame';

/** The form of the sign-off, empty. */
export const signForm: NonNullable<VerdictPage['sign']> = {
  name: 'Ada',
  barred: null,
  refusingBarred: false,
  deviations: [],
  deviationsError: null,
  meanings: [
    { value: 'approved', label: 'I approve this verdict' },
    { value: 'reviewed', label: 'I have reviewed it' },
  ],
  reason: field('reason'),
  alone: null,
  password: field('password'),
};

/** The verdict page of an invented study that virtual listeners played, or of these findings. */
export function verdictPage(
  plan: Plan,
  wish: Wish,
  more: Partial<VerdictPage> = {},
  found = findingsOf(randomStudy(plan, wish).record, { resamples: 500 }),
): VerdictPage {
  return {
    ...frame('Verdict', study('review', 'unsealed')),
    base,
    ...letterOf(found, plan),
    decision: null,
    sign: signForm,
    waitsFor: null,
    downloads: [
      { label: 'Answers', url: `${base}/review/answers.csv`, detail: 'CSV, one row an answer' },
      { label: 'Record', url: `${base}/review/record.json`, detail: 'JSON, the whole ledger' },
    ],
    ...more,
  };
}
