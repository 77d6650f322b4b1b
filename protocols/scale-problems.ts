import type { Plan } from '../shared/plan';
import type { Problem } from '../shared/problem';
import type { AskedScale, Scale } from '../shared/scales';
import { endsProblems, repeatedProblems } from './named-problems';

/** What stands against scales that a plan has in its own words, and against a verdict that rests on one of them. */
export function scaleProblems(scales: readonly Scale[], plan: Plan): Problem[] {
  return [
    ...scales.flatMap((scale, i) => endsProblems(scale, `method.spec.scales.${i}`)),
    ...repeatedProblems('scale', scales, 'method.spec.scales'),
    ...verdictScaleProblems(scales, plan),
  ];
}

/** The scale that the verdict rests on must be one of these, and wider than the smallest difference worth finding. */
export function verdictScaleProblems(scales: readonly Pick<Scale, 'id' | 'name' | 'points'>[], plan: Plan): Problem[] {
  const primary = scales.find(({ id }) => id === plan.primary.scale);
  if (!primary) return [notAScale(scales, plan)];
  const widest = primary.points - 1;
  if (plan.risks.smallest.value < widest) return [];
  const message = `${primary.name} has ${primary.points} points, so two prototypes differ by ${widest} at most. Take a smaller difference.`;
  return [tooLarge(message, widest, plan)];
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
