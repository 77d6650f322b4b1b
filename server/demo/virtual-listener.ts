import { sureness } from '../../shared/guesses';
import type { Plan } from '../../shared/plan';
import type { ActReply, PhoneTimes } from '../../shared/wire';
import { seededRandom } from '../../stats/seeded-random';
import type { Bench } from './bench';
import { Ears, type Hearer } from './ears';
import { type ActPart, type Graded, type PhoneBrowser, reportOf } from './phone-browser';
import type { PlaceSeen } from './phone-place';

export interface Character extends Hearer {
  audience: string;
  /** Words that come to mind about a sample, by prototype. */
  remarks?: Record<string, string[]>;
  /** Puts the first sample of every trial in again once before it seals. */
  fussy?: boolean;
  scenes?: Scene[];
}

/** Something that goes otherwise for this listener, once. */
export interface Scene {
  /** In which of the listener's own sittings, from 1. */
  sitting: number;
  /** After so many scored answers of that sitting. */
  after: number;
  /** Leaves of their own will; touches the first scale too late; loads the page anew while rating. */
  what: 'leaves' | 'is-late' | 'reloads';
}

export interface Surroundings {
  bench: Bench;
  /** The study as this listener knows it: prototypes go by their names. */
  plan: Plan;
  seed: string;
  /** Lets time go by while something is listened to or waited for. */
  pass?: (seconds: number) => void | Promise<void>;
  /** Waits for what others do; time may go by meanwhile. */
  wait?: <T>(others: Promise<T>) => Promise<T>;
  /** Called for each scored answer. */
  answered?: () => void;
  /** Knows a sample by its sound, where the page plays renders: nobody else could say which one it is. */
  recognise?: (wav: Buffer) => string;
}

const endings = ['finished', 'out', 'closed', 'postponed'];
const idle = ['unseated', 'waiting', 'paused'];

/** Somebody with a phone and ears, who does what the phone says, hears what lies at the seat, and answers. */
export class ListenerAtSeat {
  private readonly ears: Ears;
  private heard: string[] = [];
  private sitting = 0;
  /** Scored answers in this sitting. */
  private answers = 0;
  private total = 0;
  /** When the sample at the seat began to play, by the phone's clock, and how many milliseconds ago by this listener's. */
  private playsSince = 0;
  private since = 0;
  private reloaded = false;
  /** Of the trial under way, as it was graded so far. */
  private said: Graded & { trial: string } = { trial: '', grades: [], ticks: [] };
  /** The trial of the sample that was put in a second time last. */
  private refitted = '';
  /** When the last sitting was over, by the phone's clock; null before there was one. */
  left: Date | null = null;

  constructor(
    readonly phone: PhoneBrowser,
    readonly character: Character,
    private readonly around: Surroundings,
  ) {
    this.ears = new Ears(character, around.plan, around.seed);
  }

  /**
   * Comes through the door and says how it is today. Answers whether there is a seat today.
   * @throws Error for whoever comes before their rest is over: the evenings are laid wrongly
   */
  async arrive(joinCode: string, conditions: readonly string[] = ['none']): Promise<boolean> {
    const { alias, audience } = this.character;
    const joined = await this.phone.join(joinCode, { alias, audience });
    if (joined.status === 200 && !joined.path.startsWith('/listen')) {
      const from = joined.page.text('.when');
      if (from) throw new Error(`${alias} came too early; the next sitting can begin from ${from}.`);
      // Sent away: too late for another sitting.
      return false;
    }
    await this.phone.checkIn(conditions);
    if ((await this.phone.reload()).page.find('[data-kind="postponed"]')) return false;
    await this.phone.consent();
    await this.phone.connect();
    this.sitting++;
    this.answers = 0;
    return true;
  }

  /** Goes from place to place until the sitting is over, or until it stands where it is to stand still. */
  async listen(stand: (place: PlaceSeen, answers: number) => boolean = () => false): Promise<void> {
    for (;;) {
      const next = this.phone.until((one) => stand(one, this.answers) || !idle.includes(one.kind));
      const place = await (this.around.wait?.(next) ?? next);
      if (stand(place, this.answers)) return;
      if (endings.includes(place.kind)) {
        this.left = new Date(this.phone.wall());
        return;
      }
      await this.at(place);
    }
  }

