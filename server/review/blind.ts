import { holdsTwins } from '../../protocols/form';
import { methodOf } from '../../protocols/index';
import type { Findings } from '../../shared/findings';
import type { Plan } from '../../shared/plan';
import type { LedgerEntry } from '../../shared/record';
import { askedBeforeTheEnd } from '../blinding/guesses';
import { importedEntry } from '../blinding/imported';
import { keyEventsOf } from '../blinding/key-events';
import { olderCopies } from '../blinding/older-copies';
import { sharedUnits } from '../blinding/shared-units';
import type { StudyStory } from '../blinding/story';
import { rolesTold } from '../blinding/who-did';
import { blindLabel, blindWeakness, broughtLabel, handlingWords, listenersOnly } from '../plan-words';
import { playedWords } from '../roles/earned-label';
import { importedNotes } from './imported';
import { isReviewClash, type Knowing, knowingIn } from './not-blind';

/** How blind a study was: by its plan, by what it earned in the end, and who saw what. */
export function blindOf(story: StudyStory, ledger: readonly LedgerEntry[]): Findings['blind'] {
  const { handling } = story.plan;
  // Whatever the plan says: nobody here watched over it.
  if (importedEntry(ledger)) {
    return {
      ...{ handling, label: broughtLabel, singleBlind: false, notes: importedNotes(ledger) },
      ...{ roles: rolesTold(ledger), keyEvents: [] },
    };
  }
  const weakness = blindWeakness(story.plan);
  const singleBlind = handling === 'solo' || story.singleBlind.length > 0;
  const shared = handling === 'two-person' && sharedUnits(story);
  // Which codes are one sample is the very answer where a trial holds one sample twice.
  const told = shared && holdsTwins(methodOf(story.plan).form);
  return {
    handling,
    label: singleBlind ? handlingWords.solo.label : told ? listenersOnly : blindLabel(story.plan),
    singleBlind,
    notes: [
      ...story.singleBlind.map(({ reason }) => `Single blind: ${reason}`),
      ...(weakness === null ? [] : [weakness]),
      ...clashNotes(ledger, story.plan),
      ...askedNotes(askedBeforeTheEnd(ledger, story.sittings)),
      ...olderCopies(ledger).map(({ words }) => words),
      ...(handling === 'server'
        ? [playedWords]
        : story.openings.length === 0
          ? ['Nobody opened a preparation sheet.']
          : []),
      ...(told ? [toldWords(story.plan)] : shared ? [sharedWords] : []),
    ],
    roles: rolesTold(ledger),
    keyEvents: keyEventsOf(ledger, handling),
  };
}

/** What didn't go together and was done all the same; where the study became single blind by it, that is said already. */
const clashNotes = (ledger: readonly LedgerEntry[], plan: Plan): string[] =>
  ledger
    .filter(({ kind, body }) => kind === 'role-clash' && isReviewClash(body))
    .map(
      ({ body }) =>
        `The blind review was not blind: ${String(body.staff)} ${reviewerWords(knowingIn(body), plan)}. ${String(body.reason)}`,
    );

function reviewerWords(knows: Knowing, { method }: Plan): string {
  if (knows === 'key') return 'had seen which sample is which';
  if (knows === 'looks') return 'had looked at how the answers stood';
  const what = method.id === 'abx' ? 'the code of the third sample' : 'the codes';
  return `ran the desk, where ${what} told which answers are right`;
}

/** Listeners read in the closing question what samples there may be. */
const askedNotes = (count: number): string[] =>
  count === 0
    ? []
    : [
        `${count === 1 ? '1 listener' : `${count} listeners`} had been asked which one their last sample was, and then answered on, since the plan was amended.`,
      ];

const sharedWords =
  'Seats shared samples. From what had to wait for what, whoever ran the desk could have worked out which codes held one sample, though not which prototype it was.';

function toldWords({ method }: Plan): string {
  const which =
    method.id === 'abx' ? 'which of the first two the third was' : 'which samples of a trial were one and the same';
  return `Seats shared samples. From what had to wait for what, whoever ran the desk could have worked out ${which}, which is the answer.`;
}
