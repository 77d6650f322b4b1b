import { SoundShelf } from '../../server/audio/shelf';
import { lockStudy, prepareLock } from '../../server/blinding/lock';
import { type BroughtSound, bySound } from '../../server/demo/brought-sound';
import { noiseFor } from '../../server/demo/rehearsal-noise';
import { newId } from '../../server/ids';
import { listStaff } from '../../server/store/staff';
import { insertStudy } from '../../server/store/studies';
import type { StudyId } from '../../shared/brands';
import { handsOver, type Plan } from '../../shared/plan';
import type { SoundMatch } from '../../shared/sound-match';
import { ada, type House, openHouse, passphrase } from './driver';

/** A locked plan whose sound is there and matched, written past the pages that bring it, run by Ada alone. */
export async function soundHouse(plan: Plan) {
  const house = await openHouse();
  const desk = house.desk(ada.name);
  await desk.makeFirstAccount(house.firstCode, ada);
  const brought = noiseFor(
    plan.excerpts.map(({ id }) => id),
    handsOver(plan) ? [] : plan.prototypes.map(({ id }) => id),
  );
  const study = newId<StudyId>(house.clock.at);
  const locked = await prepareLock(study, plan, passphrase);
  const [lead] = await listStaff(house.store.db);
  if (!lead) throw new Error('Nobody is there to lock the plan.');
  await house.store.write(async (tx) => {
    await insertStudy(tx, {
      id: study,
      title: plan.title,
      state: 'draft',
      plan: '{}',
      plan_version: 0,
      plan_hash: null,
      commitment: null,
      created_by: lead.id,
      created_at: house.clock.at.toISOString(),
      single_blind: null,
      version: 1,
    });
    await lockStudy(tx, house.folder, study, plan, locked);
  });
  await matchAsIs(house, study, plan, brought);
  return { house, desk, study: `/studies/${study}`, recognise: bySound(brought) };
}

/** Every file as loud as it came, from its first sample to its last. */
async function matchAsIs(
  { store, folder, clock }: House,
  study: StudyId,
  plan: Plan,
  brought: readonly BroughtSound[],
): Promise<void> {
  const shelf = new SoundShelf(folder);
  const at = clock.at.toISOString();
  const files = await Promise.all(
    brought.map(async ({ excerpt, prototype, name, file }) => ({
      excerpt,
      prototype,
      facts: await shelf.take(pieces(file), name),
    })),
  );
  const match: SoundMatch = {
    by: 'loudness',
    excerpts: plan.excerpts.map(({ id }) => {
      const own = files.filter(({ excerpt }) => excerpt === id);
      const [first] = own;
      return {
        id,
        rate: first?.facts.rate ?? 0,
        from: 0,
        to: first?.facts.frames ?? 0,
        files: own.map(({ prototype, facts: { sha256, name, channels } }) => ({
          prototype,
          sha256,
          name,
          channels,
          before: { level: -30, truePeak: -10 },
          gain: 0,
          after: { level: -30, truePeak: -10 },
          lag: 0,
        })),
      };
    }),
    units: plan.excerpts.flatMap(({ id }) =>
      plan.prototypes.flatMap(({ units }) =>
        units.map((unit) => ({ unit: unit.id, excerpt: id, level: -30, gain: -1 })),
      ),
    ),
    warnings: [],
  };
  await store.write(async (tx) => {
    for (const { facts } of files) {
      const { sha256, bytes, format, rate, channels, frames, loudness, overview } = facts;
      const row = { sha256, bytes, format, rate, channels, frames, facts: JSON.stringify({ loudness, overview }), at };
      await tx
        .insertInto('sound_file')
        .values(row)
        .onConflict((on) => on.doNothing())
        .execute();
    }
    const body = JSON.stringify(match);
    await tx.insertInto('sound_match').values({ study_id: study, body, at }).execute();
  });
}

async function* pieces(file: Buffer): AsyncIterable<Buffer> {
  yield file;
}
