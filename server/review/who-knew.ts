import type { Findings } from '../../shared/findings';
import { namesSaid, roleWords } from '../roles/role-words';
import { utcMinute } from '../time-words';
import type { WhoKnew } from './view-models';

const eventWords: Record<Findings['blind']['keyEvents'][number]['what'], string> = {
  'sheet-opened': 'opened the sheet',
  'code-revealed': 'had a code revealed',
  'passphrase-refused': 'typed a wrong passphrase',
  'key-put-back': 'put the working key back by the passphrase',
  unsealed: 'unsealed the result',
};

/** Who had which role, and every look at the key, as the letter shows them under its first line. */
export function whoKnewPart({ blind: { roles, keyEvents } }: Pick<Findings, 'blind'>): WhoKnew {
  return {
    roles: roles
      // Who signs in the end stands under the verdict.
      .filter(({ role, given }) => role !== 'approver' || given.length > 0)
      .map(({ role, given, did }) => ({ role: roleWords[role].name, people: peopleSaid(given, did) })),
    events: keyEvents.map(({ at, who, what, where, planned, times }) => ({
      at: utcMinute(at),
      what: [
        who,
        eventWords[what] + (where === '' ? '' : `, ${where}`),
        ...(times > 1 ? [`(${times} times)`] : []),
      ].join(' '),
      planned,
    })),
    unplanned: keyEvents.filter(({ planned }) => !planned).reduce((sum, { times }) => sum + times, 0),
  };
}

/** Who did the work; and who had the role without doing it, or did it without having it. */
function peopleSaid(given: readonly string[], did: readonly string[]): string {
  const idle = given.filter((name) => !did.includes(name));
  const stray = given.length === 0 ? [] : did.filter((name) => !given.includes(name));
  const done = did.filter((name) => !stray.includes(name));
  const parts = [
    ...(done.length > 0 ? [namesSaid(done)] : []),
    ...(idle.length > 0 ? [did.length === 0 ? namesSaid(idle) : `given to ${namesSaid(idle)} as well`] : []),
    ...(stray.length > 0 ? [`${namesSaid(stray)}, to whom it was no longer given`] : []),
  ];
  return parts.length === 0 ? 'Nobody' : parts.join('; ');
}
