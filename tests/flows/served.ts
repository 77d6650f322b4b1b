import { type ChildProcess, spawn } from 'node:child_process';
import { join } from 'node:path';
import { root } from '../../server/root';

/** A server in a process of its own, started as a person starts it, so that it can be killed. */
export interface Served {
  origin: string;
  port: number;
  /** SIGKILL: no handler runs, nothing is flushed that was not flushed before. */
  kill(): Promise<void>;
}

const running = new Set<ChildProcess>();

export async function startServer(data: string, port = 0): Promise<Served> {
  const words = ['serve', '--host', '127.0.0.1', '--port', String(port), '--data', data];
  const { PORT, HOST, FAIR_HEARING_DATA, ...environment } = process.env;
  const child = spawn(process.execPath, [join(root, 'server/start/fh.mjs'), ...words], { env: environment });
  running.add(child);
  const ended = new Promise<void>((resolve) =>
    child.once('close', () => {
      running.delete(child);
      resolve();
    }),
  );
  let said = '';
  const origin = await new Promise<string>((resolve, reject) => {
    child.stderr.on('data', (text: Buffer) => {
      said += text.toString();
    });
    child.stdout.on('data', (text: Buffer) => {
      said += text.toString();
      const found = /On this machine +(\S+)\n/.exec(said)?.[1];
      if (found) resolve(found);
    });
    child.once('close', () => reject(new Error(`The server ended before it served: ${said}`)));
  });
  return {
    origin,
    port: Number(new URL(origin).port),
    async kill() {
      child.kill('SIGKILL');
      await ended;
    },
  };
}

/** For `afterAll`: whatever a failed test left behind. */
export async function killServers(): Promise<void> {
  const ended = [...running].map((child) => new Promise((resolve) => child.once('close', resolve)));
  for (const child of running) child.kill('SIGKILL');
  await Promise.all(ended);
}
