import { pooledPlan } from '../../protocols/pooling';
import type { Findings } from '../../shared/findings';
import type { PooledFindings } from '../../shared/findings-pooled';
import type { Plan } from '../../shared/plan';
import { audienceVerdicts } from './audience-verdicts';
import { pWords } from './figures';
import type { VerdictPage } from './view-models';

/** All audiences together as the letter has them: a verdict, or why there is none; null where the plan asks for none. */
export function pooledPart(found: Findings, plan: Plan): NonNullable<VerdictPage['pooled']> | null {
  const { pooled, panel, habituation } = found;
  if (!pooled) return null;
  const [verdict = null] = pooled.result
    ? audienceVerdicts({ results: [pooled.result], panel, habituation }, pooledPlan(plan))
    : [];
  return { verdict, words: pooledWords(pooled, plan) };
}

function pooledWords({ reason, p, level }: PooledFindings, plan: Plan): string {
  const interaction = `interaction p\u00a0${p !== null && p < 0.001 ? '' : '=\u00a0'}${pWords(p)}, held against ${level}`;
  switch (reason) {
    case 'not-shown-to-differ':
      return `The plan asked for one verdict about all audiences together unless they are shown to answer differently. They aren’t (${interaction}).`;
    case 'differ':
      return `The plan asked for one verdict about all audiences together. It is refused: the audiences ${(p ?? 0) <= plan.risks.alpha ? 'answer differently' : 'differ too far to be put together'} (${interaction}). Each verdict above stands by itself.`;
    case 'too-few':
      return 'The plan asked for one verdict about all audiences together. It is refused: too few answered to tell whether the audiences answer alike, which takes two listeners in each of two.';
  }
}
