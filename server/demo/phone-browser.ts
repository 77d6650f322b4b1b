import { createHash, randomBytes } from 'node:crypto';
import { io } from 'socket.io-client';
import type { Sureness } from '../../shared/guesses';
import type { ActReply, Interruption, PhoneTimes, Place, SentRating, SoundReport } from '../../shared/wire';
import { type Manifest, manifestSchema } from '../../shared/wire/sound';
import { soundChecks } from '../../shared/wire/sound-check';
import { type Answer, Browser, expectStatus, type Fields } from './browser';
import { Line, lineOptions } from './line';
import { textOf } from './page';
import { type PlaceSeen, placeOnPage, readPlace } from './phone-place';

/** An act without the parts that every act has. */
export type ActPart =
  | { kind: 'rested' | 'fits' | 'refit' | 'plays' | 'resumed'; presentation: number }
  | { kind: 'heard'; presentation: number; sound?: SoundReport }
  | { kind: 'interrupted'; presentation: number; what: Interruption; sound?: SoundReport }
  | { kind: 'answer'; answer: string; sound?: SoundReport }
  | { kind: 'rate'; ratings: SentRating[]; sound?: SoundReport }
  | ({ kind: 'grade'; presentation: number; sound?: SoundReport } & Graded)
  | { kind: 'words'; words: { code: string; text: string }[] };

/** Places count from 1. */
export type Graded = {
  grades: { place: number; scale: string; value: number }[];
  ticks: { place: number; attributes: string[] }[];
};

export interface FetchedSound {
  presentation: number;
  wav: Buffer;
}

/** What a page says of its player when each sample sounded for so long as it must, and a little longer. */
export function reportOf({ cards, player, kind }: PlaceSeen): { sound?: SoundReport } {
  if (!player) return {};
  // Of a sample that is graded alone there is no card.
  const samples = kind === 'comparing' || kind === 'grading' ? Math.max(1, cards.length) : 1;
  const heardMs = Array.from({ length: samples }, () => Math.max(1, player.minimum) * 1_000 + 400);
  return { sound: { heardMs, rate: 48_000, switches: samples === 1 ? 0 : samples } };
}

/** Acts before a sample plays. */
const silent: ActPart['kind'][] = ['rested', 'fits', 'refit', 'plays'];

/** A listener's phone: the pages up to the seat, then one place after another by socket. */
export class PhoneBrowser extends Browser {
  private readonly line = new Line();
  private csrf = '';
  private waiting: (() => void)[] = [];
  private shown: PlaceSeen | null = null;
  private readonly codes = new Map<string, string[]>();
  /** The seat, as it stood on the page last. */
  seat: number | null = null;
  /** The personal link, once joined. */
  link = '';

  /** Where this phone is; null before check-in and consent. */
  get place(): PlaceSeen | null {
    return this.shown;
  }

  /** Opens the address behind the QR code and says who is there. Whoever is sent away there has nothing to say. */
  async join(code: string, who: { alias?: string; audience?: string; seen?: 'yes' | 'no' }): Promise<Answer> {
    const door = await this.open(`/j/${code}`);
    const { page } = door;
    if (!page.find('main form')) return door;
    const form = page.form('main');
    const label = page.all('label.choice').find((one) => textOf(one) === who.audience);
    const audience = label?.querySelector('input')?.getAttribute('value');
    const answer = await this.send(form, {
      ...(who.alias === undefined ? {} : { alias: who.alias }),
      ...(audience ? { audience } : {}),
      seen: who.seen ?? 'no',
    });
    this.link = answer.page.find('#link')?.getAttribute('value') ?? this.link;
    return answer;
  }

  /** Ticks how this listener is today, and says whether the samples were heard elsewhere. */
  async checkIn(conditions: readonly string[] = ['none'], outside: 'yes' | 'no' = 'no'): Promise<Answer> {
    const { page } = await this.open('/listen');
    return this.send(page.form('form[action="/listen/check-in"]'), { conditions: [...conditions], outside });
  }

  async consent(): Promise<Answer> {
    const { page } = await this.open('/listen');
    return this.send(page.form('form[action="/listen/consent"]'), { agree: 'yes' });
  }

  /** Says that left is left, that a cable is used and that all is seen to; or otherwise. */
  async checkSound(otherwise: Fields = {}): Promise<Answer> {
    const { page } = await this.open('/listen');
    const form = page.form('form[action="/listen/sound-check"]');
    const tones = page.find('#tones')
      ? { first_played: 'right', first_heard: 'right', second_played: 'left', second_heard: 'left' }
      : {};
    const answer = await this.send(form, { ...tones, connection: 'wired', checks: [...soundChecks], ...otherwise });
    return answer.status === 200 ? this.load(answer) : answer;
  }

  /** Fetches what the page is to play here, and holds each file against what was announced. */
  async fetchSounds(place: PlaceSeen): Promise<FetchedSound[]> {
    const manifest = await this.askForSounds(place);
    const fetched: FetchedSound[] = [];
    for (const { presentation, url, bytes, sha256 } of manifest.sounds) {
      const file = await this.file(url);
      const hash = createHash('sha256').update(file.bytes).digest('hex');
      if (file.status !== 200 || file.bytes.length !== bytes || hash !== sha256) {
        throw new Error(`Sound ${presentation} of ${this.name} is not what was announced (${file.status}).`);
      }
      fetched.push({ presentation, wav: file.bytes });
    }
    return fetched;
  }

