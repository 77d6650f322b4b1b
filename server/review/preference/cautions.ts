import { comparedIn } from '../../../protocols/controls';
import type { Result } from '../../../shared/findings';
import type { Plan } from '../../../shared/plan';
import { askedAlone } from '../audience-figures';
import { nameIn } from '../plan-names';

/** What keeps figures that are right from being misread. */

/** Where interval and test don't say the same: which decides, and why they part. */
export function preferenceCautions(result: Result, plan: Plan): string[] {
  const { verdict, estimate, p, pAdjusted } = result;
  if (estimate === null || p === null || pAdjusted === null || verdict === 'not-enough-data') return [];
  const reaches = estimate.lower <= 0.5 && estimate.upper >= 0.5;
  const oneSided = plan.risks.sides === 'one-sided';
  if (verdict === 'preferred') {
    if (!reaches) return [];
    return [
      oneSided
        ? 'The interval reaches past one half: it looks both ways, and the planned test one way. The test decides.'
        : 'The interval reaches past one half: it is the more cautious of the two. The planned test decides.',
    ];
  }
  const whole =
    verdict === 'not-separated'
      ? [
          'This is about the panel as a whole: single listeners may lean strongly, and it doesn’t say that the two sound alike.',
        ]
      : [];
  if (p <= plan.risks.alpha) {
    return [...whole, askedAlone('a preference', plan)];
  }
  // One-sided and leaning the other way: the sentence says it.
  if (reaches || (oneSided && estimate.value < 0.5)) return whole;
  return [
    ...whole,
    'The interval leaves out one half, but the planned test doesn’t show a preference. The test decides.',
  ];
}

/** The other pairs in a line, since the verdict is about the primary one alone. */
export function otherPairsNote(result: Result, plan: Plan): string | null {
  const others = result.pairs.filter((pair) => !pair.primary);
  if (others.length === 0) return null;
  const name = nameIn(plan);
  const shown = others.flatMap(({ first, second, share, pAdjusted }) => {
    if (share === null || pAdjusted === null || pAdjusted > plan.risks.alpha) return [];
    return [share.value > 0.5 ? `${name(first)} over ${name(second)}` : `${name(second)} over ${name(first)}`];
  });
  const found =
    shown.length === 0
      ? 'none shows a preference'
      : `${shown.length} ${shown.length === 1 ? 'shows' : 'show'} a preference: ${shown.join('; ')}`;
  return `This verdict is about the primary pair alone. Of the ${others.length} other pairs, ${found}.`;
}

/** From so many listeners on, intervals by redrawing the panel hold what they say; shown by simulated studies. */
const enoughToRedraw = 12;

export function scoresNote(result: Result, plan: Plan): string | null {
  if (comparedIn(plan).length < 3) return null;
  const { scores, n } = result;
  if (!scores) {
    return 'No scores: the comparisons that were answered don’t join all prototypes, or do so by too few listeners.';
  }
  const notes: string[] = [];
  if (scores.halfWinAdded) {
    notes.push(
      'The data separate: a prototype, or a group of them, never lost or never won against the rest, so no finite scores exist. What is shown was estimated with half a win added each way, and has no interval.',
    );
  } else if (scores.separated > 0.025 * scores.resamples) {
    notes.push(
      `In ${Math.round((100 * scores.separated) / scores.resamples)}\u00a0% of the panels drawn anew the data separate; there half a win was added each way, so the outer ends of the intervals are closer in than they should be.`,
    );
  }
  if (!scores.halfWinAdded && n.listeners < enoughToRedraw) {
    notes.push(`With fewer than ${enoughToRedraw} listeners these intervals are too short.`);
  }
  return notes.length === 0 ? null : `${notes.join(' ')} Go by the pairs below.`;
}
