import { expect, test } from 'vitest';
import { conditions } from '../../../shared/plan';
import { verdicts } from '../../../shared/verdicts';
import { verdictWords, verdictWordsIn, type WordKey, words } from '../../../shared/words/en';
import { say } from '../../../shared/words/say';

test('fills the places of a sentence', () => {
  expect(say('waiting.seat', { seat: 3 })).toBe('Seat 3');
});

test('a missing value or key is an error, not a hole', () => {
  expect(() => say('waiting.seat')).toThrow('seat');
  expect(() => say('no.such' as WordKey)).toThrow('no.such');
});

test('every condition of the check-in has its words, and all of it may be left unsaid', () => {
  for (const value of [...conditions, 'unsaid']) expect(words).toHaveProperty([`check-in.${value}`]);
});

test('every verdict has its words, and none claims that there is no difference', () => {
  expect(Object.keys(verdictWords).sort()).toEqual([...verdicts].sort());
  for (const { short, meaning } of Object.values(verdictWords))
    expect(`${short} ${meaning}`).not.toMatch(/no difference/i);
});

test('each family has words for every verdict, its own where they say more', () => {
  for (const family of ['difference', 'preference', 'rating', 'ranking']) {
    for (const verdict of verdicts) {
      const { short, meaning } = verdictWordsIn(family, verdict);
      expect(short.length).toBeLessThan(32);
      expect(meaning).toMatch(/^[A-Z].*\.$/);
      expect(`${short} ${meaning}`).not.toMatch(/no difference/i);
    }
  }
  expect(verdictWordsIn('preference', 'not-separated').short).toBe('No preference worth finding');
  expect(verdictWordsIn('rating', 'not-separated').short).toBe('Too close to matter');
  expect(verdictWordsIn('difference', 'difference-shown').short).toBe('The difference is heard');
});

test('no sentence shouts or praises', () => {
  for (const sentence of Object.values(words)) expect(sentence).not.toMatch(/!|well done|great|golden ear/i);
});
