import type { DataListener, DataPage, DataTrial } from '../../../server/review/data-view';
import { base, field, frame, problem, study, type ViewExamples } from '../staff/frame';

const trial = (n: number, more: Partial<DataTrial> = {}): DataTrial => ({
  trial: String(n),
  codes: `4\u20091\u2009${n} · 5\u20098\u2009${n}`,
  answer: `4\u20091\u2009${n}`,
  each: [],
  at: `14:${10 + n}:0${n}`,
  took: `${8 + n}.4\u00a0s`,
  marks: '',
  leftOut: false,
  ...more,
});
const listener = (number: number, more: Partial<DataListener> = {}): DataListener => ({
  number,
  label: `Stage ${number}`,
  summary: '2 sittings · 6 of 6 answered',
  open: false,
  sittings: [1, 2].map((session) => ({
    heading: `Session ${session}, 2026-11-2${session}, 14:02\u00a0UTC`,
    marks: '',
    trials: [1, 2, 3].map((n) => trial(n)),
  })),
  form: {
    targets: [1, 2, 3].map((n) => ({ value: `trial:T${n}`, label: `Session 1, trial ${n}`, chosen: n === 1 })),
    targetId: `target-${number}`,
    targetError: null,
    reason: { ...field('reason'), id: `reason-${number}` },
  },
  ...more,
});
const second = listener(2, {
  open: true,
  summary: '2 sittings · 5 of 6 answered · 1 left out',
  sittings: [
    {
      heading: 'Session 1, 2026-11-21, 14:02\u00a0UTC',
      marks: 'cut short · marked at check-in',
      trials: [
        trial(1, { marks: 'left out: a door slammed while it played', leftOut: true }),
        trial(2, { answer: 'no preference' }),
        trial(3, { answer: '–', at: '', took: '', marks: 'never answered' }),
      ],
    },
    {
      heading: 'Session 2, 2026-11-22, 14:02\u00a0UTC',
      marks: '',
      trials: [trial(1, { marks: 'voided: Wrong sample handed over' }), trial(2), trial(3)],
    },
  ],
});
const wrongReason = 'The reason must have at least 3 characters; it has 0.';

const page = (more: Partial<DataPage> = {}, data: Partial<NonNullable<DataPage['data']>> = {}): DataPage => ({
  ...frame('The data, by code', study('review', 'closed')),
  base: `${base}/review`,
  stage: 'sealed',
  why: null,
  data: {
    openedBy: 'Mara Winter, 2026-11-25, 17:41\u00a0UTC',
    queries: [
      { count: 1, label: 'Trials never answered', detail: 'Their sitting ended first. They are in no analysis.' },
      { count: 1, label: 'Answers kept apart', detail: 'They came after closing, and count nowhere.' },
    ],
    incidents: [
      { at: '2026-11-21, 14:32\u00a0UTC', what: 'Noise: delivery at the door', who: 'the room' },
      { at: '2026-11-21, 14:10\u00a0UTC', what: 'Sample at fault', who: 'Stage 2' },
    ],
    apart: [
      {
        who: 'Stage 2, session 1, trial 3',
        at: '2026-11-25, 18:02\u00a0UTC',
        answer: '4\u20091\u20093',
        why: 'the study was closed',
      },
    ],
    leftOut: [
      {
        what: 'Stage 2, session 1, trial 1',
        why: 'a door slammed while it played',
        decided: 'By code: Mara Winter, 2026-11-25, 17:50\u00a0UTC',
        target: 'trial:T1',
      },
    ],
    listeners: [listener(1), second, ...Array.from({ length: 6 }, (_, i) => listener(i + 3))],
    ...data,
  },
  ...more,
});

const examples: ViewExamples<DataPage> = {
  view: 'review/data',
  layout: 'staff',
  examples: [
    { name: 'gate', model: page({ data: null }) },
    {
      name: 'gate-not-blind',
      model: page({ data: null, why: { ...field('why'), knows: 'You have seen which sample is which.' } }),
    },
    { name: 'normal', model: page() },
    {
      name: 'empty',
      model: page({}, { queries: [], incidents: [], apart: [], leftOut: [], listeners: [] }),
    },
    {
      name: 'scales',
      model: page(
        { ...frame('The data, by code', study('review', 'unsealed')), stage: 'unsealed' },
        {
          apart: [],
          leftOut: [],
          listeners: [
            listener(1, {
              open: true,
              sittings: [
                {
                  heading: 'Session 1, 2026-11-21, 14:02\u00a0UTC',
                  marks: 'samples heard elsewhere',
                  trials: [1, 2, 3].map((n) =>
                    trial(n, {
                      codes: `4\u20091\u2009${n}`,
                      answer: 'Liking +2 · Brightness −1 · Bass 4',
                      marks: n === 2 ? 'late · page loaded anew · left out by rule: rated too late' : '',
                    }),
                  ),
                },
              ],
            }),
          ],
        },
      ),
    },
    {
      name: 'wrong',
      model: page(
        { problems: [{ ...problem('reason', wrongReason), field: 'reason-1' }] },
        {
          listeners: [
            listener(1, {
              open: true,
              form: {
                targets: [{ value: 'trial:T1', label: 'Session 1, trial 1', chosen: true }],
                targetId: 'target-1',
                targetError: null,
                reason: { ...field('reason', '', wrongReason), id: 'reason-1' },
              },
            }),
          ],
        },
      ),
    },
    {
      name: 'decided',
      model: page(
        { ...frame('The data, by code', study('review', 'signed')), stage: 'decided' },
        { leftOut: [], listeners: [listener(1, { form: null }), listener(2, { form: null })] },
      ),
    },
  ],
};
export default examples;
