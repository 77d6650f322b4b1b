import { looksTaken } from '../../../server/review/looks/letter-part';
import type { VerdictPage } from '../../../server/review/view-models';
import type { AudienceId } from '../../../shared/brands';
import type { Plan } from '../../../shared/plan';
import { aPlan } from '../../blinding/a-plan';
import type { ViewExamples } from '../staff/frame';
import { verdictPage } from '../staff/letter';

const abx: Plan = {
  ...aPlan({
    method: 'abx',
    trials: 12,
    names: ['Wide vent', 'Closed bore'],
    units: 2,
    looks: { kind: 'sequential', bounds: 'wald' },
    risks: { smallest: { kind: 'heard', value: 0.4 } },
    audiences: [
      ['stage', 5],
      ['home', 4],
    ],
  }),
  question: 'Can anyone hear the wide vent?',
};

const looked = (at: string, stage: 'go-on' | 'shown', home: 'go-on' | 'none-shown') => ({
  at,
  by: 'Mara Winter',
  upTo: 400,
  audiences: [
    { audience: 'stage' as AudienceId, state: stage, counted: 31, evidence: 1.2, upper: 3.47, lower: -1.58 },
    { audience: 'home' as AudienceId, state: home, counted: 24, evidence: -0.4, upper: 3.47, lower: -1.58 },
  ],
});

const examples: ViewExamples<VerdictPage> = {
  view: 'review/verdict',
  layout: 'staff',
  examples: [
    {
      name: 'looks-shown-and-ended',
      model: {
        ...verdictPage(abx, { seed: 4, truthOf: { stage: { listenersWhoHear: 0.9, heard: 0.7 }, home: {} } }),
        looksTaken: looksTaken(
          {
            looks: {
              taken: [
                looked('2026-11-24T18:02:00Z', 'go-on', 'go-on'),
                looked('2026-11-25T18:02:00Z', 'shown', 'none-shown'),
              ],
              alsoAtDesk: ['Mara Winter'],
              voidedSince: 1,
            },
          },
          abx,
        ),
      },
    },
    {
      name: 'looks-preference',
      model: verdictPage(
        aPlan({
          looks: { kind: 'always-valid' },
          repeats: 3,
          names: ['Wide vent', 'Closed bore'],
          audiences: [['home', 14]],
          risks: { smallest: { kind: 'share', value: 0.75 } },
        }),
        { seed: 3, truth: { worth: { 'proto-a': 0.9 } } },
      ),
    },
  ],
};
export default examples;
