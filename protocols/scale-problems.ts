import type { Plan } from '../shared/plan';
import type { Problem } from '../shared/problem';
import type { AskedScale, Scale } from '../shared/scales';

/** What stands against scales that a plan has in its own words, and against a verdict that rests on one of them. */
export function scaleProblems(scales: readonly Scale[], plan: Plan): Problem[] {
  const problems: Problem[] = [];
  scales.forEach((scale, i) => {
    if (scale.polarity === 'bipolar' && scale.points % 2 === 0) {
      problems.push({
        code: 'no-middle',
        path: `method.spec.scales.${i}.points`,
        message: `${scale.name} is bipolar and has ${scale.points} points. Two opposites need a middle: take an odd number.`,
        allowed: 'an odd number of points',
        got: String(scale.points),
      });
    }
    if (scale.low.toLowerCase() === scale.high.toLowerCase()) {
      problems.push({
        code: 'same-ends',
        path: `method.spec.scales.${i}.high`,
        message: `${scale.name} says “${scale.high}” at both ends. Name what is at the high end.`,
        got: scale.high,
      });
    }
    for (const what of ['id', 'name'] as const) {
      const earlier = scales.findIndex((other) => other[what].toLowerCase() === scale[what].toLowerCase());
      if (earlier < i) {
        problems.push({
          code: 'repeated',
          path: `method.spec.scales.${i}.${what}`,
          message: `The scale “${scale[what]}” stands there twice. Give each its own ${what}.`,
          got: scale[what],
        });
      }
    }
  });
  const primary = scales.find(({ id }) => id === plan.primary.scale);
  if (!primary) return [...problems, notAScale(scales, plan)];
  const widest = primary.points - 1;
  if (plan.risks.smallest.value < widest) return problems;
  const message = `${primary.name} has ${primary.points} points, so two prototypes differ by ${widest} at most. Take a smaller difference.`;
  return [...problems, tooLarge(message, widest, plan)];
}

/** The same of the one scale that a standard gives: a verdict rests on it, and differences lie within it. */
export function standardScaleProblems({ id, from, to, per }: AskedScale, plan: Plan): Problem[] {
  if (plan.primary.scale !== id) return [notAScale([{ id }], plan)];
  const widest = (to - from) / per;
  if (plan.risks.smallest.value < widest) return [];
  const message = `The scale goes from ${from / per} to ${to / per}, so two prototypes differ by ${widest} at most. Take a smaller difference.`;
  return [tooLarge(message, widest, plan)];
}

function notAScale(scales: readonly { id: string }[], { primary: { scale } }: Plan): Problem {
  return {
    code: 'not-a-scale',
    path: 'primary.scale',
    message: 'The verdict needs one scale of this plan to rest on.',
    allowed: scales.map(({ id }) => id).join(', '),
    ...(scale === undefined ? {} : { got: scale }),
  };
}

const tooLarge = (message: string, widest: number, { risks }: Plan): Problem => ({
  code: 'too-large',
  path: 'risks.smallest.value',
  message,
  allowed: `less than ${widest}`,
  got: String(risks.smallest.value),
});
