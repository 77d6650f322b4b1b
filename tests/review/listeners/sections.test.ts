import { expect, test } from 'vitest';
import { findingsOf } from '../../../server/review/findings';
import { letterOf } from '../../../server/review/letter';
import { listenersSections } from '../../../server/review/listeners/sections';
import type { Findings } from '../../../shared/findings';
import type { ListenersOf } from '../../../shared/findings-listeners';
import type { Plan } from '../../../shared/plan';
import { aPlan } from '../../blinding/a-plan';
import { plain } from '../a-result';
import { gradedPlan } from '../graded-plan';
import { randomStudy, type Wish } from '../random-study';
import { refused, wellFormed } from '../well-formed';

const played = (plan: Plan, wish: Wish): Findings => findingsOf(randomStudy(plan, wish).record, { resamples: 100 });
const sectionIn = (found: Findings, plan: Plan) => {
  const [own] = found.listeners ?? [];
  if (!own) throw new Error('There are no listeners.');
  const [section] = plain(listenersSections(own, plan));
  if (!section) throw new Error('There is no section.');
  for (const { svg } of section.charts) {
    expect(wellFormed(svg)).toContain('svg');
    expect(refused(svg)).toEqual([]);
  }
  return section;
};
const words = (section: ReturnType<typeof sectionIn>) => JSON.stringify({ ...section, charts: [] });
const rowsIn = ({ tables }: ReturnType<typeof sectionIn>, at = 0) =>
  tables[at]?.groups.flatMap(({ rows }) => rows.map(({ name, cells }) => [name, ...cells]));

test('right answers stand by listener, with guessing beside them, in place of the older table', () => {
  const plan = aPlan({ method: 'abx', trials: 16, audiences: [['home', 10]] });
  const found = played(plan, { seed: 3, truth: { listenersWhoHear: 0.8, heard: 0.8 } });
  const section = sectionIn(found, plan);
  const [own] = found.listeners as [ListenersOf<'right'>];
  expect(own.listeners.map(({ listener, correct, trials }) => ({ listener, correct, trials }))).toEqual(
    found.results[0]?.difference?.listeners
      .map(({ listener, correct, trials }) => ({ listener, correct, trials }))
      .sort((a, b) => a.listener.localeCompare(b.listener, 'en', { numeric: true })),
  );
  expect(own.listeners.find(({ listener }) => listener === 'Home 6')).toMatchObject({ correct: 6, note: 'at-random' });
  expect(section.sentences.at(-1)).toBe(
    'The answers of Home 6 lie below those of the others, and may all be guesses: the difference is heard seldom or never there, or something was in the way.',
  );
  expect(rowsIn(section)?.[5]).toEqual(['Home 6', '6 of 16', '4 to 12', '0.895', '1.000', 'not shown to hear it']);
  const [audience] = letterOf(found, plan).audiences;
  expect(audience?.difference?.listeners).toEqual([]);
  expect(audience?.sections?.map(({ id }) => id)).toContain('listeners');
  // Findings of before have none, and keep the table that they had.
  const { listeners: _, ...older } = found;
  expect(letterOf(older, plan).audiences[0]?.difference?.listeners).toHaveLength(10);
});

test('yes and no by listener, with distance and leaning', () => {
  const plan = aPlan({ method: 'same-different', trials: 16, audiences: [['home', 8]] });
  const found = played(plan, { seed: 4, truth: { listenersWhoHear: 1, dPrime: 2.5 } });
  const section = sectionIn(found, plan);
  expect(section.tables[0]?.columns).toEqual([
    'Pairs that differ',
    'Pairs of one sample',
    'Apart, d′',
    'Leaning',
    'p',
    'p, Holm',
  ]);
  expect(rowsIn(section)?.[1]).toEqual(['Home 2', '8 of 8', '4 of 8', '3.19', '−1.07', '0.038', '0.308']);
  expect(letterOf(found, plan).audiences[0]?.yesNo?.listeners).toEqual([]);
});

