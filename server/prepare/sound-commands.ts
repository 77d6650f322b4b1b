import { z } from 'zod';
import type { StaffId } from '../../shared/brands';
import { levelsCount, type Plan, plays } from '../../shared/plan';
import type { SoundMatch } from '../../shared/sound-match';
import type { SoundFacts } from '../audio/shelf';
import type { Command, Context } from '../command';
import { anchorsNeed, broughtSlots, excerptSeconds, isOf, ratesOf, type Slot, soundOf } from '../sound-ready';
import { currentSession } from '../store/sessions';
import {
  dropSoundMatch,
  putSoundFile,
  putSoundMatch,
  putStudyCut,
  putStudySound,
  removeStudyCut,
  removeStudySound,
} from '../store/study-sounds';
import { Refusal } from '../web/refusal';
import { matchOf } from './match';
import { planGiven, samePlan } from './plan-given';

const part = z.string().max(64);

/** Once somebody sat, all have heard the same; what a unit measures can change, and its trim with it. */
async function refuseWhileUnderWay({ tx, study }: Context, plan: Plan): Promise<void> {
  if (study.state !== 'running') return;
  if (!levelsCount(plan)) {
    throw new Refusal('wrong-state', 'Somebody has listened already: what is played can’t change any more.', {
      path: 'state',
    });
  }
  if (await currentSession(tx, study.id)) {
    throw new Refusal('conflict', 'A session is open. Close it before what is played changes.', { path: 'state' });
  }
}

const taking = planGiven.extend({ excerpt: part, prototype: part, facts: z.custom<SoundFacts>() });

/** A file was brought, and is what this prototype makes of that excerpt; or, with units, the excerpt itself. */
export const takeSound: Command<z.output<typeof taking>> = {
  name: 'take-sound',
  does: 'bring sound',
  states: ['draft', 'locked'],
  who: 'staff',
  input: taking,
  async run(context, input) {
    const { tx, study, actor, at } = context;
    const { plan, excerpt: id, prototype, facts } = input;
    samePlan(study, input);
    const excerpt = (await soundOf(tx, study, plan)).find((one) => one.excerpt.id === id);
    const slot = excerpt?.slots.find((one) => one.prototype === prototype);
    if (!excerpt || !slot || actor.kind !== 'staff') {
      throw new Refusal('bad-input', 'This plan has no such excerpt or prototype.', { path: 'excerpt' });
    }
    refuseAnchor(slot);
    const { sha256, name, bytes, format, rate, channels, frames, loudness, overview } = facts;
    const seconds = frames / rate;
    if (seconds < excerptSeconds.least) {
      throw new Refusal(
        'bad-input',
        `This file lasts ${seconds.toFixed(2)} s. An excerpt needs ${excerptSeconds.least} s at least.`,
        { path: 'file' },
      );
    }
    const window = plan.firstImpression?.windowSeconds ?? 0;
    if (seconds < window) {
      throw new Refusal(
        'bad-input',
        `This file lasts ${seconds.toFixed(2)} s, and by the plan a first impression lasts ${window} s. Export it longer.`,
        { path: 'file' },
      );
    }
    const others = broughtSlots(excerpt).filter((one) => one !== slot && one.sound !== null);
    const [other] = others;
    if (other?.sound && other.sound.rate !== rate) {
      throw new Refusal(
        'bad-input',
        `This file has ${rate} samples a second, and the one for ${other.label} has ${other.sound.rate}. Converting one of them could be heard: export all renders of an excerpt at one rate, and take those of another rate away first.`,
        { path: 'file', allowed: String(other.sound.rate), got: String(rate) },
      );
    }
    const needed = anchorsNeed(excerpt, prototype);
    if (needed !== null && rate < needed) {
      throw new Refusal(
        'bad-input',
        `This file has ${rate} samples a second, and the anchors that are made of it need ${needed} at least. Export all renders of this excerpt at a higher rate, such as 48 kHz.`,
        { path: 'file', allowed: `${needed} or more`, got: String(rate) },
      );
    }
    if (excerpt.cut && excerpt.cut.to_frame > frames && others.length > 0) {
      throw new Refusal(
        'bad-input',
        `This file ends at ${seconds.toFixed(3)} s, before the out point of this excerpt. Export it longer, or set the out point earlier first.`,
        { path: 'file' },
      );
    }
    await putSoundFile(tx, {
      ...{ sha256, bytes, format, rate, channels, frames },
      facts: JSON.stringify({ loudness, overview }),
      at: at.toISOString(),
    });
    await putStudySound(tx, {
      ...{ study_id: study.id, excerpt_id: id, prototype_id: prototype, sha256 },
      name: name.slice(0, 200),
      staff_id: actor.id as StaffId,
      at: at.toISOString(),
    });
    // By itself a file begins at its begin. In and out points of a file that was there alone don't fit the next.
    const cutFits = excerpt.cut && excerpt.cut.to_frame <= frames && (others.length > 0 || slot.sound?.rate === rate);
    if (!cutFits) {
      const usual = (plan.firstImpression?.windowSeconds ?? 10) * rate;
      await putStudyCut(tx, {
        ...{ study_id: study.id, excerpt_id: id, from_frame: 0 },
        to_frame: Math.min(frames, Math.round(usual)),
      });
    }
    if (slot.sound?.sha256 !== sha256 || !cutFits) await dropSoundMatch(tx, study.id);
  },
};

