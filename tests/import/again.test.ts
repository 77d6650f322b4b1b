import { expect, test } from 'vitest';
import { toldTrials } from '../../server/blinding/outcomes';
import { storyOf } from '../../server/blinding/story';
import { importedRecord, latestIn } from '../../server/import/imported-record';
import { readAnswers } from '../../server/import/read-answers';
import { answersCsv } from '../../server/review/answers-csv';
import { findingsOf } from '../../server/review/findings';
import type { Findings } from '../../shared/findings';
import type { Plan } from '../../shared/plan';
import { aPlan } from '../blinding/a-plan';
import { gradedPlan } from '../review/graded-plan';
import { randomStudy, type Wish } from '../review/random-study';

/** Answers that went out as our own file and come in again are the same answers, whatever the method. */

const two: [string, number][] = [
  ['home', 4],
  ['stage', 3],
];
const none: Plan['noPreference'] = { offered: true, rule: 'split' };

/** One plan a form and family, with what a file may hold: controls, units, excerpts, looks, days, rules. */
const plans: Record<string, Plan> = {
  'paired preference, with controls': aPlan({
    prototypes: 4,
    units: 2,
    sessions: 2,
    audiences: two,
    noPreference: none,
    controls: { hiddenRepeats: 1, identicalPairs: 1, knownDifference: { trials: 1, prototype: 'proto-d' }, units: 1 },
    exclusions: ['marked', 'revealed'],
  }),
  'ABX with looks': aPlan({
    method: 'abx',
    trials: 4,
    audiences: two,
    looks: { kind: 'sequential', bounds: 'strict' },
  }),
  'triangle, renders': aPlan({ method: 'triangle', trials: 4, playback: 'renders', excerpts: 2, audiences: two }),
  'triangle with two units of one': aPlan({
    method: 'triangle',
    trials: 3,
    units: 2,
    audiences: two,
    controls: { units: 1 },
  }),
  tetrad: aPlan({ method: 'tetrad', trials: 4, audiences: two }),
  'A–not-A': aPlan({ method: 'a-not-a', spec: { trials: 6, showOther: true }, audiences: two }),
  ranking: aPlan({ method: 'ranking', prototypes: 4, spec: { size: 3, rankings: 4 }, audiences: two }),
  'first impressions over two days': aPlan({
    method: 'first-impressions',
    prototypes: 3,
    units: 2,
    sessions: 2,
    audiences: two,
    hiddenRepeats: 1,
    exclusions: ['late', 'outside-listening'],
  }),
  'several stimuli': gradedPlan('several-stimuli', { audiences: two, rounds: 2, playback: 'renders', excerpts: 2 }),
  'reference and anchors': gradedPlan('reference-and-anchors', { audiences: two, anchors: 1, rounds: 2 }),
  comparison: gradedPlan('comparison-rating', { audiences: two, rounds: 2 }),
  'check all': gradedPlan('check-all', { audiences: two, rounds: 2 }),
};

const wish: Wish = {
  ...{ seed: 11, spoilt: 0.1, late: 0.2, reloaded: 0.1, marked: 0.2, outside: 0.2, shortRest: 0.1, interrupted: 0.1 },
  ...{ miss: 0.1, excluded: 0.03, excludedAfterwards: 0.03, resampled: 0.2 },
  truth: {
    ...{ listenersWhoHear: 0.8, heard: 0.8, dPrime: 1.5, worth: { 'proto-a': 1 } },
    ratings: {
      liking: { 'proto-a': 1 },
      bass: { 'proto-b': 1 },
      quality: { 'proto-a': 1 },
      comparison: { 'proto-a': 1 },
    },
  },
};

/** What hangs on the answers, and not on who had the key or what was lost before an answer. */
const ofAnswers = ({
  results,
  interaction,
  panel,
  controls,
  habituation,
  looks,
  pooled,
  units,
  exclusions,
}: Findings) => ({
  ...{ results, interaction, controls, habituation, looks, pooled, units },
  // Sorted by ids, which are others.
  panel: panel.toSorted((a, b) => (a.listener < b.listener ? -1 : 1)),
  leftOut: { without: exclusions.without, afterwards: exclusions.afterwards },
});

test.each(Object.entries(plans))('%s', (_, plan) => {
  const { record } = randomStudy(plan, wish);
  const story = storyOf(record.ledger);
  const csv = answersCsv(story, toldTrials(story));
  const { brought, problems } = readAnswers(Buffer.from(csv), plan);
  expect(problems).toEqual([]);
  if (!brought) return;
  const again = importedRecord(brought, plan, { file: 'answers.csv', at: latestIn(brought) });
  expect(ofAnswers(findingsOf(again, { resamples: 100 }))).toEqual(ofAnswers(findingsOf(record, { resamples: 100 })));
  // And what goes out of it is what came in.
  const back = storyOf(again.ledger);
  const sent = answersCsv(back, toldTrials(back));
  // Of files that were played there is a hash and no more to hold it against; entries are of the record that they are in.
  expect(without(sent)).toEqual(without(csv));
});

function without(text: string): Record<string, string>[] {
  const [head = [], ...rows] = text
    .trimEnd()
    .split('\r\n')
    .map((line) => line.split(','));
  return rows.map((row) =>
    Object.fromEntries(
      head.flatMap((column, i) => (/^(file_|entry|started_at$)/.test(column) ? [] : [[column, once(row[i] ?? '')]])),
    ),
  );
}

/** What was left out by code isn’t left out once more. */
const once = (cell: string): string => cell.replace('excluded-blind excluded-afterwards', 'excluded-blind');
