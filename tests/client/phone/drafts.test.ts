import { expect, test } from 'vitest';
import { createDrafts } from '../../../client/phone/drafts';
import { memoryShelf } from '../../../client/phone/shelf';

test('what was typed comes back at its own place only, across a reload', () => {
  const shelf = memoryShelf();
  createDrafts(shelf).keep('words/T1/2', [['words_417', 'bright']]);
  const drafts = createDrafts(shelf);
  expect(drafts.of('words/T1/2')).toEqual([['words_417', 'bright']]);
  expect(drafts.of('words/T2/2')).toEqual([]);
  drafts.forget();
  expect(drafts.of('words/T1/2')).toEqual([]);
});

test('a broken or full storage costs no more than the draft', () => {
  const shelf = memoryShelf();
  shelf.setItem('fair-hearing.draft', '{');
  expect(createDrafts(shelf).of('words/T1/2')).toEqual([]);
  const full = {
    ...shelf,
    setItem: () => {
      throw new DOMException('full', 'QuotaExceededError');
    },
  };
  expect(() => createDrafts(full).keep('words/T1/2', [])).not.toThrow();
});
