import { protocolOf } from '../../../protocols/index';
import type { Draft } from '../../../server/plan/draft';
import { hasField, openOf, planPage } from '../../../server/plan/plan-page';
import { draftScale } from '../../../server/plan/starters';
import { usualDraft } from '../../../server/plan/usual';
import type { PlanPage } from '../../../server/plan/view-models';
import type { Aim, MethodId } from '../../../shared/plan';
import type { Problem } from '../../../shared/problem';
import { starterScales } from '../../../shared/scales';
import { base, frame, longName, study, type ViewExamples } from '../staff/frame';

/** Drafts as people leave them, shown by what makes the page itself, so that a figure is never out of date. */

const prototype = (number: number, name: string, serials: string[]): Draft['prototypes'][number] => ({
  id: `p${number}`,
  name,
  units: serials.map((serial, i) => ({
    id: `p${number}u${i + 1}`,
    serial,
    note: i === 0 && serial ? 'measured 21 November' : '',
  })),
});
const audience = (number: number, name: string, listeners: string) => ({ id: `a${number}`, name, listeners });
const three = [
  prototype(1, 'Closed bore', ['CB-01', 'CB-02']),
  prototype(2, 'Wide vent', ['WV-01']),
  prototype(3, 'Felt damper', ['FD-03']),
];

const more = (count: number) =>
  Array.from({ length: count }, (_, i) => three[i] ?? prototype(i + 1, `Damper ${i + 1}`, [`D-${i + 1}`]));
const played: Partial<Draft> = { playback: 'renders', excerpts: [{ id: 'e1', name: 'Cello, bars 4 to 7' }] };

const draft = (method: MethodId, more: Partial<Draft> = {}, aim?: Aim): Draft => {
  const usual = usualDraft(method, aim);
  const two = protocolOf(method).family === 'difference';
  return {
    ...usual,
    title: 'Vent and damper, second round',
    prototypes: two ? three.slice(0, 2) : three,
    audiences: [audience(1, 'Stage', '8'), audience(2, 'Home', '12')],
    primary: { ...usual.primary, first: 'p2', second: 'p1' },
    ...more,
  };
};

const page = (kept: Draft, problems: readonly Problem[] = [], notice: string | null = null): PlanPage => {
  const lines = problems.map((problem) => ({ ...problem, field: hasField(problem.path) ? problem.path : null }));
  return planPage(frame('Plan', study('plan', 'draft'), { notice, problems: lines }), base, kept, problems, []);
};
/** As the page comes back when it was saved with something wrong in it. */
const wrong = (kept: Draft): PlanPage =>
  page(
    kept,
    openOf(kept).filter(({ code }) => code !== 'missing'),
    'Kept as you typed it.',
  );

const own = {
  id: 'own-air',
  name: 'Air',
  low: 'closed',
  high: 'open',
  polarity: 'bipolar',
  points: '5',
  definition: '',
};