test('preferences: steadiness and controls, and nothing that holds anybody against the others', () => {
  const plan = aPlan({
    prototypes: 3,
    repeats: 2,
    audiences: [['home', 6]],
    controls: { identicalPairs: 1, hiddenRepeats: 1 },
  });
  const found = played(plan, { seed: 5, worth: { 'proto-a': 1.5 } });
  const section = sectionIn(found, plan);
  expect(section.tables[0]?.columns).toEqual([
    'Same pair again alike',
    'Put once more, alike',
    'Circular triads',
    'So few by chance',
    'Heard first chosen',
    'One sample twice: first, second',
  ]);
  expect(section.sentences).toContain('Nobody is held against the others: a taste of one’s own is no mistake.');
  expect(JSON.stringify(found.listeners)).not.toMatch(/agree|others|note|correl/);
  expect(words(section)).not.toMatch(/[Aa]gree|correlat|majority|the other way/);
  expect(letterOf(found, plan).audiences[0]?.preference?.consistency).toEqual([]);
});

test('liking is a taste as well: no agreement, no note, no caution, in table and findings alike', () => {
  const plan = gradedPlan('several-stimuli', { prototypes: 4, audiences: [['home', 8]] });
  const far = { 'proto-a': -3, 'proto-b': -1, 'proto-c': 1, 'proto-d': 3 };
  const found = played(plan, { seed: 1, truth: { ratings: { liking: far, bass: far }, inverted: 0.15 } });
  const [liking, bass] = (found.listeners as [ListenersOf<'rating'>])[0].scales;
  expect([liking?.taste, bass?.taste]).toEqual([true, false]);
  for (const one of liking?.listeners ?? []) expect(one).not.toHaveProperty('agreement');
  // The same listener, who turns both scales round, is noted on the one that is no taste.
  expect(bass?.listeners[0]).toMatchObject({ listener: 'Home 1', note: 'the-other-way' });
  expect(liking?.listeners[0]).toMatchObject({ listener: 'Home 1', note: null });
  expect(found.results[0]?.ratings?.raters).toBeUndefined();
  expect(found.results[0]?.warnings.filter((key) => key.startsWith('rater-'))).toEqual([]);
});

test('rankings say how alike own rankings are, and how they lie beside the others as tastes', () => {
  const plan = aPlan({ method: 'ranking', prototypes: 4, spec: { size: 4, rankings: 2 }, audiences: [['home', 6]] });
  const section = sectionIn(played(plan, { seed: 6, worth: { 'proto-a': 2, 'proto-b': 1 } }), plan);
  expect(section.tables[0]?.columns).toEqual(['Rankings', 'Own rankings alike, τ', 'Beside the others']);
  expect(section.sentences[1]).toContain('It describes tastes and judges nobody.');
});

test('ratings: by scales that the panel tells apart, one of them turned round and named', () => {
  const plan = gradedPlan('attribute-profile', { prototypes: 4, sessions: 2, rounds: 2, audiences: [['home', 12]] });
  const far = { 'proto-a': -2, 'proto-b': 0, 'proto-c': 1, 'proto-d': 2 };
  const found = played(plan, { seed: 7, truth: { inverted: 0.1, random: 0.1, ratings: { bass: far } } });
  const section = sectionIn(found, plan);
  expect(section.heading).toBe('Who rates how');
  expect(section.sentences.slice(1)).toEqual([
    'On the scale “Bass” the panel as a whole tells prototypes apart (F over blocks of listeners, p = 0.002).',
    'By “Brightness” and “Stage width” the panel as a whole tells nothing apart: nobody is judged by them, and no figures are given.',
    'Home 7 rates the other way round than the others on the scale “Bass”: heard otherwise, a scale that was misread, or chance.',
  ]);
  // The table and the older one say the same of the scale of the verdict.
  const raters = found.results[0]?.ratings?.raters ?? [];
  expect(rowsIn(section)).toHaveLength(raters.length);
  const [audience] = letterOf(found, plan).audiences;
  expect(audience?.rating?.beside.map(({ id }) => id)).not.toContain('raters');
});
