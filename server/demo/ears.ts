import { type AskingForm, type GradesForm, gradedIn, holdsTwins } from '../../protocols/form';
import type { GradesAnswer } from '../../protocols/grades';
import { methodOf } from '../../protocols/index';
import type { Truth } from '../../protocols/protocol';
import { type Random, shuffled } from '../../protocols/random';
import type { PrototypeId } from '../../shared/brands';
import type { ControlKind, Plan } from '../../shared/plan';
import { scaleValues } from '../../shared/scales';
import { seededRandom } from '../../stats/seeded-random';

export interface Hearer {
  alias: string;
  /** What this listener hears and likes; prototypes by name. */
  truth: Truth;
  /** Answers anything, whatever is heard. */
  guesses?: boolean;
}

export interface Rated {
  scale: string;
  value: number;
  /** Milliseconds from the first sound to the first touch. */
  touchedMs: number;
}

/**
 * What a virtual listener answers, by the model of the method. An answer hangs on the seed, the listener, what was
 * heard and how often, and never on the draw: the same seed gives the same answers in whatever order they are asked,
 * and whichever of two samples comes first. So a truth with a pull toward the first of a pair can't be played.
 */
export class Ears {
  private readonly method: ReturnType<typeof methodOf>;
  private readonly own: unknown;
  /** How everybody hears the sample of a known difference, and its name. */
  private readonly plainly: { known: string; truth: Truth; own: unknown } | null;
  private readonly times = new Map<string, number>();

  constructor(
    private readonly who: Hearer,
    /** The study as this listener knows it: prototypes go by their names. */
    plan: Plan,
    private readonly seed: string,
  ) {
    this.method = methodOf(plan);
    this.own = this.method.protocol.listener(who.truth, plan, seededRandom(`${seed} ${who.alias}`));
    const known = plan.controls.knownDifference?.prototype;
    const { dPrime: _, ...truth } = { ...who.truth, listenersWhoHear: 1, heard: 1 };
    this.plainly =
      known === undefined
        ? null
        : {
            known,
            truth,
            own: this.method.protocol.listener(truth, plan, seededRandom(`${seed} ${who.alias} plainly`)),
          };
  }

  /**
   * The answer to a trial, as it travels. `heard`: its samples in their order, what was learnt before them included;
   * `codes`: theirs, where the page shows them.
   */
  say(heard: readonly string[], codes: readonly string[], practice: boolean): string {
    const { form } = this.method;
    if (form.kind === 'scales') throw new Error('Nothing is asked in this method.');
    if (form.kind === 'pick-one' && !form.byPlace) {
      const at = this.pick(heard, practice);
      return at === null ? 'none' : (codes[form.choices[at] as number] ?? '');
    }
    if (form.kind === 'grades') throw new Error('Samples are graded in this method.');
    // What was learnt before is known, and not asked about.
    const asked = form.kind === 'yes-no' ? heard.slice(-form.presentations) : heard;
    // Always asked in the same order, but for a sample that the others are compared with; then turned as it was heard.
    const first = form.kind === 'pick-one' && form.question === 'question.same-as-first' ? 1 : 0;
    const places = asked.map((_, place) => place);
    const order = [
      ...places.slice(0, first),
      ...places
        .slice(first)
        .sort((a, b) => ((asked[a] ?? '') < (asked[b] ?? '') ? -1 : asked[a] === asked[b] ? a - b : 1)),
    ];
    const sorted = order.map((place) => asked[place] as string);
    const random = this.random(sorted.join(), practice);
    const placed = this.who.guesses ? guess(form, sorted.length, random) : asPlaces(this.answer(sorted, 1, random));
    if (form.kind === 'yes-no') return placed[0] === 0 ? 'yes' : 'no';
    const own = placed.map((at) => order[at] as number);
    if (form.kind === 'in-order') return own.map((place) => codes[place] ?? '').join('>');
    return own
      .sort((a, b) => a - b)
      .map((place) => place + 1)
      .join('+');
  }

  /** The place among the choices, from 0, of the sample that is picked out of those that were heard; null for none of them. */
  pick(heard: readonly string[], practice: boolean): number | null {
    const { form } = this.method;
    if (form.kind !== 'pick-one') throw new Error('Nothing is picked in this method.');
    const choices = form.choices.map((place) => heard[place] as string);
    // Always asked in the same order; then turned as it was heard.
    const sorted = [...choices].sort();
    const third = form.matched === null ? [] : [sorted[0] as string];
    const random = this.random(sorted.join(), practice);
    const picked = this.who.guesses
      ? random.below(choices.length) + 1
      : (this.answer([...sorted, ...third], 1, random) as { picked: number | null }).picked;
    if (picked === null) return null;
    if (form.matched === null) return choices.indexOf(sorted[picked - 1] as string);
    const twin = choices.indexOf(heard[form.matched] as string);
    return picked === 1 ? twin : choices.findIndex((_, place) => place !== twin);
  }

