import { z } from 'zod';
import { entriesOf } from '../blinding/amendments';
import { headKinds } from '../blinding/exclusions';
import { findingsRevision } from '../blinding/findings-revision';
import { openKey, type PublishedKey } from '../blinding/unsealing';
import { isAlone as plannedAndRanAlone } from '../blinding/who-did';
import type { Command } from '../command';
import { endSession } from '../live/end-session';
import { currentSession } from '../store/sessions';
import { updateStudy } from '../store/studies';
import { Refusal } from '../web/refusal';
import { readNow } from './computing/read';
import type { Reading } from './computing/reading';

const closing = z.strictObject({ understood: z.literal('yes') });

/** No new data from here on. What was open is counted as lost, and the server forgets the key. */
export const closeStudy: Command<z.infer<typeof closing>> = {
  name: 'close-study',
  does: 'close the study',
  states: ['running'],
  who: 'staff',
  input: closing,
  labels: { understood: 'That what is open stays open' },
  async run(context) {
    const { tx, study } = context;
    const session = await currentSession(tx, study.id);
    if (session) await endSession(context, session);
    await updateStudy(tx, study.id, { state: 'closed' });
    await context.record('study-closed', {});
  },
};

const unsealing = z.strictObject({ passphrase: z.string().min(1).max(200) });

/** Joins codes and prototypes, for everybody to see, and publishes the seed. */
export const unsealStudy: Command<z.infer<typeof unsealing>, { key: PublishedKey | null }> = {
  name: 'unseal',
  does: 'unseal the result',
  states: ['closed'],
  who: 'staff',
  input: unsealing,
  labels: { passphrase: 'The passphrase' },
  async prepare(parts, study, { passphrase }) {
    return { key: await openKey(parts.store.db, study.id, passphrase) };
  },
  async run(context, _input, { key }) {
    if (!key) throw new Refusal('wrong-password', 'This is not the passphrase of this study.', { path: 'passphrase' });
    await updateStudy(context.tx, context.study.id, { state: 'unsealed' });
    await context.record('unsealed', { ...key, commitment: context.study.commitment, findings: findingsRevision });
  },
};

export const meanings = { approved: 'I approve this verdict', reviewed: 'I have reviewed it' } as const;

const deciding = z.strictObject({
  decision: z.enum(['sign', 'refuse']),
  meaning: z.enum(['approved', 'reviewed']),
  reason: z.string().trim().max(500),
  /** Why nobody else can sign; asked of whoever planned the study and ran its desk alone. */
  alone: z.string().trim().max(300).default(''),
  /** Major deviations that are known to whoever signs, by their entries; not asked of a refusal. */
  known: z.array(z.string().max(12)).max(500).default([]),
  /** The hash of the findings that were read; what has changed since is to be read first. */
  findings: z.string().max(64).default(''),
  /** Whether the password that was typed again is right; checked before, since that takes time. */
  passwordRight: z.boolean(),
});

/** Sign-off: by name, with the password again, bound to the findings and to the whole record before it. */
export const decide: Command<z.output<typeof deciding>, Reading> = {
  name: 'decide',
  does: 'sign or refuse the verdict',
  states: ['unsealed'],
  who: 'staff',
  input: deciding,
  labels: {
    decision: 'Your decision',
    meaning: 'What your signature means',
    reason: 'The reason',
    alone: 'Why nobody else can sign',
    known: 'What you know of',
  },
  async prepare(parts, study, { decision, reason, findings: read, passwordRight }) {
    if (!passwordRight) throw new Refusal('wrong-password', 'This is not your password.', { path: 'password' });
    if (decision === 'refuse' && reason.length < 3) {
      throw new Refusal('bad-input', 'Say why you refuse: the reason stands on the report.', { path: 'reason' });
    }
    // Never by what was computed before: chain, key and findings anew.
    const reading = await readNow(parts.store, study.id);
    if (reading.broken !== null) {
      throw new Refusal('conflict', `The record was changed at entry ${reading.broken}. It can’t be signed.`, {
        path: 'ledger',
      });
    }
    if (decision === 'sign' && reading.keyFails !== null) {
      throw new Refusal('conflict', `The key isn’t verified, so this can’t be signed. ${reading.keyFails}`, {
        path: 'key',
      });
    }
    if (decision === 'sign' && read === '') {
      throw new Refusal('bad-input', 'Say which findings you sign: the hash of those that you have read.', {
        path: 'findings',
        allowed: 'SHA-256 of the findings, as the review shows it',
      });
    }
    if (read !== '' && read !== reading.findingsHash) throw changedMeanwhile();
    return reading;
  },
  async run(context, { decision, meaning, reason, alone, known }, { findings, findingsHash, deviations, told }) {
    const { tx, study, actor } = context;
    const [head] = (await entriesOf(tx, study.id, [...headKinds])).slice(-1);
    if (head?.hash !== findings.computedFrom) throw changedMeanwhile();
    const isAlone = decision === 'sign' && actor.kind === 'staff' && plannedAndRanAlone(told, actor.name);
    if (isAlone && alone.length < 3) {
      throw new Refusal(
        'bad-input',
        'You planned and ran this alone: say why nobody else can sign, or let somebody else do it.',
        { path: 'alone' },
      );
    }
    const unread = deviations.filter(({ entry }) => !known.includes(String(entry)));
    if (decision === 'sign' && unread[0]) throw unknownDeviation(unread[0].words, unread.length);
    const state = decision === 'sign' ? ('signed' as const) : ('refused' as const);
    await updateStudy(tx, study.id, { state });
    await context.record(state, {
      name: actor.kind === 'staff' ? actor.name : '',
      meaning: decision === 'sign' ? meanings[meaning] : 'I refuse this verdict',
      reason,
      findingsHash,
      dataHash: findings.computedFrom,
      ...(decision === 'sign' && deviations.length > 0 ? { deviations } : {}),
      ...(isAlone ? { alone } : {}),
    });
  },
};

const unknownDeviation = (words: string, count: number): Refusal =>
  new Refusal(
    'bad-input',
    `Before you sign, tick that you know of ${count === 1 ? 'this' : `each of ${count} deviations, beginning with this one`}: ${words}`,
    { path: 'known' },
  );

const changedMeanwhile = (): Refusal =>
  new Refusal(
    'conflict',
    'Something was left out or taken back in meanwhile. Look at the verdict again, then decide.',
    {
      path: 'decision',
    },
  );
