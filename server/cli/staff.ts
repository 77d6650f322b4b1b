import { existsSync } from 'node:fs';
import { join } from 'node:path';
import { createInvitation, createReset, type OneTimeLink } from '../account/tokens';
import { placeOf } from '../announce';
import { occupantOf } from '../occupant';
import { openStore, type Store } from '../store/open';
import { Refusal } from '../web/refusal';
import { expectPositionals } from './arguments';
import { BadInput, type Command, type Io } from './command';
import { readServeOptions, serveOptions } from './serve-options';

/** A command runs beside the server or without it, and has only the clock of the machine. */
const machineNow = () => new Date();

const options: Command['options'] = {
  data: serveOptions.data,
  port: serveOptions.port,
  'public-url': serveOptions['public-url'],
  json: { type: 'boolean', summary: 'the link as JSON: {link, until}' },
};

export const invite: Command = {
  name: 'staff invite',
  summary: 'Makes a link with which one more person makes an account',
  usage: '[--data data/] [--public-url URL] [--json]',
  options,
  async run({ positionals, options }, io) {
    expectPositionals(positionals, []);
    const made = await withStore(options, (store, origin) => createInvitation(store, origin, machineNow));
    show(made, 'Hand this link to the person you invite.', options.json === true, io);
    return 0;
  },
};

export const reset: Command = {
  name: 'staff reset',
  summary: 'Makes a link with which one person sets a new password',
  usage: 'NAME [--data data/] [--public-url URL] [--json]',
  options,
  async run({ positionals, options }, io) {
    expectPositionals(positionals, ['NAME']);
    const [name = ''] = positionals;
    const made = await withStore(options, (store, origin) => createReset(store, name, origin, machineNow));
    show(made, `Hand this link to ${name}.`, options.json === true, io);
    return 0;
  },
};

/** Beside a running server as well as without one; links start with the address that the server shows, if it runs. */
async function withStore(
  given: Record<string, string | boolean | undefined>,
  make: (store: Store, origin: string) => Promise<OneTimeLink>,
): Promise<OneTimeLink> {
  const wanted = readServeOptions(given, process.env);
  if (!existsSync(join(wanted.data, 'fair-hearing.sqlite'))) {
    throw new BadInput({
      code: 'no-data',
      message: `--data names ${wanted.data}, where there is no data of Fair Hearing. Name the folder that the server uses.`,
      path: '--data',
      allowed: 'the folder that the server uses',
      got: wanted.data,
    });
  }
  const { port, host, publicUrl } = wanted;
  const running = await occupantOf(wanted.data);
  const origin =
    publicUrl ?? running?.shown ?? placeOf({ host, port, secure: wanted.tlsCert !== undefined, publicUrl }).shown;
  const store = await openStore(wanted.data);
  try {
    return await make(store, origin);
  } catch (error) {
    if (!(error instanceof Refusal)) throw error;
    const { code, message, path, allowed, got } = error.toJSON().error;
    throw new BadInput({
      code,
      message,
      path: path === 'name' ? 'NAME' : path,
      ...(allowed === undefined ? {} : { allowed }),
      ...(got === undefined ? {} : { got }),
    });
  } finally {
    await store.close();
  }
}

function show({ link, until }: OneTimeLink, what: string, json: boolean, io: Io): void {
  if (json) {
    io.stdout.write(`${JSON.stringify({ link, until: until.toISOString() })}\n`);
    return;
  }
  io.stdout.write(
    `${what} It works once, until ${until.toLocaleString('en-GB', { dateStyle: 'long', timeStyle: 'short' })}:\n\n  ${link}\n`,
  );
}
