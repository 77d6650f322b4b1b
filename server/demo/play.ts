import type { Role } from '../../shared/roles';
import { bringAndMatch } from './brought-sound';
import { expectStatus } from './browser';
import {
  approver as approverAccount,
  crossovers,
  measuring,
  passphrase,
  plans,
  roles,
  type StudyName,
  studyNames,
} from './cast';
import { playEvenings, storyDays } from './evenings';
import { rendersOf } from './programme';
import type { StaffBrowser } from './staff-browser';
import { playToday, type Today } from './today';
import { type Scenery, Troupe } from './troupe';

export interface DemoParts extends Scenery {
  /** The one-time code of a server that nobody has an account on. */
  firstCode: string;
  /** When the demo is served; the clock stands at its beginning, see `storyBegin`. */
  today: Date;
  /** Called with what is played next. */
  say?: (line: string) => void;
  /** Ends it before its time. */
  signal?: AbortSignal;
}

export interface Played {
  /** The path of each study. */
  paths: Record<keyof typeof plans, string>;
  today: Today;
  lead: StaffBrowser;
}

const day = 86_400_000;
export const storyBegin = (today: Date): Date => new Date(today.getTime() - storyDays * day);

/**
 * Plays the invented scenario through a server that runs. Everything goes over HTTP and sockets, as if by hand. In the
 * end two studies are unsealed and wait for a signature, one is signed, one waits to be unsealed, three are under way, and
 * one is a draft.
 * @throws the reason of the signal when it was stopped
 */
export async function playDemo(parts: DemoParts): Promise<Played> {
  const troupe = new Troupe(parts);
  const stopped = new Promise<never>((_, reject) => {
    const stop = () => reject(parts.signal?.reason);
    if (parts.signal?.aborted) stop();
    parts.signal?.addEventListener('abort', stop, { once: true });
  });
  const played = playAll(troupe, parts);
  // Whichever of the two is not waited for.
  for (const one of [stopped, played]) one.catch(() => {});
  try {
    return await Promise.race([played, stopped]);
  } finally {
    troupe.cutOff();
  }
}

async function playAll(troupe: Troupe, parts: DemoParts): Promise<Played> {
  const { clock, firstCode, today, say = () => {} } = parts;
  const { lead, approver } = troupe;
  say('Planning');
  await troupe.settle(firstCode);
  const past = await plan(troupe, ['preference', 'abx', 'profile', 'first-impressions']);
  for (const [study, path] of Object.entries(past)) await giveRoles(lead, path, study as StudyName);
  await playEvenings({ troupe, clock, paths: past, today, say });

  say('Closing, unsealing, signing');
  clock.turnTo(new Date(today.getTime() - 2 * day));
  for (const study of studyNames) await lead.close(past[study]);
  await Promise.all([past.abx, past.profile, past['first-impressions']].map((study) => unseal(lead, study)));
  await approver.signIn(approverAccount);
  const decided = await approver.decide(past.abx, {
    decision: 'sign',
    meaning: 'approved',
    reason: 'Goes into the next batch, unless the preference says otherwise.',
    password: approverAccount.password,
  });
  expectStatus(decided, 200);

  say('Today: three sessions under way');
  // Early enough that what is played ends before now.
  clock.turnTo(new Date(today.getTime() - day / 12));
  const now = await plan(troupe, ['asking', 'running', 'renders']);
  const paths = { ...past, ...now, draft: await lead.plan(plans.draft) };
  return { paths, today: await playToday(troupe, now), lead };
}

/** Plans, measures what is handed over, brings what is played, and locks. */
async function plan<Name extends keyof typeof plans>(
  { lead, preparer }: Troupe,
  names: readonly Name[],
): Promise<Record<Name, string>> {
  const paths: [Name, string][] = [];
  for (const name of names) {
    const path = await lead.plan(plans[name]);
    if (name === 'renders') await bringAndMatch(preparer, path, rendersOf(crossovers));
    else await preparer.noteLevels(path, measuring);
    paths.push([name, path]);
  }
  // Stretching the passphrase takes longest.
  await Promise.all(paths.map(([, path]) => lead.lock(path, passphrase)));
  return Object.fromEntries(paths) as Record<Name, string>;
}

async function giveRoles(lead: StaffBrowser, path: string, study: StudyName): Promise<void> {
  for (const [role, name] of Object.entries(roles[study])) await lead.giveRole(path, role as Role, name);
}

export async function unseal(lead: StaffBrowser, study: string): Promise<void> {
  expectStatus(await lead.unseal(study, passphrase), 200);
}

/** The study of which a record is wanted is unsealed for it. */
export async function recordOf({ lead, paths }: Played, study: StudyName): Promise<string> {
  if (study === 'preference') await unseal(lead, paths.preference);
  return lead.download(paths[study], 'record.json');
}