  private async at(place: PlaceSeen): Promise<void> {
    const { phone, character } = this;
    const { presentation } = place;
    // Nobody takes longer than the plan reckons with: its span may leave no time for that.
    const { fit, listen, answer } = this.around.plan.timing;
    switch (place.kind) {
      case 'resetting':
        await this.pass(this.around.plan.firstImpression?.reset.seconds ?? 0);
        await this.act(place, { kind: 'rested', presentation });
        return;
      case 'fitting':
        if (character.fussy && presentation === 1 && this.refitted !== place.trial) {
          this.refitted = place.trial;
          await this.act(place, { kind: 'refit', presentation: 1 });
        }
        await this.pass(Math.min(5, fit));
        await this.act(place, { kind: 'fits', presentation });
        this.begin();
        return;
      case 'sound-check':
        await this.pass(20);
        await phone.checkSound();
        return;
      case 'starting':
        await this.hear(place);
        await this.pass(3);
        this.begin();
        await this.act(place, { kind: 'plays', presentation }, { sincePlaying: null, wall: this.playsSince });
        return;
      case 'listening':
        await this.hear(place);
        await this.pass(Math.min(12 + this.heard.length * 2, listen));
        await this.act(place, { kind: 'heard', presentation, ...reportOf(place) }, this.times());
        return;
      case 'comparing':
        await this.hear(place);
        this.begin();
        await this.act(place, { kind: 'plays', presentation }, { sincePlaying: null, wall: this.playsSince });
        await this.pass(Math.min(12, listen) + Math.min(4, answer));
        await this.answered(place, { kind: 'answer', answer: this.picked(place), ...reportOf(place) });
        if (this.scene('leaves')) await phone.stop();
        return;
      case 'asking':
        await this.pass(Math.min(4, answer));
        await this.answered(place, { kind: 'answer', answer: this.picked(place) });
        if (this.scene('leaves')) await phone.stop();
        return;
      case 'grading':
        await this.grade(place);
        if (this.scene('leaves')) await phone.stop();
        return;
      case 'rating':
        await this.rate(place);
        if (this.scene('leaves')) await phone.stop();
        return;
      case 'words': {
        const words = this.remarks(place);
        await this.act(place, { kind: 'words', words });
        return;
      }
      case 'guessing':
        await this.pass(4);
        await phone.guess(this.guessed(place));
        return;
      default:
        throw new Error(`${character.alias} doesn't know what to do at “${place.kind}”.`);
    }
  }

  /** What lies at the seat; where the page plays renders, what its files sound like. */
  private async hear(place: PlaceSeen): Promise<void> {
    const { bench, recognise } = this.around;
    const { presentation, player } = place;
    if (presentation === 1) this.heard = [];
    if (recognise && player) {
      for (const { presentation, wav } of await this.phone.fetchSounds(place)) {
        this.heard[presentation - 1] = recognise(wav);
      }
      return;
    }
    if (player) await this.phone.askForSounds(place);
    this.heard[presentation - 1] = bench.inTheEarsOf(this.character.alias).prototype;
  }

  private picked(place: PlaceSeen): string {
    const said = this.ears.say(this.heard, this.phone.codesOf(place.trial), place.practice);
    return said === 'none' && !place.answers.includes('none') ? (place.answers[0] ?? '') : said;
  }

  /** All of a trial where the page plays them; else the sample at the ear, and in the end all of them once more. */
  private async grade(place: PlaceSeen): Promise<void> {
    const { listen, answer } = this.around.plan.timing;
    const { presentation, graded, player } = place;
    const together = this.around.plan.handling === 'server';
    const again = !together && player === null && graded.length > 1;
    if (!again) await this.hear(place);
    if (together) {
      this.begin();
      await this.act(place, { kind: 'plays', presentation }, { sincePlaying: null, wall: this.playsSince });
    }
    if (place.trial !== this.said.trial) this.said = { trial: place.trial, grades: [], ticks: [] };
    if (!again) {
      const places = graded.map((one) => one.place - 1);
      const { grades, ticks } = this.ears.grade(this.heard, this.sitting, place.practice, places);
      this.said.grades.push(...grades.map((one) => ({ ...one, place: one.place + 1 })));
      this.said.ticks.push(...ticks.map((one) => ({ ...one, place: one.place + 1 })));
    }
    const { grades, ticks } = onPage(place, this.said);
    await this.pass((again ? 0 : Math.min(12, listen)) + Math.min(4, answer));
    const part: ActPart = { kind: 'grade', presentation, grades, ticks, ...reportOf(place) };
    // Kept at once, and asked about once more.
    if (!together && !again && this.ears.gradesSeveral) await this.act(place, part, this.times());
    else await this.answered(place, part);
  }

  private begin(): void {
    this.playsSince = this.phone.wall();
    this.since = 0;
  }

