import { protocolOf } from '../../protocols/index';
import type { VirtualListener as Tastes, Truth } from '../../protocols/protocol';
import type { PrototypeId } from '../../shared/brands';
import { seededRandom } from '../../stats/seeded-random';
import type { Bench } from './bench';
import type { PhoneBrowser } from './phone-browser';
import type { PlaceSeen } from './phone-place';

export interface Character {
  alias: string;
  audience: string;
  /** What this listener would rather hear; prototypes by name. */
  truth: Truth;
  /** Words that come to mind about a sample, by prototype. */
  remarks?: Record<string, string[]>;
  /** Puts every sample in again once before it seals. */
  fussy?: boolean;
  /** Stops of their own will after so many answers. */
  leavesAfter?: number;
}

const method = protocolOf('paired-preference');
const endings = ['finished', 'out', 'closed'];

/**
 * Somebody with a phone and ears, who does what the phone says, hears what lies at the seat, and answers by the model
 * of the method. An answer hangs on the seed, the listener, the pair, and how often it was heard, but not on the draw:
 * the same seed gives the same answers in whatever order they are asked.
 */
export class ListenerAtSeat {
  private readonly tastes: Tastes;
  private readonly timesHeard = new Map<string, number>();
  private heard: string[] = [];
  private seat = 0;
  private answers = 0;

  constructor(
    readonly phone: PhoneBrowser,
    private readonly bench: Bench,
    readonly character: Character,
    samples: readonly string[],
    private readonly seed: string,
  ) {
    const random = seededRandom(`${seed} ${character.alias}`);
    this.tastes = method.listener(character.truth, samples as PrototypeId[], random);
  }

  async arrive(joinCode: string): Promise<void> {
    const { alias, audience } = this.character;
    await this.phone.join(joinCode, { alias, audience });
    await this.phone.checkIn();
    await this.phone.consent();
    await this.phone.connect();
  }

  /** Goes from place to place until the sitting is over. */
  async listen(): Promise<void> {
    for (;;) {
      const place = await this.phone.until(({ kind }) => !['unseated', 'waiting', 'paused'].includes(kind));
      if (endings.includes(place.kind)) return;
      await this.at(place);
      if (this.answers === this.character.leavesAfter && place.kind === 'words') {
        await this.phone.stop();
        return;
      }
    }
  }

  private async at(place: PlaceSeen): Promise<void> {
    const { phone, character } = this;
    switch (place.kind) {
      case 'fitting':
        if (character.fussy && place.presentation === 1 && !place.html.includes('again')) {
          await phone.act({ kind: 'refit', presentation: 1 });
        }
        await phone.act({ kind: 'fits', presentation: place.presentation });
        return;
      case 'listening':
        this.heard[place.presentation - 1] = this.bench.at(this.seatNow()).prototype;
        await phone.act({ kind: 'heard', presentation: place.presentation });
        return;
      case 'asking':
        await this.answer(place);
        return;
      case 'words': {
        const words = this.remarks(place);
        await phone.act({ kind: 'words', words });
        this.heard = [];
        return;
      }
      default:
        throw new Error(`${character.alias} doesn't know what to do at “${place.kind}”.`);
    }
  }

  /** The seat stands on the page while a sample is waited for. */
  private seatNow(): number {
    const seat = this.phone.seat;
    if (seat !== null) this.seat = seat;
    return this.seat;
  }

  private async answer(place: PlaceSeen): Promise<void> {
    const { code, none } = this.choice(place);
    const reply = await this.phone.act({ kind: 'answer', answer: none ? 'none' : code });
    if (reply.ok && !place.practice) this.answers++;
  }

  private choice(place: PlaceSeen): { code: string; none: boolean } {
    const [first, second] = this.heard as [string, string];
    const codes = this.phone.codesOf(place.trial);
    const sorted = [first, second].sort();
    const times = (this.timesHeard.get(sorted.join()) ?? 0) + 1;
    if (!place.practice) this.timesHeard.set(sorted.join(), times);
    const random = seededRandom(
      `${this.seed} ${this.character.alias} ${sorted.join()} ${place.practice ? 'practice' : times}`,
    );
    const design = {
      ordinal: 0,
      practice: place.practice,
      presentations: sorted as PrototypeId[],
      shown: [],
      replaces: null,
    };
    const { picked } = method.simulate(this.character.truth, this.tastes, design, random) as { picked: 1 | 2 | null };
    if (picked === null && place.answers.includes('none')) return { code: '', none: true };
    const preferred = sorted[(picked ?? 1) - 1];
    return { code: codes[preferred === first ? 0 : 1] ?? '', none: false };
  }

  /** Words after some of the scored trials, about one sample. */
  private remarks(place: PlaceSeen): { code: string; text: string }[] {
    const codes = this.phone.codesOf(place.trial);
    const random = seededRandom(`${this.seed} ${this.character.alias} words ${this.answers}`);
    if (place.practice || random.uniform() > 0.2) return [];
    const position = random.below(2);
    const own = this.character.remarks?.[this.heard[position] ?? ''] ?? [];
    const text = own[random.below(Math.max(1, own.length))];
    return text === undefined ? [] : [{ code: codes[position] ?? '', text }];
  }
}