const examples: ViewExamples<PlanPage> = {
  view: 'plan/plan',
  layout: 'staff',
  examples: [
    {
      name: 'empty',
      model: page(
        draft('paired-preference', {
          question: '',
          prototypes: [prototype(1, '', ['']), prototype(2, '', [''])],
          audiences: [audience(1, '', '')],
        }),
      ),
    },
    {
      name: 'normal',
      model: page(draft('paired-preference', { noPreference: { offered: true, rule: 'split' } }), [], 'Saved.'),
    },
    {
      name: 'abx',
      model: page(
        draft('abx', {
          sessions: '2',
          spanDays: '14',
          closing: { asked: true, words: { p1: 'the one we sell now', p2: 'the one with the wide vent' } },
          follows: { study: '01J9Z0000000000000000VENT0', planHash: 'a'.repeat(64) },
        }),
      ),
    },
    {
      name: 'more-of-it',
      model: page(
        draft('2-afc', {
          attribute: 'upper bass',
          looks: { kind: 'sequential', bounds: 'strict' },
          prototypes: three,
          controls: { ...usualDraft().controls, knownDifference: { trials: '1', prototype: 'p3' } },
        }),
      ),
    },
    { name: 'same', model: page(draft('triangle', { audiences: [audience(1, 'Listeners', '24')] }, 'similarity')) },
    {
      name: 'product',
      model: {
        ...page(
          draft('paired-preference', {
            product: 'Nave',
            prices: {
              p1: { rank: '1', words: 'entry' },
              p2: { rank: '2', words: 'middle' },
              p3: { rank: '3', words: 'flagship' },
            },
            pooling: 'if-alike',
            sessions: '3',
            spanDays: '28',
            verdictDays: { kind: 'range', from: '2', to: '3' },
          }),
        ),
        product: { field: { id: 'product', name: 'product', value: 'Nave', error: null }, known: ['Nave', 'Apse'] },
      },
    },
    { name: 'learnt', model: page(draft('a-not-a', { trials: '12' })) },
    {
      name: 'ranking',
      model: page(draft('ranking', { predicted: true, primary: { first: 'p1', second: 'p2', scale: '' } })),
    },
    { name: 'impressions', model: page(draft('first-impressions')) },
    { name: 'several-stimuli', model: page(draft('several-stimuli', { prototypes: more(5), together: '4' })) },
    {
      name: 'reference',
      model: page(draft('reference-and-anchors', { ...played, prototypes: more(5), openReference: 'p3' })),
    },
    {
      name: 'profile',
      model: page(draft('attribute-profile', { scales: [...usualDraft('attribute-profile').scales, own] })),
    },
    { name: 'just-about-right', model: page(draft('just-about-right')) },
    { name: 'words', model: page(draft('check-all')) },
    {
      name: 'wrong-profile',
      model: wrong(
        draft('attribute-profile', {
          scales: [own, { ...own, id: 'own-2', name: '', definition: 'x'.repeat(400) }],
          rounds: 'often',
          handling: 'day-code',
          hiddenRepeats: '1',
        }),
      ),
    },
    { name: 'wrong-words', model: wrong(draft('check-all', { attributes: `boomy\nBoomy\n${'x'.repeat(60)}` })) },
    {
      name: 'renders',
      model: page(
        draft('paired-preference', {
          playback: 'renders',
          excerpts: [
            { id: 'e1', name: 'Cello, bars 4 to 7' },
            { id: 'e2', name: 'Voice alone' },
          ],
          sound: { ...usualDraft().sound, match: { kind: 'band', low: '300', high: '3000' } },
        }),
      ),
    },
    {
      name: 'seat-player-impressions',
      model: page(
        draft('first-impressions', { playback: 'seat-player', excerpts: [{ id: 'e1', name: 'Cello, bars 4 to 7' }] }),
      ),
    },
    {
      name: 'wrong-renders',
      model: wrong(
        draft('abx', {
          playback: 'renders',
          tips: 'tip-is-prototype',
          excerpts: [
            { id: 'e1', name: '417' },
            { id: 'e2', name: longName },
          ],
          sound: { ...usualDraft().sound, match: { kind: 'band', low: '1000', high: '1100' }, minimumSeconds: '3' },
        }),
      ),
    },
    {
      name: 'impressions-six',
      model: page(
        draft('first-impressions', {
          scales: [...starterScales.slice(0, 5).map(draftScale), own],
          firstImpression: {
            ...usualDraft().firstImpression,
            reset: { kind: 'neutral', seconds: '15', item: 'The cello piece on the loudspeaker' },
          },
          sessions: '1',
          hiddenRepeats: '0',
        }),
      ),
    },
    {
      name: 'unmeasured',
      model: {
        ...page(draft('paired-preference', { prototypes: three })),
        deviation: {
          of: ['NV-001 was never measured.', 'WV-001 is 2.2 dB louder than the quietest unit.'],
          levels: `${base}/levels`,
          field: { id: 'deviation', name: 'deviation', value: '', error: null },
        },
      },
    },
    {
      name: 'crowded',
      model: page(
        draft('paired-preference', {
          prototypes: Array.from({ length: 8 }, (_, i) =>
            prototype(
              i + 1,
              i === 1 ? longName : `Pressing ${i + 1}`,
              i === 0 ? ['S-1', 'S-2', 'S-3', 'S-4', 'S-5'] : [`T-${i}`],
            ),
          ),
          audiences: Array.from({ length: 6 }, (_, i) =>
            audience(i + 1, i === 2 ? longName : `Audience ${i + 1}`, '14'),
          ),
          turns: '28',
          handling: 'day-code',
        }),
      ),
    },
    {
      name: 'wrong',
      model: wrong(
        draft('paired-preference', {
          prototypes: three.map((one, i) => (i === 1 ? { ...one, name: `${longName}, wide bore` } : one)),
          audiences: [audience(1, 'Stage', 'eight'), audience(2, 'Home', '12')],
          alpha: '5 %',
          closing: { asked: true, words: { p1: 'the new one', p2: 'The new one', p3: 'x'.repeat(50) } },
        }),
      ),
    },
    {
      name: 'wrong-together',
      model: wrong(
        draft('abx', {
          prototypes: three,
          primary: { ...usualDraft().primary, first: 'p1', second: 'p1' },
          sessions: '4',
          spanDays: '1',
        }),
      ),
    },
    {
      name: 'wrong-controls',
      model: wrong(
        draft('paired-preference', {
          handling: 'day-code',
          alpha: '0',
          looks: { kind: 'always-valid', bounds: 'strict' },
          product: '417',
          prices: { p1: { rank: '1', words: 'entry' }, p2: { rank: '12', words: '' }, p3: { rank: '1', words: 'top' } },
          pooling: 'always',
          sessions: '2',
          verdictDays: { kind: 'range', from: 'second', to: '' },
          controls: {
            hiddenRepeats: '1',
            identicalPairs: 'two',
            knownDifference: { trials: '1', prototype: '' },
            units: '1',
          },
        }),
      ),
    },
    {
      name: 'wrong-impressions',
      model: wrong(
        draft('first-impressions', {
          scales: [
            ...starterScales.slice(0, 2).map(draftScale),
            { ...own, points: '4', name: 'liking', low: '', high: 'x'.repeat(30) },
          ],
          firstImpression: { ...usualDraft().firstImpression, windowSeconds: '30' },
          gapHours: '-1',
          hiddenRepeats: '4',
        }),
      ),
    },
  ],
};
export default examples;
