import { PassThrough } from 'node:stream';
import { expect, test } from 'vitest';
import { computingLine } from '../../server/cli/computing-line';
import { handLines, recordOfLines } from '../blinding/hand-ledger';

const record = recordOfLines(handLines());
const [entry] = record.ledger.slice(1);
const large = { ledger: entry ? Array.from({ length: 1_501 }, () => entry) : [] };

function terminal(isTTY: boolean) {
  const stderr = Object.assign(new PassThrough(), { isTTY });
  return { stderr, text: () => String(stderr.read() ?? '') };
}

test('one line that goes away, where somebody is at a terminal and the record is large', () => {
  const { stderr, text } = terminal(true);
  const line = computingLine(large, { stderr });
  line.hears?.('answers');
  line.hears?.('audience:home');
  expect(text()).toBe('\r\u001b[KJoining answers with what was heard\r\u001b[KAnalysing Home');
  line.over();
  expect(text()).toBe('\r\u001b[K');
});

test('nothing else ever stands on standard error', () => {
  for (const [isTTY, given] of [
    [false, large],
    [true, record],
  ] as const) {
    const { stderr, text } = terminal(isTTY);
    const line = computingLine(given, { stderr });
    line.hears?.('answers');
    line.over();
    expect(text()).toBe('');
  }
});
