import type { NetworkInterfaceInfo } from 'node:os';
import { expect, test } from 'vitest';
import { lanAddresses } from '../../server/lan';

const card = (address: string, internal = false): NetworkInterfaceInfo[] => [
  { address, internal, family: 'IPv4', netmask: '255.255.255.0', mac: '00:00:00:00:00:00', cidr: `${address}/24` },
];
const addresses = (cards: Record<string, NetworkInterfaceInfo[] | undefined>) =>
  lanAddresses(cards).map(({ address }) => address);

test('the workshop network stands before a company network, and that before a public address', () => {
  const cards = { a: card('203.0.113.9'), b: card('172.20.0.4'), c: card('10.1.2.3'), d: card('192.168.1.20') };
  expect(addresses(cards)).toEqual(['192.168.1.20', '10.1.2.3', '172.20.0.4', '203.0.113.9']);
});

test('cards of containers and tunnels come after real ones, whatever their range', () => {
  const cards = { docker0: card('192.168.0.1'), utun3: card('10.0.0.2'), wlan0: card('203.0.113.9') };
  expect(addresses(cards)).toEqual(['203.0.113.9', '192.168.0.1', '10.0.0.2']);
});

test('172.32 and 172.15 are no private ranges', () => {
  expect(
    addresses({ a: card('172.32.0.1'), b: card('172.15.0.1'), c: card('172.16.0.1'), d: card('172.31.0.1') }),
  ).toEqual(['172.16.0.1', '172.31.0.1', '172.32.0.1', '172.15.0.1']);
});

test('an address that a card gave itself comes last', () => {
  expect(addresses({ eth0: card('169.254.7.7'), docker0: card('172.17.0.1') })).toEqual(['172.17.0.1', '169.254.7.7']);
});

test('this machine itself and IPv6 are left out', () => {
  const six: NetworkInterfaceInfo = {
    address: 'fe80::1',
    internal: false,
    family: 'IPv6',
    netmask: 'ffff:ffff:ffff:ffff::',
    mac: '00:00:00:00:00:00',
    cidr: 'fe80::1/64',
    scopeid: 2,
  };
  expect(addresses({ lo: card('127.0.0.1', true), wlan0: [six], gone: undefined })).toEqual([]);
});