  /** Asks for what there is to play here, which makes it, and fetches none of it. */
  async askForSounds({ player }: PlaceSeen): Promise<Manifest> {
    if (!player) throw new Error(`The page of ${this.name} plays nothing here.`);
    const answer = await this.request('GET', player.manifest, { accept: 'json' });
    if (answer.status !== 200) throw new Error(`${player.manifest} was answered ${answer.status}: ${answer.body}`);
    return manifestSchema.parse(answer.json());
  }

  /** Answers the question after everything, by its form; `null` skips it. */
  async guess(said: { choice: string; sure?: Sureness } | null): Promise<Answer> {
    const { page } = await this.open('/listen');
    const form = page.form('form[action="/listen/guess"]');
    return this.load(await this.send(form, said === null ? { skip: 'yes' } : { ...said }));
  }

  async stop(): Promise<Answer> {
    const { page } = await this.open('/listen');
    return this.load(await this.send(page.form('form[action="/listen/stop"]')));
  }

  /** Opens the page of the sitting, or loads it anew. */
  async reload(): Promise<Answer> {
    return this.load(await this.open('/listen'));
  }

  private load(answer: Answer): Answer {
    expectStatus(answer, 200);
    this.csrf = answer.page.find('input[name="_csrf"]')?.getAttribute('value') ?? this.csrf;
    const place = placeOnPage(answer.page);
    if (place) this.show(place);
    return answer;
  }

  /** Opens the page and the socket, as the phone's script does. */
  async connect(): Promise<void> {
    await this.line.connect(
      () => this.reload(),
      () => {
        const socket = io(`${this.origin}/listen`, {
          ...lineOptions,
          reconnectionDelay: 50,
          reconnectionDelayMax: 200,
          extraHeaders: { cookie: this.cookies.header() ?? '', origin: this.origin },
        });
        socket.io.engine.on('packet', ({ type, data }: { type: string; data?: unknown }) => {
          this.watch?.({ to: this.name, of: 'socket', status: null, headers: type, body: String(data ?? '') });
        });
        socket.on('place', (place: Place) => this.take(place));
        socket.on('connect', () => void this.where());
        return socket;
      },
    );
  }

  /** Whether its socket is up. */
  get connected(): boolean {
    return this.line.up?.connected ?? false;
  }

  /** Asks where it is. */
  async where(): Promise<PlaceSeen | null> {
    const place = (await this.line.up
      ?.timeout(5_000)
      .emitWithAck('where')
      .catch(() => null)) as Place | null;
    if (place) this.take(place);
    return this.shown;
  }

  hangUp(): void {
    this.line.hangUp();
  }

  /** Hangs up for good. */
  cutOff(): void {
    this.line.cutOff();
  }

  /** Milliseconds since 1970 by its own clock. */
  wall(): number {
    return this.now().getTime();
  }

  /** A whole act, as it travels. A repeated one has the same id. */
  whole(
    part: ActPart,
    trial = this.shown?.trial ?? '',
    times: PhoneTimes = { sincePlaying: silent.includes(part.kind) ? null : 20_000, wall: this.wall() },
  ): ActPart & { id: string; trial: string; times: PhoneTimes } {
    return { id: randomBytes(14).toString('hex'), trial, times, ...part };
  }

  /** Sends an act by socket and shows the place that comes with the answer. */
  async act(part: ActPart, times?: PhoneTimes): Promise<ActReply> {
    return this.emit(this.whole(part, undefined, times));
  }

  async emit(act: unknown): Promise<ActReply> {
    const socket = this.line.up;
    if (!socket) throw new Error(`${this.name} has no socket.`);
    const reply = (await socket.timeout(8_000).emitWithAck('act', act)) as ActReply;
    if (reply.place) this.take(reply.place);
    return reply;
  }

  /** Sends whatever it is, and waits for no answer. */
  shout(event: string, ...message: unknown[]): void {
    this.line.up?.emit(event, ...message);
  }

  /** Sends an act by plain HTTP, as a phone without a socket does. */
  async postAct(act: unknown): Promise<{ status: number; reply: ActReply }> {
    const answer = await this.request('POST', '/listen/act', {
      body: JSON.stringify(act),
      type: 'application/json',
      accept: 'json',
      headers: { 'x-csrf-token': this.csrf },
    });
    const reply = answer.json<ActReply>();
    if (reply.place) this.take(reply.place);
    return { status: answer.status, reply };
  }

  private take({ version, html }: Place): void {
    // What comes with an answer comes by itself as well.
    if (this.shown && (version < this.shown.version || html === this.shown.html)) return;
    this.show(readPlace(version, html));
  }

  private show(place: PlaceSeen): void {
    this.shown = place;
    this.seat = place.seat ?? this.seat;
    const together = place.kind === 'comparing' || (place.kind === 'grading' && place.player !== null);
    if (together && place.cards.length > 0) this.codes.set(place.trial, place.cards);
    else if (place.trial && place.code) {
      const codes = this.codes.get(place.trial) ?? [];
      codes[place.presentation - 1] = place.code;
      this.codes.set(place.trial, codes);
    }
    this.wake();
  }

  /** The codes of a trial in the order of hearing, as they stood on the page. */
  codesOf(trial: string): string[] {
    return this.codes.get(trial) ?? [];
  }

  private wake(): void {
    for (const wake of this.waiting.splice(0)) wake();
  }

  /** Waits until the phone shows a place that fits. */
  async until(fits: (place: PlaceSeen) => boolean): Promise<PlaceSeen> {
    for (;;) {
      if (this.shown && fits(this.shown)) return this.shown;
      await new Promise<void>((resolve) => this.waiting.push(resolve));
    }
  }
}
