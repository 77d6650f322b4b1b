import { expect, test } from 'vitest';
import { announcement, placeOf } from '../../server/announce';

const lan = ['192.168.1.20', '10.0.0.5'];

test('on all networks: this machine, and each address for the others', () => {
  expect(placeOf({ host: '0.0.0.0', port: 4170, secure: false, lan })).toEqual({
    here: 'http://localhost:4170',
    network: ['http://192.168.1.20:4170', 'http://10.0.0.5:4170'],
    shown: 'http://192.168.1.20:4170',
  });
});

test.each(['127.0.0.1', 'localhost', '::1'])('on %s nobody else comes in', (host) => {
  const place = placeOf({ host, port: 80, secure: false, lan });
  expect(place.network).toEqual([]);
  expect(place.shown).toBe(place.here);
});

test('on one address of the network that address is the one', () => {
  const place = placeOf({ host: '192.168.1.20', port: 443, secure: true, lan });
  expect(place).toMatchObject({ here: 'https://192.168.1.20:443', shown: 'https://192.168.1.20:443' });
});

test('IPv6 addresses stand in brackets', () => {
  expect(placeOf({ host: 'fd00::7', port: 4170, secure: false, lan }).here).toBe('http://[fd00::7]:4170');
});

test('the public address goes before all others', () => {
  const publicUrl = 'https://listen.example.org';
  expect(placeOf({ host: '127.0.0.1', port: 80, secure: false, publicUrl, lan }).shown).toBe(publicUrl);
});

test('the announcement says every address, a code to scan and the code for the first account', async () => {
  const place = placeOf({ host: '0.0.0.0', port: 4170, secure: false, lan });
  const text = await announcement(place, { colours: false, firstCode: 'ACDE-FGHJ-KMNP', data: 'here/data' });
  for (const part of [
    place.here,
    ...place.network,
    'ACDE-FGHJ-KMNP',
    `${place.shown}/account/first`,
    'here/data',
    '█',
  ]) {
    expect(text).toContain(part);
  }
  expect(text).not.toContain('\u001b');
});

test('with somebody at home there is no code for a first account; on this machine alone nothing to scan', async () => {
  const place = placeOf({ host: '127.0.0.1', port: 4170, secure: false, lan });
  const text = await announcement(place, { colours: true, firstCode: null, data: 'here/data' });
  expect(text).not.toContain('account');
  expect(text).not.toContain('█');
  expect(text).toContain('--host 0.0.0.0');
});
