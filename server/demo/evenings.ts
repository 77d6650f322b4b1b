import { Bench } from './bench';
import { abxPanel, cold, passphrase, people, plans, profilePanel, type StudyName } from './cast';
import { doorSlams, mixUp, pause } from './moments';
import type { Moment } from './operator';
import { type Guest, holdSession } from './session';
import type { Troupe } from './troupe';
import type { TurnedClock } from './turned-clock';

/** What is held on each evening, and how many days ago that was. First contact comes first: ears get used to things. */
const evenings: { daysAgo: number; sessions: [study: StudyName, number: number][] }[] = [
  { daysAgo: 22, sessions: [['first-impressions', 1]] },
  {
    daysAgo: 15,
    sessions: [
      ['first-impressions', 2],
      ['abx', 1],
    ],
  },
  {
    daysAgo: 9,
    sessions: [
      ['first-impressions', 3],
      ['abx', 2],
      ['profile', 1],
    ],
  },
  {
    daysAgo: 3,
    sessions: [
      ['first-impressions', 4],
      ['preference', 1],
    ],
  },
];
/** Cookies of staff last two weeks. */
const signedInAnew = [9, 3];

/** The story begins so many days ago, with planning. */
export const storyDays = 23;

const happenings = (study: StudyName, number: number, path: string): Moment[] => {
  switch (`${study} ${number}`) {
    case 'first-impressions 1':
      return [doorSlams(path, 20)];
    case 'first-impressions 2':
      return [pause(path, 30)];
    case 'preference 1':
      return [mixUp('Capo', 40)];
    default:
      return [];
  }
};

export interface EveningParts {
  troupe: Troupe;
  clock: TurnedClock;
  paths: Record<StudyName, string>;
  /** When the demo is served. */
  today: Date;
  say: (line: string) => void;
}

/** The sessions of the past weeks, from the first evening to the last. */
export async function playEvenings({ troupe, clock, paths, today, say }: EveningParts): Promise<void> {
  const benches = { 'first-impressions': new Bench(), profile: new Bench(), abx: new Bench(), preference: new Bench() };
  const all = people.map(({ alias }) => alias);
  const panels = {
    'first-impressions': troupe.panel('first-impressions', benches['first-impressions'], all),
    profile: troupe.panel('profile', benches.profile, profilePanel),
    abx: troupe.panel('abx', benches.abx, abxPanel),
    preference: troupe.panel('preference', benches.preference, all),
  };
  for (const { daysAgo, sessions } of evenings) {
    clock.turnTo(new Date(today.getTime() - daysAgo * 86_400_000));
    if (signedInAnew.includes(daysAgo)) await troupe.signIn();
    // Passphrases take long to stretch: all sheets of an evening are opened at its beginning.
    const sheets = new Map(sessions.map(([study]) => [study, troupe.preparer.openSheet(paths[study], passphrase)]));
    for (const sheet of sheets.values()) sheet.catch(() => {});
    for (const [study, number] of sessions) {
      const { title, sessions: count = 1 } = plans[study];
      say(`${daysAgo} days ago: ${title}${count > 1 ? `, session ${number} of ${count}` : ''}`);
      const guests = [...panels[study].values()].map((listener): Guest => {
        const ill = cold.study === study && cold.session === number && cold.alias === listener.character.alias;
        return { listener, ...(ill ? { conditions: ['congestion'] } : {}) };
      });
      await holdSession({
        desk: troupe.desk,
        preparer: troupe.preparer,
        study: paths[study],
        passphrase,
        number,
        bench: benches[study],
        carriers: sheets.get(study) ?? Promise.resolve([]),
        panel: guests,
        moments: happenings(study, number, paths[study]),
      });
    }
  }
}
