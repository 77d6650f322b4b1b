import { methodOf } from '../../protocols/index';
import { hasLooks } from '../../protocols/looks';
import type { Outcome, SentAnswer, TrialDesign } from '../../protocols/protocol';
import type { PrototypeId, UnitId } from '../../shared/brands';
import type { Plan } from '../../shared/plan';
import { Exposures } from './exposures';
import type { SittingStory, StudyStory } from './story';
import type { TrialStory } from './trial-story';
import type { PublishedKey } from './unsealing';

/** Where answers meet what they were about: the one place that joins them. */

export interface Told {
  sitting: SittingStory;
  trial: TrialStory;
  design: TrialDesign;
  /** None where the server played renders. */
  units: UnitId[];
  excerpt: string | null;
  /**
   * How often this listener had heard each of the samples by then, in their order: practice, spoilt trials, this one
   * and what was declared from outside included.
   */
  exposures: number[];
}

/** Every trial with what stood behind its codes. @throws Error when the study is sealed or the key doesn't fit. */
export function toldTrials(story: StudyStory): Told[] {
  if (!story.key) throw new Error('This study is sealed. Unseal it first.');
  const told: Told[] = [];
  const exposures = new Exposures(story);
  for (const sitting of story.sittings) {
    const keyed = story.key.key.find(
      (one) =>
        one.session === sitting.sessionNumber && one.audience === sitting.audience && one.ordinal === sitting.ordinal,
    );
    for (const trial of sitting.trials) {
      const drawn = keyed?.trials.find((one) => one.ordinal === trial.ordinal);
      const misfit = misfitOf(drawn, trial, story.plan);
      if (!drawn || misfit) throw new Error(`The key does not fit trial ${trial.id}: ${misfit}.`);
      const design = {
        ordinal: trial.ordinal,
        practice: drawn.practice,
        presentations: drawn.prototypes as PrototypeId[],
        shown: [],
        replaces: drawn.replaces,
        ...(drawn.control === undefined ? {} : { control: drawn.control }),
      };
      told.push({
        sitting,
        trial,
        design,
        units: drawn.units as UnitId[],
        excerpt: drawn.excerpt ?? null,
        exposures: exposures.after(sitting.listener, trial, design.presentations),
      });
    }
  }
  return told;
}

type KeyedTrial = PublishedKey['key'][number]['trials'][number];

/** What the key says otherwise than the ledger or the plan, or null when it fits. */
function misfitOf(drawn: KeyedTrial | undefined, trial: TrialStory, plan: Plan): string | null {
  if (!drawn || drawn.codes.join() !== trial.codes.join()) return 'its codes are not those that were drawn';
  if (drawn.practice !== trial.practice) return 'the key and the ledger differ on whether it was for practice';
  if (drawn.replaces !== trial.replaces) return 'the key and the ledger differ on which trial it puts again';
  if (drawn.excerpt !== undefined && !plan.excerpts.some(({ id }) => id === drawn.excerpt)) {
    return 'its excerpt is not in the plan';
  }
  const known = drawn.prototypes.every((prototype) => plan.prototypes.some(({ id }) => id === prototype));
  if (plan.handling === 'server') return known && drawn.units.length === 0 ? null : 'a prototype is not in the plan';
  const fits = drawn.units.every((unit, index) =>
    plan.prototypes.some(({ id, units }) => id === drawn.prototypes[index] && units.some((one) => one.id === unit)),
  );
  return fits && drawn.units.length === drawn.codes.length ? null : 'a unit is not one of its prototype’s in the plan';
}

/** What a phone sent, as a method reads it: times of touch by the monotonic clock, or else by the wall clock. */
export function sentOf(trial: TrialStory): SentAnswer | null {
  if (trial.grades !== null) return trial.grades;
  if (trial.ratings === null) return trial.answer === null ? null : { picked: trial.answer };
  return {
    ratings: trial.ratings.map(({ scale, value, touched }) => ({
      scale,
      value,
      touchedMs:
        touched.sincePlaying ?? (trial.startedWall === null ? null : Math.max(0, touched.wall - trial.startedWall)),
    })),
  };
}

/** Marks of an answer, its sitting's among them. */
export const flagsOf = (sitting: SittingStory, trial: TrialStory): string[] => [
  ...trial.flags,
  ...(sitting.marked ? ['marked'] : []),
  ...(sitting.outside ? ['outside-listening'] : []),
];

/**
 * The scored answers that are analysed: no practice, nothing void. In the order in which they came where the plan has
 * looks, else sitting by sitting.
 */
export function outcomesOf(story: StudyStory): Outcome[] {
  const { protocol, form } = methodOf(story.plan);
  const told = toldTrials(story);
  if (hasLooks(story.plan)) told.sort((a, b) => (a.trial.answeredSeq ?? 0) - (b.trial.answeredSeq ?? 0));
  return told.flatMap(({ sitting, trial, design, units, excerpt, exposures }) => {
    if (trial.practice || trial.state !== 'answered') return [];
    const sent = sentOf(trial);
    const answer = sent && protocol.read(form, trial.codes, sent);
    if (answer === null) throw new Error(`The answer to trial ${trial.id} is none of those that were offered.`);
    return protocol.score(form, asScored(design, units), answer, story.plan).map(({ scale, place, value, late }) => ({
      listener: sitting.listener,
      audience: sitting.audience,
      session: sitting.session,
      sessionNumber: sitting.sessionNumber,
      sitting: sitting.id,
      sittingNumber: sitting.number,
      trial: trial.id,
      scale,
      ...(place === undefined ? {} : { place }),
      prototypes: design.presentations,
      units,
      excerpt,
      position: trial.orderUntold ? 0 : trial.ordinal,
      exposure:
        form.kind === 'grades' && place !== undefined
          ? (exposures[place] ?? 0)
          : exposures.reduce((sum, one) => sum + one, 0),
      late,
      flags: flagsOf(sitting, trial),
      value,
      ...(design.control === undefined ? {} : { control: design.control }),
    }));
  });
}

/** Where two units of one prototype were put together, what is to be told apart are the units. */
export const asScored = (design: TrialDesign, units: readonly UnitId[]): TrialDesign =>
  design.control === 'units'
    ? { ...design, presentations: units.map((unit) => unit as string as PrototypeId) }
    : design;
