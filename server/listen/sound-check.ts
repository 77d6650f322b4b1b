import { z } from 'zod';
import { methodOf } from '../../protocols/index';
import { plays } from '../../shared/plan';
import type { Problem } from '../../shared/problem';
import { connections, soundChecks } from '../../shared/wire/sound-check';
import { words } from '../../shared/words/en';
import { type BlindPlan, blindPlanOf } from '../blind-plan';
import type { Command } from '../command';
import { findListener } from '../store/listeners';
import { updateSitting } from '../store/sittings';
import { hasSoundCheck, putSoundCheck } from '../store/sounds';
import type { SittingRow, TrialRow } from '../store/tables';
import { Refusal } from '../web/refusal';
import { ownSitting } from './arrival';
import type { SoundCheckPart } from './view-models';

/**
 * Before the first trial of a sitting where the page plays: left and right, what is listened with, and what would change
 * the sound on its way. Common practice; what it asks for by name follows from what phones do to sound.
 */

const side = z.enum(['left', 'right'], { error: 'Play each tone, and tap the ear in which you hear it.' });

const checking = z.strictObject({
  first_played: side.optional(),
  first_heard: side.optional(),
  second_played: side.optional(),
  second_heard: side.optional(),
  connection: z.enum(connections, { error: 'Say what you listen with.' }),
  checks: z.array(z.enum(soundChecks)),
});
type Checking = z.infer<typeof checking>;

const tones = ({ handling }: Pick<BlindPlan, 'handling'>): boolean => handling === 'server';

export const soundCheck: Command<Checking> = {
  name: 'sound-check',
  does: 'check the sound',
  states: ['running'],
  who: 'listener',
  input: checking,
  labels: { connection: 'What you listen with', checks: 'What to see to' },
  async run(context, sent) {
    const { tx, study, at } = context;
    const plan = blindPlanOf(study);
    const sitting = await ownSitting(context);
    if (!plays(plan) || sitting.state !== 'seated') {
      throw new Refusal('wrong-place', 'There is no sound to check now. The page shows where you are.', {
        path: 'sitting',
        next: { label: words['place.look-again'], url: '/listen' },
      });
    }
    if (await hasSoundCheck(tx, sitting.id)) return;
    const problems = problemsOf(plan, sent);
    const [first] = problems;
    if (first) throw new Refusal('bad-input', first.message, { path: first.path, problems });
    const body = { connection: sent.connection };
    const device = (await findListener(tx, sitting.listener_id))?.device ?? '';
    await putSoundCheck(tx, {
      sitting_id: sitting.id,
      body: JSON.stringify({ ...body, device }),
      at: at.toISOString(),
    });
    await updateSitting(tx, sitting.id, {});
    await context.record('sound-checked', { sitting: sitting.id, ...body });
    context.touch(sitting.id);
  },
};

function problemsOf(plan: BlindPlan, sent: Checking): Problem[] {
  const problems: Problem[] = [];
  const say = (path: string, message: string) => problems.push({ code: 'bad-input', path, message });
  if (tones(plan)) {
    const pairs = [
      [sent.first_played, sent.first_heard],
      [sent.second_played, sent.second_heard],
    ];
    if (pairs.some(([played, heard]) => !played || !heard)) {
      say('tones', 'Play both tones, and tap the ear in which you hear each.');
    } else if (pairs.every(([played, heard]) => played !== heard)) {
      say('tones', 'Left and right are swapped. Turn your in-ears round, then play the tones again.');
    } else if (pairs.some(([played, heard]) => played !== heard)) {
      say('tones', 'One of the tones was heard on the other side. Look whether both ears play, and play them again.');
    }
  }
  if (sent.connection === 'speakers') {
    say('connection', 'Take in-ears on a cable: from a loudspeaker each ear hears both sides.');
  } else if (sent.connection === 'wireless' && plan.sound?.wireless !== 'allowed') {
    say(
      'connection',
      'This study needs a cable: wireless playback changes the sound and its level. Take in-ears on a cable.',
    );
  }
  const missing = soundChecks.filter((check) => !sent.checks.includes(check));
  if (missing.length > 0) say('checks', 'See to all of these, and tick them.');
  return problems;
}

/** What was sent and refused, to be shown again. */
export interface SoundCheckSent {
  connection: unknown;
  checks: readonly unknown[];
  problems: readonly Problem[];
}

export function soundCheckPart(
  plan: BlindPlan,
  csrf: string,
  { connection, checks, problems }: SoundCheckSent = { connection: null, checks: [], problems: [] },
): SoundCheckPart {
  const errorAt = (field: string) => problems.find(({ path }) => path === field)?.message ?? null;
  const shape: Pick<SoundCheckPart, 'kind' | 'tones'> = { kind: 'sound-check', tones: tones(plan) };
  return {
    ...shape,
    csrf: csrf as SoundCheckPart['csrf'],
    tonesError: (errorAt('tones') ?? errorAt('first_played')) as SoundCheckPart['tonesError'],
    connections: connections.map((value) => ({
      value,
      label: words[`sound-check.${value}`],
      chosen: connection === value,
    })) as SoundCheckPart['connections'],
    connectionError: errorAt('connection') as SoundCheckPart['connectionError'],
    checks: soundChecks.map((value) => ({
      value,
      label: words[`sound-check.${value}`],
      chosen: checks.includes(value),
    })) as SoundCheckPart['checks'],
    checksError: errorAt('checks') as SoundCheckPart['checksError'],
  };
}

/**
 * What was heard already is answered first, whatever phone that is done with. Practice comes after the check, and so does
 * what is graded while it plays.
 */
const afterHearing = (step: TrialRow['step'], plan: BlindPlan): boolean =>
  ['asking', 'words'].includes(step) || (step === 'rating' && methodOf(plan).form.kind !== 'grades');

/** Whether the check comes before anything else at this seat: the first time, and again with another phone. */
export const awaitsSoundCheck = async (
  db: Parameters<typeof hasSoundCheck>[0],
  plan: BlindPlan,
  sitting: SittingRow,
  { step, practice }: Pick<TrialRow, 'step' | 'practice'>,
): Promise<boolean> =>
  plays(plan) &&
  sitting.state === 'seated' &&
  (practice === 1 || !afterHearing(step, plan)) &&
  !(await hasSoundCheck(db, sitting.id));
