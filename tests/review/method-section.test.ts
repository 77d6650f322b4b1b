import { expect, test } from 'vitest';
import { planRows } from '../../server/plan-rows';
import { findingsOf } from '../../server/review/findings';
import { methodParts, notRecorded, partOf } from '../../server/review/method-section';
import { methodIds, type Plan } from '../../shared/plan';
import { aPlan } from '../blinding/a-plan';
import { type GradedMethod, gradedMethods, gradedPlan } from './graded-plan';
import { randomStudy } from './random-study';

/**
 * What reports are asked to hold: of listening tests ITU-R BS.1284 (clause on the contents of the report), of sensory
 * difference tests ISO 4120 (test report), of trials CONSORT 2010 (items 3 to 12); all from memory. By our labels; where
 * there may be several, one is enough.
 */
const asked: [what: string, labels: RegExp][] = [
  ['aim', /^Aim$/],
  ['question', /^Question$/],
  ['method and its standards', /^Method$/],
  ['test objects', /^Prototype 1$/],
  ['codes', /^Codes$/],
  ['order of presentation', /^Order of samples$/],
  ['number of trials', /^(Trials|Turns|Rankings|Samples)$/],
  ['scales or answers', /^(Method|Scale 1|Words to tick)$/],
  ['instructions', /^The question$/],
  ['programme material', /^(Excerpts?|Programme)$/],
  ['number of listeners', /^Panel$/],
  ['how listeners were chosen', /^How they were chosen$/],
  ['experience and hearing of listeners', /^Age, hearing, experience$/],
  ['screening of listeners', /^Screening of listeners$/],
  ['training', /^Training$/],
  ['consent', /^What they agreed to$/],
  ['playback and devices', /^(Devices and outputs|Listened with)$/],
  ['level at the ear', /^Level at the ear$/],
  ['levels of the objects', /^(Measured levels|Matched.*)$/],
  ['room', /^Room and noise in it$/],
  ['climate', /^Temperature and humidity$/],
  ['dates', /^Sessions?$/],
  ['who was blind', /^Blinding$/],
  ['who looked', /^Looks$/],
  ['deviations', /^Amendments to the plan$/],
  ['what the verdict rests on', /^Primary comparison$/],
  ['risks', /^Risks$/],
  ['statistics', /^Decided by$/],
  ['correction for many questions', /^Correction$/],
  ['intervals', /^Intervals$/],
  ['exclusions', /^Left out by rule$/],
  ['power', /^Power$/],
  ['software', /^Program$/],
  ['plan as it was fixed', /^Hash of the plan$/],
];

const rowsOf = (plan: Plan) => {
  const { record } = randomStudy(plan, { seed: 3 });
  return methodParts(findingsOf(record), plan).flatMap(({ rows }) => rows);
};

test.each([
  ['abx', aPlan({ method: 'abx', trials: 2, audiences: [['home', 3]] })],
  [
    'paired preference in the browser',
    aPlan({ trials: 3, playback: 'renders', handling: 'server' as Plan['handling'], audiences: [['home', 3]] }),
  ],
  ['first impressions', aPlan({ method: 'first-impressions', audiences: [['home', 3]] })],
  ['grades', gradedPlan('several-stimuli', { playback: 'renders', audiences: [['home', 3]] })],
])('%s: everything that reports are asked for is there, or said to be not recorded', (_what, plan) => {
  const rows = rowsOf(plan);
  for (const [what, labels] of asked)
    expect([what, rows.some(({ label }) => labels.test(label))]).toEqual([what, true]);
  for (const { label, lines, missing } of rows) {
    expect([label, lines.length > 0 && lines.every((line) => line.trim() !== '')]).toEqual([label, true]);
    if (missing) expect(lines).toEqual([notRecorded]);
  }
  const room = rows.find(({ label }) => label === 'Room and noise in it');
  expect(room).toEqual({ label: 'Room and noise in it', lines: [notRecorded], missing: true });
});

/** Rows that say what was asked of listeners, where all that has no other place would come to stand. */
const ofTheQuestion =
  /^(Question|Product|Goes on from|Method|Quick check|Turns|“No preference”|Trials|Rankings|Scale \d+|Samples|First impression|Rest before each|In their own words|Asked about|Controls|Words to tick|Order on the page)$/;

test.each([...methodIds])('every row of a plan has its place in the report: %s', (method) => {
  const graded = gradedMethods.find((one) => one === method);
  const plan = graded
    ? gradedPlan(graded as GradedMethod, { playback: 'seat-player' })
    : aPlan({
        method,
        sessions: 2,
        playback: 'renders',
        ...(method.endsWith('-afc') && { spec: { trials: 2, attribute: 'bass' } }),
      });
  const stray = planRows(plan).filter(({ label }) => partOf(label) === 'asked' && !ofTheQuestion.test(label));
  expect(stray).toEqual([]);
});
