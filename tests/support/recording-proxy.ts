import { type AddressInfo, connect, createServer, type Socket } from 'node:net';

/** Stands between a browser and the server and keeps every byte that the server sent: headers, pages, socket frames. */
export interface RecordingProxy {
  url: string;
  /** All that was sent to this side so far, as latin1 text. */
  received(): string;
  /** Breaks every open connection, as a network does that goes away. */
  cut(): void;
  close(): Promise<void>;
}

export async function openRecordingProxy(port: number): Promise<RecordingProxy> {
  const chunks: Buffer[] = [];
  const sockets = new Set<Socket>();
  const server = createServer((near) => {
    const far = connect(port, '127.0.0.1');
    for (const socket of [near, far]) {
      sockets.add(socket);
      socket.on('close', () => sockets.delete(socket));
      // A broken connection is what a network does; the browser deals with it.
      socket.on('error', () => socket.destroy());
    }
    far.on('data', (chunk: Buffer) => chunks.push(chunk));
    near.pipe(far);
    far.pipe(near);
    near.on('close', () => far.destroy());
    far.on('close', () => near.destroy());
  });
  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve));
  return {
    url: `http://127.0.0.1:${(server.address() as AddressInfo).port}`,
    received: () => Buffer.concat(chunks).toString('latin1'),
    cut: () => {
      for (const socket of sockets) socket.destroy();
    },
    close: async () => {
      for (const socket of sockets) socket.destroy();
      await new Promise((resolve) => server.close(resolve));
    },
  };
}