/** @throws Refusal for what is made here */
export function refuseAnchor({ label, anchor }: Slot): void {
  if (!anchor) return;
  throw new Refusal(
    'bad-input',
    `${label} is an anchor: it is made here of the file of ${anchor.ofLabel}, and changes with it. Bring that file instead.`,
    { path: 'file', allowed: 'nothing', got: 'a file' },
  );
}

const removing = planGiven.extend({ excerpt: part, prototype: part });

/** Takes a file away, as when all of an excerpt come anew at another rate. It stays on the shelf. */
export const removeSound: Command<z.output<typeof removing>> = {
  name: 'remove-sound',
  does: 'take sound away',
  states: ['draft', 'locked'],
  who: 'staff',
  input: removing,
  async run({ tx, study }, input) {
    const { plan, excerpt: id, prototype } = input;
    samePlan(study, input);
    await removeStudySound(tx, study.id, id, prototype);
    const excerpt = (await soundOf(tx, study, plan)).find((one) => one.excerpt.id === id);
    if (excerpt?.slots.every(({ sound }) => sound === null)) await removeStudyCut(tx, study.id, id);
    await dropSoundMatch(tx, study.id);
  },
};

const seconds = (name: string) =>
  z
    .string()
    .trim()
    .min(1)
    .regex(/^\d{1,5}(?:[.,]\d{1,6})?$/, `${name} in seconds, such as 12.5`)
    .transform((typed) => Number(typed.replace(',', '.')));

const cutting = planGiven.extend({ excerpt: part, from: seconds('a time'), to: seconds('a time') });

/** In and out point of an excerpt, the same for all its files. */
export const cutSound: Command<z.output<typeof cutting>> = {
  name: 'cut-sound',
  does: 'set in and out points',
  states: ['draft', 'locked'],
  who: 'staff',
  input: cutting,
  labels: { from: 'The in point', to: 'The out point' },
  async run({ tx, study }, input) {
    const { plan, excerpt: id, from, to } = input;
    samePlan(study, input);
    const excerpt = (await soundOf(tx, study, plan)).find((one) => one.excerpt.id === id);
    const sounds = excerpt?.slots.flatMap(({ sound }) => (sound ? [sound] : [])) ?? [];
    const [first] = sounds;
    if (!excerpt || !first) {
      throw new Refusal('bad-input', 'There is no file to cut yet. Bring one first.', { path: 'from' });
    }
    const [rate = first.rate, another] = ratesOf(excerpt);
    if (another !== undefined) {
      throw new Refusal('bad-input', 'The files of this excerpt have different rates. Bring them at one rate first.', {
        path: 'from',
      });
    }
    const cut = { from_frame: Math.round(from * rate), to_frame: Math.round(to * rate) };
    const shortest = Math.min(...sounds.map(({ frames }) => frames));
    refuseCut(plan, (cut.to_frame - cut.from_frame) / rate, cut.to_frame > shortest ? shortest / rate : null);
    await putStudyCut(tx, { study_id: study.id, excerpt_id: id, ...cut });
    const before = excerpt.cut;
    if (before?.from_frame !== cut.from_frame || before.to_frame !== cut.to_frame) await dropSoundMatch(tx, study.id);
  },
};

/** @param end of the shortest file, in seconds, where the out point lies behind it */
function refuseCut({ firstImpression }: Plan, length: number, end: number | null): void {
  const refuse = (path: 'from' | 'to', message: string) => new Refusal('bad-input', message, { path });
  const { least, most } = excerptSeconds;
  if (length <= 0) throw refuse('to', 'The out point must come after the in point.');
  if (end !== null) {
    throw refuse('to', `The shortest file of this excerpt ends at ${end.toFixed(3)} s. Set the out point before that.`);
  }
  if (length < least) throw refuse('to', `That is ${length.toFixed(2)} s. An excerpt needs ${least} s at least.`);
  if (length > most) {
    throw refuse('to', `That is ${length.toFixed(1)} s. Nobody keeps so long a piece in mind; ${most} s are the most.`);
  }
  const window = firstImpression?.windowSeconds;
  if (window !== undefined && length < window) {
    throw refuse('to', `By the plan a first impression lasts ${window} s, so the excerpt must last as long at least.`);
  }
}

/** Cuts all files, checks that renders begin together, and works out what each is lowered by. */
export const matchSound: Command<z.output<typeof planGiven>, SoundMatch, SoundMatch> = {
  name: 'match-sound',
  does: 'match the sound',
  states: ['draft', 'locked', 'running'],
  who: 'staff',
  input: planGiven,
  async prepare(parts, study, input) {
    samePlan(study, input);
    if (!plays(input.plan)) {
      throw new Refusal('bad-input', 'By its plan this study plays nothing by itself, so there is nothing to match.');
    }
    return matchOf(parts, study, input.plan);
  },
  async run(context, input, match) {
    const { tx, study, at } = context;
    samePlan(study, input);
    await refuseWhileUnderWay(context, input.plan);
    const now = await soundOf(tx, study, input.plan);
    const same = now.every(({ excerpt, cut, slots }) => {
      const made = match.excerpts.find(({ id }) => id === excerpt.id);
      return (
        made?.from === cut?.from_frame &&
        made?.to === cut?.to_frame &&
        slots.every((slot) => made?.files.some((file) => isOf(file, slot)))
      );
    });
    if (!same) {
      throw new Refusal('conflict', 'A file or a cut was changed meanwhile. Look at this page again, then match.');
    }
    await putSoundMatch(tx, study.id, match, at);
    await context.record('sound-matched', match);
    return match;
  },
};
