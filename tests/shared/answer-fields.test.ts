import { expect, test } from 'vitest';
import { joinedAnswer } from '../../shared/answer-fields';

test.each([
  [
    'places in order, each once',
    [
      ['pick', '4'],
      ['pick', '2'],
      ['pick', '4'],
    ],
    '2+4',
  ],
  ['one that is too few', [['pick', '3']], '3'],
  [
    'codes from the first place to the last',
    [
      ['order_417', '2'],
      ['order_502', '3'],
      ['order_868', '1'],
    ],
    '868>417>502',
  ],
  [
    'a place that was given twice is none',
    [
      ['order_417', '1'],
      ['order_502', '1'],
      ['order_868', '3'],
    ],
    '868',
  ],
  [
    'a sample without a place is left out',
    [
      ['order_417', ''],
      ['order_502', '1'],
    ],
    '502',
  ],
  [
    'what was not answered at all is no answer of any method',
    [
      ['kind', 'answer'],
      ['order_417', ''],
    ],
    '-',
  ],
] as [string, [string, string][], string][])('%s', (_what, fields, answer) => {
  expect(joinedAnswer(fields)).toBe(answer);
});
