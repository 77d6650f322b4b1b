import { expect, test } from 'vitest';
import { statusLine } from '../../../client/phone/status';
import { say } from '../../../shared/words/say';

const well = { sender: 'idle', connected: true, signedOut: false, kind: 'asking', screenStaysOn: true } as const;

test('says nothing when all is well', () => {
  expect(statusLine(well)).toBe('');
});

test('says that an act is kept, whatever the connection does', () => {
  expect(statusLine({ ...well, sender: 'sending' })).toBe(say('status.kept'));
  expect(statusLine({ ...well, sender: 'sending', connected: false })).toBe(say('status.waiting'));
  expect(statusLine({ ...well, sender: 'waiting' })).toBe(say('status.waiting'));
  expect(statusLine({ ...well, sender: 'stale', connected: false })).toBe(say('status.stale'));
});

test('says that the link has ended, whatever else there is to say', () => {
  expect(statusLine({ ...well, signedOut: true, connected: false })).toBe(say('status.signed-out'));
  expect(statusLine({ ...well, sender: 'signed-out' })).toBe(say('status.signed-out'));
});

test('says that there is no connection while one is needed', () => {
  expect(statusLine({ ...well, connected: false })).toBe(say('status.offline'));
  expect(statusLine({ ...well, connected: false, kind: 'finished' })).toBe('');
});

test('tells a listener who waits that the screen may go dark, where it may', () => {
  expect(statusLine({ ...well, kind: 'waiting', screenStaysOn: false })).toBe(say('status.screen'));
  expect(statusLine({ ...well, kind: 'listening', screenStaysOn: false })).toBe('');
});
