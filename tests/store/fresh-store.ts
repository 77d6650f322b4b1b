import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { onTestFinished } from 'vitest';
import type { Store } from '../../server/store/open';
import { openStore } from '../../server/store/open';
import { insertStudy } from '../../server/store/studies';
import type { StaffId, StudyId } from '../../shared/brands';

/** A folder of its own for one test, gone when the test ends. */
export function freshFolder(): string {
  const folder = mkdtempSync(join(tmpdir(), 'fh-store-'));
  onTestFinished(() => rmSync(folder, { recursive: true, force: true }));
  return folder;
}

/** A real SQLite file for one test. */
export async function freshStore(folder = freshFolder()): Promise<Store> {
  const store = await openStore(folder);
  onTestFinished(() => store.close());
  return store;
}

/** A study in draft, with the one who made it. */
export async function aStudy(store: Store, id = 'STUDY1'): Promise<StudyId> {
  const at = '2026-03-02T09:00:00.000Z';
  await store.write(async (tx) => {
    const staff = { id: `STAFF-${id}` as StaffId, name: id, name_key: id, password: 'x', created_at: at };
    await tx.insertInto('staff').values(staff).execute();
    await insertStudy(tx, {
      id: id as StudyId,
      title: 'Vent study',
      state: 'draft',
      plan: '{}',
      plan_version: 0,
      plan_hash: null,
      commitment: null,
      created_by: staff.id,
      created_at: at,
      single_blind: null,
      version: 1,
    });
  });
  return id as StudyId;
}
