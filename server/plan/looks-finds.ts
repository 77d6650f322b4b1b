import { comparedPlan } from '../../protocols/controls';
import { methodOf } from '../../protocols/index';
import { hasLooks } from '../../protocols/looks';
import { looksCourse, mostReckoned } from '../../protocols/looks-course';
import { rightsTrialsPlanned } from '../../protocols/rights-power';
import type { AudienceId } from '../../shared/brands';
import type { Plan } from '../../shared/plan';
import { chancePercent, chosenPercent } from '../number-words';

interface Course {
  name: string;
  /** Answers at most. */
  most: number;
  /** With the smallest effect worth finding, and with none. */
  effect: ReturnType<typeof looksCourse>;
  none: ReturnType<typeof looksCourse>;
}

/** How a plan with looks ends, reckoned exactly, by audience; none of a plan of fixed size. */
function coursesOf(plan: Plan): Course[] {
  const { protocol } = methodOf(plan);
  if (!hasLooks(plan) || !protocol.evidence) return [];
  const compared = comparedPlan(plan);
  return plan.audiences.map(({ id, name, listeners }) => {
    const asked = protocol.evidence?.([], compared, id as AudienceId);
    if (!asked) throw new Error('This method counts nothing on the way.');
    const answers = protocol.family === 'preference' ? listeners : listeners * rightsTrialsPlanned(plan);
    const most = Math.min(mostReckoned, answers);
    const course = (truth: number) => looksCourse(asked, plan, most, truth);
    return { name, most, effect: course(asked.p1), none: course(asked.p0) };
  });
}

/** What looks save and cost, one sentence an audience, and whom they leave with less than the chance that is wanted. */
export function looksFinds(plan: Plan): { sentences: string[]; warnings: string[] } {
  const courses = coursesOf(plan);
  const wanted = 1 - plan.risks.beta;
  return {
    sentences: sentencesOf(courses, plan),
    warnings: courses
      .filter(({ effect }) => effect.shown < wanted - 0.005)
      .map(
        ({ name, effect }) =>
          `${name}: with these looks the smallest effect worth finding is found with a chance of ${chancePercent(effect.shown)}; ${chosenPercent(wanted)} are wanted. More answers make up for it.`,
      ),
  };
}

function sentencesOf(courses: readonly Course[], plan: Plan): string[] {
  const { value } = plan.risks.smallest;
  const [there, what] =
    methodOf(plan).protocol.family === 'preference'
      ? [`where ${chosenPercent(value)} of listeners lean to one`, 'net answers']
      : [`where it is truly heard in ${chosenPercent(value)} of trials`, 'answers'];
  return courses.map(({ name, most, effect, none }) => {
    const whose = plan.audiences.length > 1 ? `${name}, looked at` : 'Looked at';
    return `${whose} after each answer, ${there} it is decided after ${Math.round(effect.expected)} of ${most} ${what} on average, and found with a chance of ${chancePercent(effect.shown)}; where there is nothing after ${Math.round(none.expected)}, and found all the same with a chance of ${chosenPercent(Number(none.shown.toFixed(3)))}.`;
  });
}
