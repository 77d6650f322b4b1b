import { sha256 } from '../../server/blinding/hash';
import type { Plan } from '../../shared/plan';
import { plays } from '../../shared/plan';
import type { SoundMatch } from '../../shared/sound-match';
import { seededRandom } from '../../stats/seeded-random';
import type { Line } from '../blinding/hand-ledger';

/** What the page of a listener plays in a study played by the book: matched before, made for each sample, heard. */

type Body = Record<string, unknown>;

export interface SoundWish {
  /** Chance that a trial's sound is interrupted, that a sitting is wireless, that its phone resamples. */
  interrupted?: number;
  wireless?: number;
  resampled?: number;
  /** What the plan's files are after matching, in dB above the quietest; and by how many samples they begin later. */
  above?: number[];
  lags?: (number | null)[];
  /** What was said when it was matched. */
  warnings?: string[];
  /** Units were measured, but for the last, for which somebody signed. */
  measured?: boolean;
}

const frames = (excerpt: number): number => 441_000 + 44_100 * excerpt;

export function matchFor(plan: Plan, { above = [], lags = [], warnings = [] }: SoundWish = {}): SoundMatch {
  const names = plan.playback === 'renders' ? plan.prototypes.map(({ id }) => id) : [''];
  const { reference } = plan.method.spec as { reference?: unknown };
  const anchorOf = (prototype: string) => plan.prototypes.find(({ id }) => id === prototype)?.anchor;
  return {
    by: plan.sound?.match.kind ?? 'loudness',
    excerpts: plan.excerpts.map(({ id }, e) => ({
      id,
      rate: 44_100,
      from: 100,
      to: 100 + frames(e),
      files: names.map((prototype, place) => {
        const anchor = anchorOf(prototype);
        // An anchor is made of the reference, and as quiet as that leaves it.
        const source = anchor ? String(reference) : prototype;
        const i = anchor ? names.indexOf(source) : place;
        const quieter = anchor ? 20_000 / anchor.lowPassHz : 0;
        return {
          prototype,
          sha256: sha256(`${id} ${source}`),
          name: `${id}-${source || 'programme'}.wav`,
          ...(anchor ? { lowPassHz: anchor.lowPassHz } : {}),
          channels: 2,
          before: { level: -20 + i - quieter, truePeak: -3 + i / 2 },
          gain: -i + (above[i] ?? 0),
          after: { level: -20 + (above[i] ?? 0) - quieter, truePeak: -3 - i / 2 },
          lag: lags[i] === undefined ? 0 : lags[i],
        };
      }),
    })),
    units: plan.excerpts.flatMap(({ id }) =>
      plan.prototypes.flatMap(({ units }) =>
        units.map((unit, i) => ({ unit: unit.id, excerpt: id, level: 94 + i / 10, gain: -i / 10 })),
      ),
    ),
    warnings,
  };
}

/** Lines about sound for a study that is being played; none for a plan whose page plays nothing. */
export class RandomSound {
  readonly #random;
  readonly #playing: boolean;
  readonly #rates = new Map<string, number>();

  constructor(
    private readonly plan: Plan,
    private readonly wish: SoundWish & { seed: number },
  ) {
    this.#playing = plays(plan);
    this.#random = seededRandom(`sound ${wish.seed}`);
  }

  #chance(rate = 0): boolean {
    return this.#random.uniform() < rate;
  }

  matched(): Line[] {
    const match: Line = ['staff:Ada', 'sound-matched', { ...matchFor(this.plan, this.wish) }];
    return [...(this.wish.measured ? this.#measured() : []), ...(this.#playing ? [match] : [])];
  }

  #measured(): Line[] {
    const units = this.plan.prototypes.flatMap((prototype) => prototype.units.map(({ id }) => id));
    const how = { measuredOn: '2026-02-27', device: 'coupler after IEC 60318-4', method: '1 kHz at 0.1 V' };
    const of = [{ unit: units.at(-1), kind: 'missing', measurement: null }];
    return [
      ...units.slice(0, -1).map((unit, i): Line => {
        const level = { left: 94 + i / 5, right: 94.1 + i / 5 };
        return ['staff:Ada', 'level-measured', { unit, ...level, ...how, response: null }];
      }),
      ['staff:Ada', 'level-deviation', { reason: 'It came from the workshop an hour ago.', of }],
    ];
  }

  seated(listener: string, sitting: string): Line[] {
    if (!this.#playing) return [];
    const connection = this.#chance(this.wish.wireless) ? 'wireless' : 'wired';
    this.#rates.set(sitting, this.#chance(this.wish.resampled) ? 48_000 : 44_100);
    return [[`listener:${listener}`, 'sound-checked', { sitting, connection }]];
  }

  /** A trial's entries with what its page made and played put in. */
  trial(
    at: { trial: string; sitting: string },
    codes: readonly string[],
    excerpt: string | undefined,
    [hearing, answered]: [[string, Body][], Body],
  ): [hearing: [string, Body][], answered: Body] {
    if (!this.#playing || codes.length === 0) return [hearing, answered];
    const place = this.plan.excerpts.findIndex(({ id }) => id === excerpt);
    const made = codes.map((_, i) => ({ presentation: i + 1, sha256: sha256(`${at.trial} ${i + 1}`) }));
    const start: [string, Body] = ['sound-made', { rate: 44_100, frames: frames(place), presentations: made }];
    const report = (samples: number) => ({
      sound: {
        heardMs: Array.from({ length: samples }, () => 3000 + this.#random.below(9000)),
        rate: this.#rates.get(at.sitting) ?? null,
        switches: 0,
      },
    });
    const broken: [string, Body][] = this.#chance(this.wish.interrupted)
      ? [['sound-interrupted', { presentation: 1, what: 'hidden' }]]
      : [];
    if (this.plan.firstImpression) return [[start, ...hearing, ...broken], { ...answered, ...report(1) }];
    if (this.plan.playback === 'renders') {
      const started: [string, Body] = [
        'started',
        { presentation: 1, all: true, times: { sincePlaying: null, wall: 1 } },
      ];
      return [[start, started, ...broken], { ...answered, ...report(codes.length) }];
    }
    const each = codes.flatMap((code, i): [string, Body][] => [
      ['fitted', { presentation: i + 1, code, retries: 0 }],
      ['heard', { presentation: i + 1, times: { sincePlaying: 1000, wall: 1 }, ...report(1) }],
    ]);
    return [[start, ...each, ...broken], answered];
  }
}
