import { expect, test } from 'vitest';
import { tapInOrder } from '../../../client/phone/answering';

test('each tap gives the next place; one that is tapped again is out, and those after it close up', () => {
  const all = ['a', 'b', 'c', 'd'].map((name) => ({ name, value: '' }));
  const tap = (name: string) => tapInOrder(all, all.find((one) => one.name === name) ?? { value: '' });
  const order = () =>
    all
      .filter(({ value }) => value !== '')
      .sort((x, y) => Number(x.value) - Number(y.value))
      .map(({ name, value }) => `${value}${name}`)
      .join(' ');
  for (const name of ['c', 'a', 'd', 'b']) tap(name);
  expect(order()).toBe('1c 2a 3d 4b');
  tap('a');
  expect(order()).toBe('1c 2d 3b');
  tap('a');
  expect(order()).toBe('1c 2d 3b 4a');
  for (const name of ['c', 'a']) tap(name);
  expect(order()).toBe('1d 2b');
});
