import { readFileSync, rmSync, writeFileSync } from 'node:fs';
import { connect } from 'node:net';
import { join } from 'node:path';

/** A note in the data folder of who serves it, and under which address: for commands, and against serving it twice. */
export interface Occupant {
  pid: number;
  host: string;
  port: number;
  /** The address that goes into links. */
  shown: string;
}

const noteOf = (folder: string) => join(folder, 'occupant.json');

/** The server that serves this folder now; a note left by one that was killed counts for nothing. */
export async function occupantOf(folder: string): Promise<Occupant | undefined> {
  let noted: Occupant;
  try {
    noted = JSON.parse(readFileSync(noteOf(folder), 'utf8')) as Occupant;
  } catch {
    return undefined;
  }
  // The number of a dead process may belong to another program by now, so its port is asked too.
  return alive(noted.pid) && (await answers(noted)) ? noted : undefined;
}

export function noteOccupant(folder: string, occupant: Occupant): void {
  writeFileSync(noteOf(folder), `${JSON.stringify(occupant)}\n`, { mode: 0o600 });
}

export function forgetOccupant(folder: string): void {
  rmSync(noteOf(folder), { force: true });
}

function alive(pid: number): boolean {
  try {
    return process.kill(pid, 0);
  } catch (error) {
    return (error as NodeJS.ErrnoException).code === 'EPERM';
  }
}

function answers({ host, port }: Occupant): Promise<boolean> {
  const everywhere = host === '0.0.0.0' || host === '::';
  return new Promise((resolve) => {
    const socket = connect({ port, host: everywhere ? 'localhost' : host, timeout: 2_000 });
    const done = (result: boolean) => {
      socket.destroy();
      resolve(result);
    };
    socket.once('connect', () => done(true));
    socket.once('error', () => done(false));
    socket.once('timeout', () => done(false));
  });
}
