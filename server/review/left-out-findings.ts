import { analysed as analysedBy } from '../../protocols/analysed';
import { pooledPlan } from '../../protocols/pooling';
import type { Outcome } from '../../protocols/protocol';
import type { Findings } from '../../shared/findings';
import type { OtherResult } from '../../shared/findings-exclusions';
import type { ExclusionRule } from '../../shared/plan';
import type { LedgerEntry } from '../../shared/record';
import { planVersions } from '../blinding/amendments';
import { type Exclusion, exclusionsOf } from '../blinding/exclusions';
import { isAbout, isLeftOut, type Judged, rulesAgainst } from '../blinding/left-out';
import type { StudyStory } from '../blinding/story';
import { labelOf } from './listener-label';
import { sentenceOf } from './sentence';

type LeftOut = Findings['exclusions']['list'][number];

/** Scores are not shown of these, so their intervals need no more than the least. */
const quick = { resamples: 100 };

/**
 * What was left out, by whom and why, and the same analysis with nothing left out and with what was left out afterwards.
 * @param ledger the whole one: what was decided afterwards stands beyond the unsealing
 * @param all every scored answer
 */
export function exclusionFindings(
  ledger: readonly LedgerEntry[],
  story: StudyStory,
  all: readonly Outcome[],
): Findings['exclusions'] {
  const { plan } = story;
  const decided = exclusionsOf(ledger);
  const list = [
    ...plan.exclusions.map((rule): LeftOut => {
      const hit = all.filter((one) => rulesAgainst(one, plan).includes(rule));
      const everybody = { listener: null, session: null, trial: null };
      return { what: 'rule', ...everybody, reason: rule, ...amendedIn(rule, ledger), decided: 'rule', ...countOf(hit) };
    }),
    ...decided.map((one) => told(one, story, all)),
  ].filter(({ what, values }) => what !== 'rule' || values > 0);
  const byMain = (one: Exclusion) => one.decided === 'blind';
  const without = (exclusions: readonly Exclusion[]) => all.filter((one) => !isLeftOut(one, plan, exclusions));
  const some = without(decided.filter(byMain)).length < all.length;
  return {
    list,
    without: some ? analysed(all, story) : null,
    afterwards: decided.every(byMain) ? null : analysed(without(decided), story),
  };
}

/** Who put a rule into the plan after it was locked, and when; null where it stood there from the start. */
function amendedIn(rule: ExclusionRule, ledger: readonly LedgerEntry[]): Pick<LeftOut, 'by' | 'at'> {
  const versions = planVersions(ledger);
  const without = versions.findLastIndex(({ plan }) => !plan.exclusions.includes(rule));
  const since = without < 0 ? undefined : ledger.find(({ seq }) => seq === versions[without + 1]?.from);
  return since ? { by: since.actor.replace(/^staff:/, ''), at: since.at } : { by: null, at: null };
}

function told(exclusion: Exclusion, story: StudyStory, all: readonly Outcome[]): LeftOut {
  const { what, id, reason, by, at, decided } = exclusion;
  const sitting = story.sittings.find(
    (one) => one[what === 'listener' ? 'listener' : 'id'] === id || one.trials.some((trial) => trial.id === id),
  );
  return {
    what,
    listener: sitting ? labelOf(story, sitting.listener) : null,
    session: what === 'listener' ? null : (sitting?.sessionNumber ?? null),
    trial: sitting?.trials.find((trial) => trial.id === id)?.ordinal ?? null,
    reason,
    by,
    at,
    decided,
    ...countOf(all.filter((one) => isAbout(exclusion, one))),
  };
}

const countOf = (values: readonly Judged[]) => ({
  trials: new Set(values.map(({ trial }) => trial)).size,
  values: values.length,
});

function analysed(outcomes: readonly Outcome[], { plan }: StudyStory): OtherResult[] {
  const { results, pooled } = analysedBy(
    outcomes.filter(({ control }) => control === undefined),
    plan,
    { ...quick, controls: outcomes.filter(({ control }) => control !== undefined) },
  );
  return [...results, ...(pooled?.result ? [pooled.result] : [])].map((result) => ({
    audience: result.audience,
    verdict: result.verdict,
    sentence: sentenceOf(result, pooledPlan(plan)),
    estimate: result.estimate,
    p: result.p,
    pAdjusted: result.pAdjusted,
    n: result.n,
  }));
}
