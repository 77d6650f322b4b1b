import { describe, expect, test } from 'vitest';
import { outcomesOf, toldTrials } from '../../server/blinding/outcomes';
import { storyOf } from '../../server/blinding/story';
import { chained, type handKey, handLines, type Line } from './hand-ledger';

const story = (lines: Line[] = handLines()) => storyOf(chained(lines));
/** The same ledger with one line changed. */
const changed = (kind: string, change: (body: Record<string, unknown>) => void): Line[] => {
  const lines = structuredClone(handLines());
  for (const [, is, body] of lines) if (is === kind) change(body);
  return lines;
};

describe('outcomes of the hand-written ledger', () => {
  test('each answer joined with what it was about; practice and void left out', () => {
    const seen = outcomesOf(story()).map(({ listener, trial, prototypes, units, value }) => [
      listener,
      trial,
      prototypes.map((id) => id.slice(-1)).join(''),
      units.join(' '),
      value,
    ]);
    expect(seen).toEqual([
      ['L1', 'MT1', 'ab', 'unit-a1 unit-b1', -1],
      ['L1', 'MT3', 'bc', 'unit-b1 unit-c1', 1],
      ['L1', 'MT4', 'ca', 'unit-c1 unit-a1', -1],
      ['L2', 'NT1', 'ba', 'unit-b1 unit-a1', 0],
      ['L2', 'NT2', 'ac', 'unit-a1 unit-c1', 1],
    ]);
  });

  test('the rest of an outcome: who, where, when', () => {
    expect(outcomesOf(story())[0]).toMatchObject({
      audience: 'home',
      session: 'SE1',
      sitting: 'M',
      position: 1,
      late: false,
      flags: [],
    });
  });
});

describe('the story', () => {
  test('who came, who ran it, what was noted', () => {
    const told = story();
    expect(told.joined.map(({ listener }) => listener)).toEqual(['L1', 'L2', 'L3']);
    expect(told.arrived).toBe(2);
    expect(told.operators).toEqual(['Cy', 'Dee']);
    expect(told.openings).toMatchObject([{ by: 'Bo', session: 1 }]);
    expect(told.incidents).toMatchObject([{ category: 'noise', text: 'A door', seat: null }]);
    expect(told.sittings.map(({ ended }) => ended)).toEqual(['finished', 'cut']);
    const trials = told.sittings[0]?.trials ?? [];
    expect(trials.map(({ state }) => state)).toEqual(['answered', 'answered', 'void', 'answered', 'answered']);
    expect(trials[2]).toMatchObject({ voidReason: 'wrong-sample', answer: '205' });
    expect(trials[1]).toMatchObject({ heardMs: 9000, answeredMs: 12000, words: [{ code: '204', text: '=warm' }] });
    expect(trials[4]?.replaces).toBe(2);
  });

  test('put off at check-in: counted, but not whoever was let in again', () => {
    const lines = handLines();
    const off = (sitting: string): Line => [`listener:${sitting}`, 'postponed', { sitting }];
    lines.splice(-1, 0, off('P'), off('Q'), ['staff:Cy', 'check-in-again', { sitting: 'P' }]);
    expect(story(lines).postponed).toBe(1);
    lines.splice(-1, 0, off('P'));
    expect(story(lines).postponed).toBe(2);
  });

  test('a second answer to a trial changes nothing, nor one after the mix-up was found', () => {
    const lines = handLines();
    lines.splice(-1, 0, ['listener:L1', 'answered', { trial: 'MT1', sitting: 'M', answer: '203' }]);
    lines.splice(-1, 0, ['listener:L1', 'answered', { trial: 'MT2', sitting: 'M', answer: '207' }]);
    const trials = story(lines).sittings[0]?.trials ?? [];
    expect([trials[1]?.answer, trials[2]?.answer, trials[2]?.state]).toEqual(['204', '205', 'void']);
  });

  test('a mix-up found after the end reopens the sitting', () => {
    const lines = handLines();
    lines.splice(-1, 0, ['staff:Cy', 'trial-voided', { trial: 'MT3', sitting: 'M', reason: 'other', text: '' }]);
    expect(story(lines).sittings[0]?.ended).toBe('open');
  });
});

describe('errors', () => {
  test('a sealed record', () => {
    const sealed = story(handLines().slice(0, -1));
    expect(() => toldTrials(sealed)).toThrow('This study is sealed. Unseal it first.');
    expect(() => outcomesOf(sealed)).toThrow('sealed');
  });

  test('a record without a locked plan', () => {
    expect(() => story([['staff:Ada', 'study-created', { study: 'STUDY1' }]])).toThrow(/no locked plan/);
  });

  type Key = typeof handKey;
  test.each<[string, (key: Key) => void]>([
    ['a code is another', (key) => void key[0]?.trials[1]?.codes.splice(0, 1, '999')],
    ['two codes are swapped', (key) => void key[0]?.trials[1]?.codes.reverse()],
    ['a trial is missing', (key) => void key[0]?.trials.splice(3, 1)],
    ['a listener is missing', (key) => void key.splice(1, 1)],
    ['it is another listener’s', (key) => Object.assign(key[1] ?? {}, { ordinal: 3 })],
    ['it is another session’s', (key) => Object.assign(key[1] ?? {}, { session: 2 })],
    ['practice is taken for a scored trial', (key) => Object.assign(key[0]?.trials[1] ?? {}, { practice: true })],
    ['what is put again is another trial', (key) => Object.assign(key[0]?.trials[4] ?? {}, { replaces: 1 })],
    ['a unit is of another prototype', (key) => void key[0]?.trials[1]?.units.reverse()],
    ['a unit is not in the plan', (key) => void key[0]?.trials[1]?.units.splice(0, 1, 'unit-x')],
  ])('a key that doesn’t fit: %s', (_what, change) => {
    const lines = changed('unsealed', (body) => change(body.key as Key));
    expect(() => toldTrials(story(lines))).toThrow(/The key does not fit trial \w+/);
  });

  test('an answer that was not on offer', () => {
    const lines = handLines().map(
      ([actor, kind, body]): Line => [actor, kind, body.trial === 'NT2' ? { ...body, answer: '305' } : body],
    );
    expect(() => outcomesOf(story(lines))).toThrow('The answer to trial NT2 is none of those that were offered.');
  });
});
