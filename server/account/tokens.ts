import type { Store } from '../store/open';
import { addStaffToken, staffByNameKey } from '../store/staff';
import type { StaffRow } from '../store/tables';
import { randomToken, tokenHash } from '../web/random-token';
import { Refusal } from '../web/refusal';
import { nameKey } from './name';

export const tokenHours = 72;

/** A link that works once. Only the hash of its token is stored, so it can be shown once and never again. */
export interface OneTimeLink {
  token: string;
  /** `/account/invited/…`, with the origin before it if one was given. */
  link: string;
  until: Date;
}

/** A link with which one more person makes an account. `origin` is what the link starts with: `http://192.168.1.20:3000`. */
export async function createInvitation(store: Store, origin: string, now: () => Date): Promise<OneTimeLink> {
  return create(store, 'invite', null, `${origin}/account/invited/`, now());
}

/** A link with which the person of this name sets a new password. Refuses a name that nobody has. */
export async function createReset(store: Store, name: string, origin: string, now: () => Date): Promise<OneTimeLink> {
  const staff = await staffByNameKey(store.db, nameKey(name));
  if (!staff) throw new Refusal('not-found', `Nobody here has the name “${name}”.`, { path: 'name', got: name });
  return create(store, 'reset', staff.id, `${origin}/account/reset/`, now());
}

async function create(
  store: Store,
  kind: 'invite' | 'reset',
  staffId: StaffRow['id'] | null,
  base: string,
  at: Date,
): Promise<OneTimeLink> {
  const token = randomToken();
  const until = new Date(at.getTime() + tokenHours * 3_600_000);
  await store.write((tx) =>
    addStaffToken(tx, {
      hash: tokenHash(token),
      kind,
      staff_id: staffId,
      created_at: at.toISOString(),
      expires_at: until.toISOString(),
      used_at: null,
    }),
  );
  return { token, link: base + token, until };
}
