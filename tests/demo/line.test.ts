import { type AddressInfo, createServer, type Socket } from 'node:net';
import { io } from 'socket.io-client';
import { afterAll, expect, test } from 'vitest';
import { Line, lineOptions } from '../../server/demo/line';
import { removeFolders } from '../support/driver';
import { panelHouse } from '../support/panel-house';

/** Browsers that are hung up: whatever they were about, nothing of them goes on. */

afterAll(removeFolders);

/** Somebody who takes every call and says nothing. */
async function silence(port = 0) {
  const calls: Socket[] = [];
  const server = createServer((socket) => void calls.push(socket.on('error', () => {})));
  await new Promise<void>((resolve) => server.listen(port, '127.0.0.1', resolve));
  const close = async () => {
    for (const socket of calls) socket.destroy();
    await new Promise((resolve) => server.close(resolve));
  };
  return { calls, port: (server.address() as AddressInfo).port, close };
}
const noPage = async () => {};

test('a phone that is hung up before its page is there is not connected, and can connect later', async () => {
  const { house, desk, study } = await panelHouse();
  const { joinCode } = await desk.openSession(study);
  const phone = house.phone('Heron');
  await phone.join(joinCode, { alias: 'Heron' });
  await phone.checkIn();
  await phone.consent();
  const failed = expect(phone.connect()).rejects.toThrow('Hung up while it was connecting.');
  phone.hangUp();
  await failed;
  // Its page is there by now.
  await phone.reload();
  expect(phone.connected).toBe(false);
  await phone.connect();
  expect(phone.connected).toBe(true);
  for (const one of [phone, desk]) one.cutOff();
  expect(phone.connected).toBe(false);
  await expect(phone.connect()).rejects.toThrow('This line was cut off.');
  await expect(desk.connect(study)).rejects.toThrow('This line was cut off.');
  await house.close();
});

test('a line that is hung up while nobody answers yet is down', async () => {
  const { port, close } = await silence();
  const line = new Line();
  const socket = io(`http://127.0.0.1:${port}`, { ...lineOptions, autoConnect: false });
  const failed = expect(line.connect(noPage, () => socket.connect())).rejects.toThrow('Hung up');
  await new Promise((resolve) => setImmediate(resolve));
  expect(socket.active).toBe(true);
  line.hangUp();
  await failed;
  expect([socket.active, line.up]).toEqual([false, null]);
  await close();
});

test('whoever reaches nobody says so once and doesn’t go on trying', async () => {
  const gone = await silence();
  await gone.close();
  const line = new Line();
  const dial = () => io(`http://127.0.0.1:${gone.port}`, { ...lineOptions, reconnectionDelay: 10 });
  await expect(line.connect(noPage, dial)).rejects.toThrow();
  const there = await silence(gone.port);
  await new Promise((resolve) => setTimeout(resolve, 100));
  expect(there.calls).toEqual([]);
  await there.close();
});
