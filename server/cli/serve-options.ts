import { join, resolve } from 'node:path';
import type { ServeOptions } from '../main';
import { root } from '../root';
import { BadInput, type Command } from './command';

/** The options of every command that serves or that must find the data of a server. */
export const serveOptions = {
  port: { type: 'string', summary: 'the port to listen on, 0 for any free one (PORT; 4170)' },
  host: { type: 'string', summary: 'the address to listen on (HOST; 0.0.0.0, all networks of this machine)' },
  data: { type: 'string', summary: 'the folder of the data (FAIR_HEARING_DATA; data in the project folder)' },
  'tls-cert': { type: 'string', summary: 'a certificate file in PEM, to serve over HTTPS (FAIR_HEARING_TLS_CERT)' },
  'tls-key': { type: 'string', summary: 'the key file of the certificate, in PEM (FAIR_HEARING_TLS_KEY)' },
  'public-url': {
    type: 'string',
    summary: 'the address that phones use, when it is none of this machine (FAIR_HEARING_PUBLIC_URL)',
  },
} satisfies Command['options'];

type Given = Record<string, string | boolean | undefined>;
type Name = keyof typeof serveOptions;

const variables: Record<Name, string> = {
  port: 'PORT',
  host: 'HOST',
  data: 'FAIR_HEARING_DATA',
  'tls-cert': 'FAIR_HEARING_TLS_CERT',
  'tls-key': 'FAIR_HEARING_TLS_KEY',
  'public-url': 'FAIR_HEARING_PUBLIC_URL',
};

/** What to serve and where: the options first, then the environment, then what usually fits. */
export function readServeOptions(given: Given, environment: NodeJS.ProcessEnv): ServeOptions {
  const value = (name: Name): string | undefined => {
    const option = given[name];
    return typeof option === 'string' ? option : environment[variables[name]] || undefined;
  };
  const tlsCert = value('tls-cert');
  const tlsKey = value('tls-key');
  if ((tlsCert === undefined) !== (tlsKey === undefined)) {
    const missing = tlsCert === undefined ? '--tls-cert' : '--tls-key';
    throw new BadInput({
      code: 'missing-option',
      message: `${missing} is missing: HTTPS needs a certificate and its key.`,
      path: missing,
      allowed: 'both --tls-cert and --tls-key, or neither',
    });
  }
  const publicUrl = value('public-url');
  return {
    port: readPort(value('port') ?? '4170', given.port === undefined ? environment.PORT : undefined),
    host: value('host') ?? '0.0.0.0',
    data: readDataFolder(given, environment),
    ...(tlsCert !== undefined && tlsKey !== undefined ? { tlsCert: resolve(tlsCert), tlsKey: resolve(tlsKey) } : {}),
    ...(publicUrl === undefined ? {} : { publicUrl: readPublicUrl(publicUrl) }),
  };
}

/** The data folder alone, for commands that don't serve. */
export function readDataFolder(given: Given, environment: NodeJS.ProcessEnv): string {
  if (typeof given.data === 'string') return resolve(given.data);
  return environment.FAIR_HEARING_DATA ? resolve(environment.FAIR_HEARING_DATA) : join(root, 'data');
}

function readPort(text: string, fromEnvironment: string | undefined): number {
  const port = /^\d{1,5}$/.test(text) ? Number(text) : Number.NaN;
  if (port <= 65_535) return port;
  throw new BadInput({
    code: 'out-of-range',
    message: `--port${fromEnvironment ? ' (from PORT)' : ''} is "${text}"; a port is a whole number from 0 to 65535.`,
    path: '--port',
    allowed: '0 to 65535',
    got: text,
  });
}

function readPublicUrl(text: string): string {
  const url = URL.canParse(text) ? new URL(text) : undefined;
  const plain = url && /^https?:$/.test(url.protocol) && url.pathname === '/' && !url.search && !url.hash;
  if (plain && !url.username && !url.password) return url.origin;
  throw new BadInput({
    code: 'invalid-url',
    message: '--public-url is no address that a phone could open: write it like https://listen.example.org.',
    path: '--public-url',
    allowed: 'http:// or https://, a name or address, and a port if need be',
    got: text,
  });
}
