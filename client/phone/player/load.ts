import { sha256 } from '@noble/hashes/sha2';
import type { Sounds } from './sound';
import { readWav24 } from './wav24';

/** `network`: worth another try. `corrupt`, `wrong`: what came is not what was announced, and trying again didn't help. */
export type LoadFault = 'network' | 'corrupt' | 'wrong';

export class LoadError extends Error {
  readonly fault: LoadFault;
  constructor(fault: LoadFault, message: string) {
    super(message);
    this.name = 'LoadError';
    this.fault = fault;
  }
}

interface Announced {
  presentation: number;
  url: string;
  bytes: number;
  sha256: string;
}

interface Manifest {
  trial: string;
  rate: number;
  frames: number;
  sounds: Announced[];
}

/** How often a file is fetched before it is given up: at first, and twice more. */
const tries = 3;

/**
 * Fetches, checks and decodes every presentation; answers when all are there. `progress` gets the share of all bytes,
 * 0 … 1, and never goes back: bytes that come a second time count once.
 */
export async function loadSounds(
  manifestUrl: string,
  progress: (share: number) => void,
  signal: AbortSignal,
): Promise<Sounds> {
  const manifest = readManifest(await (await get(manifestUrl, signal)).json().catch(() => null));
  const total = manifest.sounds.reduce((sum, { bytes }) => sum + bytes, 0);
  const got = manifest.sounds.map(() => 0);
  let shown = 0;
  progress(0);

  const sounds: Sounds['sounds'][number][] = [];
  // One after the other: a phone has one line, and the first file that fails stops the rest.
  for (const [index, announced] of manifest.sounds.entries()) {
    const bytes = await fetchChecked(announced, signal, (length) => {
      got[index] = length;
      const share = got.reduce((sum, n) => sum + n, 0) / total;
      if (share <= shown) return;
      shown = share;
      progress(shown);
    });
    const sound = decode(bytes);
    if (sound.rate !== manifest.rate || sound.frames !== manifest.frames) {
      throw new LoadError(
        'wrong',
        `A sound has ${sound.frames} frames at ${sound.rate}, which is not what was announced.`,
      );
    }
    sounds.push({ ...sound, presentation: announced.presentation, sha256: announced.sha256 });
  }
  return { trial: manifest.trial, rate: manifest.rate, frames: manifest.frames, sounds };
}

function decode(bytes: Uint8Array) {
  try {
    return readWav24(bytes);
  } catch (error) {
    throw new LoadError('wrong', error instanceof Error ? error.message : 'A sound can’t be read.');
  }
}

async function fetchChecked(
  announced: Announced,
  signal: AbortSignal,
  came: (bytes: number) => void,
): Promise<Uint8Array> {
  let last = new LoadError('corrupt', 'A sound did not arrive as it was sent.');
  for (let attempt = 0; attempt < tries; attempt++) {
    try {
      const read = await readBody(await get(announced.url, signal), announced.bytes, came);
      if (read?.sha256 === announced.sha256) return read.bytes;
      last = new LoadError('corrupt', 'A sound did not arrive as it was sent.');
    } catch (error) {
      if (signal.aborted || !(error instanceof LoadError) || error.fault !== 'network') throw error;
      last = error;
    }
  }
  throw last;
}

async function get(url: string, signal: AbortSignal): Promise<Response> {
  let response: Response;
  try {
    response = await fetch(url, { credentials: 'same-origin', cache: 'no-store', signal });
  } catch (error) {
    if (signal.aborted) throw error;
    throw new LoadError('network', 'There is no connection.');
  }
  if (response.ok) return response;
  const passes = response.status >= 500 || response.status === 408 || response.status === 429;
  throw new LoadError(passes ? 'network' : 'wrong', `The server answered ${response.status}.`);
}

/** Null when it is longer or shorter than announced. */
async function readBody(
  response: Response,
  length: number,
  came: (bytes: number) => void,
): Promise<{ bytes: Uint8Array; sha256: string } | null> {
  const bytes = new Uint8Array(length);
  const hash = sha256.create();
  let at = 0;
  const take = (chunk: Uint8Array): boolean => {
    if (at + chunk.length > length) return false;
    bytes.set(chunk, at);
    hash.update(chunk);
    at += chunk.length;
    came(at);
    return true;
  };
  try {
    const reader = response.body?.getReader();
    if (reader) {
      for (let piece = await reader.read(); !piece.done; piece = await reader.read()) {
        if (take(piece.value)) continue;
        await reader.cancel();
        return null;
      }
    } else if (!take(new Uint8Array(await response.arrayBuffer()))) {
      return null;
    }
  } catch (error) {
    if (error instanceof DOMException && error.name === 'AbortError') throw error;
    throw new LoadError('network', 'The connection broke off.');
  }
  return at === length ? { bytes, sha256: hex(hash.digest()) } : null;
}

const hex = (bytes: Uint8Array): string => [...bytes].map((byte) => byte.toString(16).padStart(2, '0')).join('');

function readManifest(value: unknown): Manifest {
  const wrong = new LoadError('wrong', 'The list of sounds can’t be read.');
  if (!isRecord(value) || !Array.isArray(value.sounds) || value.sounds.length === 0) throw wrong;
  const { trial, rate, frames } = value;
  if (typeof trial !== 'string' || !isCount(rate) || !isCount(frames)) throw wrong;
  const sounds = value.sounds.map((one: unknown): Announced => {
    if (!isRecord(one)) throw wrong;
    const { presentation, url, bytes, sha256: sum } = one;
    // Only from the server that the page came from.
    if (typeof url !== 'string' || !/^\/[^/\\]/.test(url)) throw wrong;
    if (!isCount(presentation) || !isCount(bytes) || typeof sum !== 'string' || !/^[0-9a-f]{64}$/.test(sum))
      throw wrong;
    return { presentation, url, bytes, sha256: sum };
  });
  return { trial, rate, frames, sounds };
}

const isRecord = (value: unknown): value is Record<string, unknown> => typeof value === 'object' && value !== null;
const isCount = (value: unknown): value is number => typeof value === 'number' && Number.isInteger(value) && value > 0;
