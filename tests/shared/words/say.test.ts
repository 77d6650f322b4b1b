import { expect, test } from 'vitest';
import { conditions } from '../../../shared/plan';
import { verdicts } from '../../../shared/verdicts';
import { verdictWords, type WordKey, words } from '../../../shared/words/en';
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

test('no sentence shouts or praises', () => {
  for (const sentence of Object.values(words)) expect(sentence).not.toMatch(/!|well done|great|golden ear/i);
});
