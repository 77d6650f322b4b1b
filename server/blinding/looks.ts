import { comparedPlan } from '../../protocols/controls';
import { methodOf } from '../../protocols/index';
import { hasLooks, lookedAt } from '../../protocols/looks';
import type { LooksDetail } from '../../protocols/results';
import type { AudienceId, StudyId, TrialId } from '../../shared/brands';
import type { LedgerEntry } from '../../shared/record';
import type { Db } from '../store/open';
import { workingKey } from './key';
import { ledgerOf } from './ledger';
import { decidedBlind, isLeftOut } from './left-out';
import { outcomesOf } from './outcomes';
import { type StudyStory, storyOf } from './story';
import { string } from './trial-story';
import { type PublishedKey, publishedKey } from './unsealing';

/**
 * Looks while a study is sealed. The answers are scored in here; out comes whether each audience goes on, and evidence
 * without a direction: how many answers were right, or for which prototype they were, doesn't leave.
 */

export interface AudienceLook {
  audience: AudienceId;
  state: LooksDetail['state'];
  /** Answers that counted: net answers of listeners, where those count. */
  counted: number;
  /** Natural logarithm of the ratio, or of the evidence, after the last of them, to four digits; 0 before the first. */
  evidence: number;
  upper: number;
  lower: number | null;
}

export interface Look {
  /** The last entry of the ledger that it took in. */
  upTo: number;
  audiences: AudienceLook[];
}

/** The study as it stands, by the key that the server works with. @throws Refusal when that key is gone */
export async function lookNow(db: Db, folder: string, study: StudyId): Promise<Look> {
  const key = await publishedKey(db, study, workingKey(folder, study));
  const ledger = await ledgerOf(db, study);
  return { upTo: ledger.length, audiences: looksAt(ledger, key) };
}

/** What a look shows at the end of a ledger. @throws Error for a plan of fixed size */
export function looksAt(ledger: readonly LedgerEntry[], key: PublishedKey): AudienceLook[] {
  const story = { ...storyOf(ledger), key };
  const { plan } = story;
  const { protocol } = methodOf(plan);
  if (!hasLooks(plan) || !protocol.evidence) throw new Error('A plan of fixed size is looked at once, at its end.');
  const blind = decidedBlind(story);
  const outcomes = outcomesOf(story).filter((one) => one.control === undefined && !isLeftOut(one, plan, blind));
  const compared = comparedPlan(plan);
  return plan.audiences.map(({ id }) => {
    const audience = id as AudienceId;
    const evidence = protocol.evidence?.(outcomes, compared, audience, { running: true });
    if (!evidence) throw new Error('This method counts nothing on the way.');
    const { state, detail } = lookedAt(evidence, plan);
    const { counted, path, upper, lower } = detail;
    return { audience, state, counted, evidence: fourDigits(path.at(-1) ?? 0), upper, lower };
  });
}

/** So that machines whose logarithms differ in the last digit note the same. */
const fourDigits = (value: number): number => Math.round(value * 1e4) / 1e4;

/**
 * The trials whose answers came after their audience was decided: kept, and not counted. None where the plan has no looks.
 * @throws Error while the study is sealed
 */
export function afterDecision(story: StudyStory): Set<TrialId> {
  const { plan } = story;
  const { protocol } = methodOf(plan);
  if (!hasLooks(plan) || !protocol.evidence) return new Set();
  const blind = decidedBlind(story);
  const counting = outcomesOf(story).filter((one) => one.control === undefined && !isLeftOut(one, plan, blind));
  const compared = comparedPlan(plan);
  const after = plan.audiences.flatMap(({ id }) => {
    const own = counting.filter(({ audience }) => audience === id);
    const open = (answers: number): boolean => {
      const evidence = protocol.evidence?.(own.slice(0, answers), compared, id as AudienceId, { running: true });
      return evidence === undefined || lookedAt(evidence, plan).state === 'go-on';
    };
    // No later answer changes a decision, so the answer that made it is found by halving.
    let [before, decided] = [0, own.length + 1];
    while (decided - before > 1) {
      const middle = Math.floor((before + decided) / 2);
      if (middle > own.length || open(middle)) before = middle;
      else decided = middle;
    }
    return own.slice(decided).map(({ trial }) => trial);
  });
  return new Set(after);
}

/** A look as the ledger has it. */
export interface LookTaken extends Look {
  seq: number;
  at: string;
  by: string;
}

/** Every look of a study, in order. */
export const looksIn = (ledger: readonly LedgerEntry[]): LookTaken[] =>
  ledger
    .filter(({ kind }) => kind === 'looked')
    .map(({ seq, at, actor, body }) => ({
      seq,
      at,
      by: actor.replace(/^staff:/, ''),
      upTo: Number(body.upTo),
      audiences: (body.audiences as Record<string, unknown>[]).map((one) => ({
        audience: string(one, 'audience') as AudienceId,
        state: string(one, 'state') as LooksDetail['state'],
        counted: Number(one.counted),
        evidence: Number(one.evidence),
        upper: Number(one.upper),
        lower: one.lower === null ? null : Number(one.lower),
      })),
    }));
