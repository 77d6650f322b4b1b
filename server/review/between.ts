import type { Findings, Result } from '../../shared/findings';
import type { Plan } from '../../shared/plan';
import { audiencesChart } from './audiences-chart';
import { pWords } from './figures';
import { estimateWords, measureWords } from './left-out-part';
import { row, section, table } from './rating/section';
import type { RatedSection } from './view-models';

/** Audiences side by side, and whether they answered alike. Null with one audience. */
export function betweenAudiences(
  found: Pick<Findings, 'interaction' | 'results' | 'pooled'>,
  plan: Plan,
): RatedSection | null {
  const sentence = betweenWords(found, plan);
  if (sentence === null) return null;
  const results = [...found.results, ...(found.pooled?.result ? [found.pooled.result] : [])];
  const chart = audiencesChart(results, found.interaction?.p ?? null, plan);
  return section({
    id: 'between',
    heading: 'The audiences side by side',
    sentences: [sentence],
    charts: chart ? [chart] : [],
    tables: [
      table(
        `The picture in figures: ${measureWords(plan)}`,
        'Audience',
        ['Estimate and interval', 'p, corrected', 'Listeners', 'Trials'],
        results.map((result) => rowOf(result, plan)),
      ),
    ],
  });
}

const rowOf = (result: Result, plan: Plan) =>
  row(result.audienceName, [
    estimateWords(result.estimate, plan),
    pWords(result.pAdjusted),
    String(result.n.listeners),
    String(result.n.trials),
  ]);

/** In words; and what is pooled, or that nothing is. */
export function betweenWords(
  { interaction, pooled }: Pick<Findings, 'interaction' | 'pooled'>,
  plan: Plan,
): string | null {
  if (plan.audiences.length < 2) return null;
  const apart = `Each audience has a verdict of its own. ${togetherWords(pooled)}`;
  if (interaction === null) {
    return `Whether audiences answer alike can’t be told: it takes two listeners in each of two audiences. ${apart}`;
  }
  const { p, permutations, of } = interaction;
  const compared = {
    share: `each listener’s share of ${plan.method.id === 'ranking' ? 'rankings that put the first ahead' : 'choices'} in the primary pair`,
    correct: 'each listener’s share of right answers',
    apart: 'how much oftener each listener said it where it was so than where it wasn’t',
    points: 'each listener’s difference in the primary pair and scale',
    ticked: 'how much oftener each listener ticked the word for the first of the primary pair',
  }[of];
  const test = `compared by ${compared}, audiences dealt to listeners anew in ${permutations.toLocaleString('en')} ways, p\u00a0${pWords(p)}`;
  return p <= plan.risks.alpha
    ? `The audiences answer differently (${test}). ${apart}`
    : `It isn’t shown that the audiences answer differently (${test}); that doesn’t make them alike. ${apart}`;
}

function togetherWords(pooled: Findings['pooled']): string {
  if (!pooled) return 'Nothing is pooled.';
  return pooled.allowed
    ? `That about all together stands beside them, as the plan asked where p is over ${pooled.level}.`
    : `None is given about all together: the plan asked for that only where p is over ${pooled.level}.`;
}
