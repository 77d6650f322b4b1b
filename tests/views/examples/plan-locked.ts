import { soundPages } from '../../../server/plan/sound-pages';
import type { LockedPlanPage } from '../../../server/plan/view-models';
import { planRows } from '../../../server/plan-rows';
import { blindLabel, blindWeakness } from '../../../server/plan-words';
import { aPlan, type PlanWish } from '../../blinding/a-plan';
import { amendments } from '../staff/amendments';
import { base, frame, hash, study, type ViewExamples } from '../staff/frame';

const page = (wish: PlanWish, more: Partial<LockedPlanPage> = {}): LockedPlanPage => {
  const plan = aPlan({ names: ['Closed bore', 'Wide vent', 'Felt damper'], ...wish });
  return {
    ...frame('The plan, locked', study('plan', 'locked'), { notice: 'The plan is locked.' }),
    base,
    rows: planRows(plan),
    planHash: hash('4'),
    commitment: hash('b'),
    lockedHash: null,
    amendments: [],
    amend: `${base}/amend`,
    signingKey: hash('5'),
    lockedAt: '24 November 2026, 10:12',
    lockedBy: 'Mara Winter',
    next: { label: 'Prepare session 1', url: `${base}/prepare` },
    blind: { label: blindLabel(plan), weakness: blindWeakness(plan) },
    soundPages: soundPages(plan, base),
    exposure: `${base}/exposure`,
    followUp: null,
    rehearsal: `${base}/rehearsal`,
    ...more,
  };
};
const twoAudiences: PlanWish['audiences'] = [
  ['stage', 8],
  ['home', 12],
];

const examples: ViewExamples<LockedPlanPage> = {
  view: 'plan/locked',
  layout: 'staff',
  examples: [
    {
      name: 'done',
      model: page({
        prototypes: 3,
        units: [2, 1, 1],
        repeats: 4,
        audiences: twoAudiences,
        sessions: 2,
        gapHours: 18,
        noPreference: { offered: true, rule: 'split' },
      }),
    },
    {
      name: 'abx-day-code',
      model: page({ method: 'abx', handling: 'day-code', sessions: 3, gapHours: 18, spanDays: 21, missed: 'lost' }),
    },
    {
      name: 'renders',
      model: page(
        { playback: 'renders', prototypes: 3, excerpts: 2, sound: { match: { kind: 'band', low: 300, high: 3000 } } },
        { next: { label: 'Bring the files', url: `${base}/sound` } },
      ),
    },
    {
      name: 'reference',
      model: page({
        method: 'reference-and-anchors',
        prototypes: 3,
        excerpts: 2,
        anchors: [3500, 7000],
        screening: true,
      }),
    },
    {
      name: 'seat-player',
      model: page({ playback: 'seat-player', prototypes: 2, units: 2, sound: { interruption: 'void' } }),
    },
    {
      name: 'impressions',
      model: page({
        method: 'first-impressions',
        prototypes: 3,
        audiences: twoAudiences,
        sessions: 3,
        gapHours: 18,
        spanDays: 28,
        hiddenRepeats: 1,
        firstImpression: { reset: { kind: 'neutral', seconds: 15, item: 'The cello piece on the loudspeaker' } },
        follows: { study: '01J9Z0000000000000000VENT0', planHash: hash('7') },
      }),
    },
    {
      name: 'single-blind',
      model: page(
        { prototypes: 3, handling: 'solo' },
        {
          notice: null,
          exposure: null,
          amend: null,
          followUp: `${base}/follow-up`,
          study: study(
            'plan',
            'closed',
            'Whoever hands over has seen the sheet. Every report says so in its first line.',
          ),
        },
      ),
    },
    {
      name: 'amended',
      model: page(
        { prototypes: 3, units: [2, 1, 1], repeats: 4, audiences: twoAudiences, sessions: 3, gapHours: 18 },
        {
          ...frame('The plan, locked', study('plan', 'closed')),
          exposure: null,
          followUp: `${base}/follow-up`,
          lockedHash: hash('8'),
          amendments,
        },
      ),
    },
  ],
};
export default examples;