  private async rate(place: PlaceSeen): Promise<void> {
    const { phone } = this;
    if (place.practice) this.begin();
    const said = this.ears.rate(place.practice ? null : (this.heard[0] ?? ''), this.sitting);
    const late = !place.practice && this.scene('is-late');
    if (!place.practice && this.scene('reloads')) {
      await this.pass(4);
      await phone.reload();
      this.reloaded = true;
      await this.act(place, { kind: 'resumed', presentation: place.presentation }, this.times());
    }
    const { windowSeconds = 10, answerSeconds = 20 } = this.around.plan.firstImpression ?? {};
    const delay = late ? (windowSeconds + answerSeconds) * 1_000 : 0;
    // In the order in which they stand on the page.
    const ratings = place.scales.map(({ scale, values }) => {
      const own = said.find((one) => one.scale === scale);
      if (!own || !values.includes(own.value)) throw new Error(`“${scale}” can’t be rated as it stands on the page.`);
      return { scale, value: own.value, touched: this.times(own.touchedMs + delay) };
    });
    const last = Math.max(...said.map(({ touchedMs }) => touchedMs)) + delay + 1_500;
    await this.pass((last - this.since) / 1_000);
    await this.answered(place, { kind: 'rate', ratings, ...reportOf(place) });
    this.reloaded = false;
  }

  /** What is done belongs to the trial at which it was begun, though a pause may show another page meanwhile. */
  private async act(place: PlaceSeen, part: ActPart, times?: PhoneTimes): Promise<ActReply> {
    const reply = await this.phone.emit(this.phone.whole(part, place.trial, times));
    if (!reply.ok && reply.error.code === 'bad-input') {
      throw new Error(`“${part.kind}” of ${this.character.alias} was refused: ${reply.error.message}`);
    }
    return reply;
  }

  private async answered(place: PlaceSeen, part: ActPart): Promise<void> {
    const reply = await this.act(place, part, this.times());
    // Taken out at the desk meanwhile: the phone shows what comes now.
    if (!reply.ok || place.practice) return;
    this.answers++;
    this.total++;
    this.around.answered?.();
  }

  /** As the phone's two clocks have it, so many milliseconds after the sample began to play, or now. */
  private times(ms = this.since) {
    return { sincePlaying: this.reloaded ? null : ms, wall: this.playsSince + ms };
  }

  private async pass(seconds: number): Promise<void> {
    this.since += seconds * 1_000;
    await this.around.pass?.(seconds);
  }

  private scene(what: Scene['what']): boolean {
    const { scenes = [] } = this.character;
    return scenes.some((one) => one.what === what && one.sitting === this.sitting && one.after === this.answers);
  }

  /** Nobody knows which one it was, so that some say so, and the others guess. */
  private guessed({ choices }: PlaceSeen): Parameters<PhoneBrowser['guess']>[0] {
    const random = seededRandom(`${this.around.seed} ${this.character.alias} guess`);
    if (random.uniform() < 0.15) return { choice: 'none' };
    const labels = choices.filter((choice) => choice !== 'none');
    const sure = sureness[Math.min(random.below(4), random.below(3))] ?? 'guess';
    return { choice: labels[random.below(labels.length)] ?? 'none', sure };
  }

  /** Words after some of the scored trials, about one sample. */
  private remarks(place: PlaceSeen): { code: string; text: string }[] {
    const codes = this.phone.codesOf(place.trial);
    const random = seededRandom(`${this.around.seed} ${this.character.alias} words ${this.total}`);
    if (place.practice || random.uniform() > 0.2) return [];
    const position = random.below(Math.max(1, codes.length));
    const own = this.character.remarks?.[this.heard[position] ?? ''] ?? [];
    const text = own[random.below(Math.max(1, own.length))];
    return text === undefined ? [] : [{ code: codes[position] ?? '', text }];
  }
}

/** What was said of the samples that stand there, in the order of the page. @throws Error for what can't be answered there */
function onPage({ graded }: PlaceSeen, { grades, ticks }: Graded): Graded {
  const said = graded.map(({ place, scales, words }) => {
    const own = scales.map((scale) => grades.find((one) => one.place === place && one.scale === scale));
    const ticked = ticks.find((one) => one.place === place);
    const known = (ticked?.attributes ?? []).every((word) => words.includes(word));
    if (!own.every((one) => one !== undefined) || words.length > 0 !== (ticked !== undefined) || !known) {
      throw new Error(`Sample ${place} can’t be graded as it stands on the page.`);
    }
    return { own, ticked: ticked ? [ticked] : [] };
  });
  return { grades: said.flatMap(({ own }) => own), ticks: said.flatMap(({ ticked }) => ticked) };
}
