import { expect } from 'vitest';
import type { Arrival } from '../../server/demo/browser';

/** Traffic of two plays of one study, made comparable: what is random in each is told by when it came first. */

const random = [
  /** ULIDs of sessions, sittings, trials, listeners. */
  /(?<![0-9A-Z])01[0-9A-HJKMNP-TV-Z]{24}(?![0-9A-Z])/g,
  /** Hashes. */
  /(?<![0-9a-f])[0-9a-f]{64}(?![0-9a-f])/g,
  /** Tokens of links, cookies and forms. */
  /(?<![A-Za-z0-9_-])[A-Za-z0-9_-]{43}(?![A-Za-z0-9_-])/g,
];

export interface Compared {
  /** What each side asked for and got, in order. */
  got: Map<string, string[]>;
  /** What sockets pushed by themselves. How often they tell hangs on time, and a place may be pushed or only asked for. */
  pushed: Set<string>;
  /** Every place that came by a socket, pushed or asked for. */
  places: Set<string>;
}

export function comparable(traffic: readonly Arrival[], log: string): Compared {
  const got = new Map<string, string[]>();
  const [pushed, places] = [new Set<string>(), new Set<string>()];
  const sides = new Map<string, (text: string) => string>();
  // Pings come with time, and so does the nothing that is said when a connection changes its way.
  const heard = traffic.filter(({ of, headers }) => of !== 'socket' || !/^(?:p[io]ng|noop)$/.test(headers));
  const isPush = ({ of, body }: Arrival) => of === 'socket' && !/^\d+\/listen,\d+\[/.test(body);
  for (const arrival of [...heard.filter((one) => !isPush(one)), ...heard.filter(isPush)]) {
    const named = sides.get(arrival.to) ?? naming();
    sides.set(arrival.to, named);
    const text = named(drawn(plain(arrival)));
    const place = arrival.of === 'socket' ? /\{"version":\d+,"html":"(?:[^"\\]|\\.)*"\}/.exec(text)?.[0] : undefined;
    if (place !== undefined) places.add(`${arrival.to} ${place}`);
    if (isPush(arrival)) pushed.add(place === undefined ? text : `${arrival.to} ${place}`);
    else got.set(arrival.to, [...(got.get(arrival.to) ?? []), text]);
  }
  const lines = log.replace(/"(?:time|pid)":\d+/g, '"":0').replace(/"hostname":"[^"]*"/g, '""');
  got.set('log', naming()(drawn(lines)).split('\n'));
  return { got, pushed, places };
}

/** Names what is random by the order in which it came. */
function naming(): (text: string) => string {
  const names = new Map<string, string>();
  return (text) =>
    random.reduce(
      (all, pattern, kind) =>
        all.replace(pattern, (found) => {
          const name = names.get(found) ?? `<${'ilt'[kind]}${names.size}>`.padEnd(found.length, '.');
          names.set(found, name);
          return name;
        }),
      text,
    );
}

function plain(arrival: Arrival): string {
  const { to, of, status, headers, body } = arrival;
  if (/^content-type: audio/m.test(headers)) return plainSound(arrival);
  const length = /^content-length: (\d+)$/m.exec(headers)?.[1];
  if (length !== undefined) expect(Number(length)).toBe(Buffer.byteLength(body));
  // Cookies end by the clock of the machine, which isn't turned here.
  const kept = headers.replace(/^(?:date|content-length): .*\n?/gm, '').replace(/Expires=[^;]*/g, '');
  // The opening of a connection has an id of its own; how often something changed is told by a number.
  const said =
    of === 'socket' ? body.replace(/"sid":"[^"]*"/g, '').replace(/\["changed",\d+\]/, '["changed",#]') : body;
  return `${to} ${of} ${status}\n${kept}\n${said}`;
}

/** Of what is heard only the samples may differ, which are looked at elsewhere. A body of bytes is a letter for each. */
function plainSound({ to, of, status, headers, body }: Arrival): string {
  const samples = 44;
  const kept = headers.replace(/^date: .*\n?/gm, '');
  return `${to} ${of} ${status}\n${kept}\n${Buffer.from(body.slice(0, samples), 'latin1').toString('hex')} ${body.length}`;
}

/** The code at the desk and its picture are drawn anew for each session. */
function drawn(text: string): string {
  return text
    .replaceAll('\u2009', '')
    .replace(/ d=\\?"M[^"\\]*\\?"/g, ' d=""')
    .replace(/viewBox="0 0 \d+ \d+" shape-rendering/g, 'viewBox="" shape-rendering')
    .replace(/(\/j\/|>|: )[BCDFGHJKMNPQRSTVWXZ]{5}(?![A-Za-z])/g, '$1JJJJJ');
}

/** Where two plays differ; empty when every byte is the same. */
export function differing(one: Compared, other: Compared): string[] {
  const found: string[] = [];
  for (const side of new Set([...one.got.keys(), ...other.got.keys()])) {
    const [here, there] = [one.got.get(side) ?? [], other.got.get(side) ?? []];
    for (let at = 0; at < Math.max(here.length, there.length); at++) {
      if (here[at] !== there[at]) found.push(firstDifference(here[at] ?? '', there[at] ?? ''));
    }
  }
  for (const [here, there] of [
    [one, other],
    [other, one],
  ] as const) {
    for (const text of here.pushed) {
      if (!there.pushed.has(text) && !there.places.has(text)) found.push(`pushed to one only: ${text.slice(0, 300)}`);
    }
  }
  return found;
}

function firstDifference(one: string, other: string): string {
  let at = 0;
  while (at < one.length && one[at] === other[at]) at++;
  const line = one.slice(0, one.indexOf('\n'));
  return `${line}: “${one.slice(Math.max(0, at - 60), at + 60)}” or “${other.slice(Math.max(0, at - 60), at + 60)}”`;
}