  /** What is said of a sample on all scales; null is the practice without any. */
  rate(heard: string | null, sitting: number): Rated[] {
    const { form } = this.method;
    if (form.kind !== 'scales') throw new Error('Nothing is rated in this method.');
    // Counted within the sitting: which samples are hidden repeats is drawn, and must not move the answers of later days.
    const random = this.random(`${sitting} ${heard ?? ''}`, heard === null);
    if (heard === null || this.who.guesses) {
      return form.scales.map((scale) => {
        const values = scaleValues(scale);
        const value = values[random.below(values.length)] as number;
        return { scale: scale.id, value, touchedMs: 2_000 + random.below(6_000) };
      });
    }
    return (this.answer([heard], sitting, random) as { ratings: Rated[] }).ratings;
  }

  /** Whether a trial has several samples that are graded, so that they are asked about once more. */
  get gradesSeveral(): boolean {
    const { form } = this.method;
    return form.kind === 'grades' && form.graded.length > 1;
  }

  /**
   * Grades of what was heard in a trial, by its place from 0. Where samples are graded by themselves each is told apart
   * from the others; beside a reference, or in a pair, they are told together.
   * @param places those that are told now: of a trial under way only the last was heard
   */
  grade(heard: readonly string[], sitting: number, practice: boolean, places: readonly number[]): GradesAnswer {
    const { form } = this.method;
    if (form.kind !== 'grades') throw new Error('Nothing is graded in this method.');
    const alone = form.graded.length > 1 && form.reference === null;
    if (!alone) return this.graded([...heard], sitting, practice);
    const each = places.map((place) => {
      const one = this.graded([heard[place] ?? ''], sitting, practice);
      return {
        grades: one.grades.map((own) => ({ ...own, place })),
        ticks: one.ticks.map((own) => ({ ...own, place })),
      };
    });
    return { grades: each.flatMap(({ grades }) => grades), ticks: each.flatMap(({ ticks }) => ticks) };
  }

  /** Asked in the order of their names but for an open reference or a pair, and then put back to where they were heard. */
  private graded(heard: string[], sitting: number, practice: boolean): GradesAnswer {
    const form = this.method.form as GradesForm;
    const places = heard.map((_, place) => place);
    const shuffled = gradedIn(form, heard.length);
    const sorted = [...shuffled].sort((a, b) => ((heard[a] ?? '') < (heard[b] ?? '') ? -1 : 1));
    const order = places.map((place) => sorted[shuffled.indexOf(place)] ?? place);
    const asked = order.map((place) => heard[place] as string);
    const random = this.random(`${sitting} ${asked.join()}`, practice);
    const said = this.who.guesses
      ? guessedGrades(form, shuffled, random)
      : (this.answer(asked, sitting, random) as GradesAnswer);
    const back = <T extends { place: number }>(one: T): T => ({ ...one, place: order[one.place] as number });
    return { grades: said.grades.map(back), ticks: said.ticks.map(back) };
  }

  private answer(presentations: string[], sitting: number, random: Random): unknown {
    const { protocol, form } = this.method;
    const design = {
      ordinal: 1,
      practice: false,
      presentations: presentations as PrototypeId[],
      shown: [],
      replaces: null,
    };
    const control = this.controlOf(presentations);
    const plainly = this.plainly && presentations.includes(this.plainly.known) ? this.plainly : null;
    const { truth, own } = plainly ?? { truth: this.who.truth, own: this.own };
    return protocol.simulate(truth, own, { design: control ? { ...design, control } : design, form, sitting }, random);
  }

  /** What a trial is put for, as far as it can be heard: all of one kind, or with the sample that all should tell. */
  private controlOf(presentations: readonly string[]): ControlKind | null {
    if (this.plainly && presentations.includes(this.plainly.known)) return 'knownDifference';
    const { form } = this.method;
    return holdsTwins(form) && form.kind !== 'yes-no' && new Set(presentations).size === 1 ? 'units' : null;
  }

  /** A source of its own for each time that this was heard; practice doesn't count. */
  private random(what: string, practice: boolean): Random {
    const time = (this.times.get(what) ?? 0) + 1;
    if (!practice) this.times.set(what, time);
    return seededRandom(`${this.seed} ${this.who.alias} ${what} ${practice ? 'practice' : time}`);
  }
}

/** An answer of any method as places from 0: what was picked, in which order; for yes and no 0 and 1. */
function asPlaces(answer: unknown): number[] {
  const { picked, order, yes } = answer as { picked?: number | number[]; order?: number[]; yes?: boolean };
  if (yes !== undefined) return [yes ? 0 : 1];
  return order ?? [picked ?? []].flat().map((place) => place - 1);
}

/** Any grades that the form takes, at these places. */
const guessedGrades = (
  { scales, attributes }: GradesForm,
  places: readonly number[],
  random: Random,
): GradesAnswer => ({
  grades: places.flatMap((place) =>
    scales.map(({ id, from, to }) => ({ place, scale: id, value: from + random.below(to - from + 1) })),
  ),
  ticks:
    attributes.length === 0
      ? []
      : places.map((place) => ({
          place,
          attributes: attributes.flatMap(({ id }) => (random.below(2) === 0 ? [id] : [])),
        })),
});

/** Any answer that the form takes. */
function guess(form: AskingForm, samples: number, random: Random): number[] {
  switch (form.kind) {
    case 'pick-one':
      return [form.choices[random.below(form.choices.length)] as number];
    case 'yes-no':
      return [random.below(2)];
    default: {
      const all = Array.from({ length: samples }, (_, place) => place);
      return shuffled(all, random).slice(0, form.kind === 'pick-group' ? form.size : samples);
    }
  }
}
