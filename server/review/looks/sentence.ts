import { protocolOf } from '../../../protocols/index';
import type { AudienceResult, LooksDetail } from '../../../protocols/results';
import type { Plan } from '../../../shared/plan';
import { endWords } from '../../looks-words';
import { chosenPercent, percentBeside } from '../../number-words';
import { turningShares } from '../../plan-words';
import { claimOf } from '../difference/claim';
import { about } from '../figures';
import { nameIn } from '../plan-names';

type Looked = Pick<AudienceResult, 'verdict' | 'estimate' | 'preferred' | 'n'>;

/** The verdict of a plan with looks: what was counted when it was decided, and an interval that holds whenever one stops. */
export function looksSentence(result: Looked, looks: LooksDetail, plan: Plan, audience: string): string {
  const asked = askedIn(plan);
  const { counted } = looks;
  if (result.estimate === null || result.verdict === 'not-enough-data') {
    const why =
      counted === 0
        ? result.n.listeners > 0
          ? 'no listener had a net preference'
          : 'no answer came in that counts'
        : `even all for it, ${counted === 1 ? `1 ${asked.one}` : `${counted} ${asked.many}`} could not have met the bound at α = ${plan.risks.alpha}`;
    return `There are not enough data from ${audience} to say whether ${asked.whether}: ${why}.`;
  }
  const found = looks.state === 'shown';
  const says = found ? asked.shown(result.preferred) : `it is undecided whether ${asked.whether}`;
  const when = found
    ? `The plan’s test was decided by ${asked.one} ${counted}`
    : endWords(looks.state, result.verdict, plan)?.replace(/\.$/, '');
  return `${audience}: ${says}. ${when}: ${asked.seen(result.estimate, looks, plan)}.`;
}

interface Asked {
  one: string;
  many: string;
  whether: string;
  shown(preferred: string | null): string;
  seen(estimate: NonNullable<Looked['estimate']>, looks: LooksDetail, plan: Plan): string;
}

const interval = (level: number, words: string): string =>
  `${chosenPercent(level)} interval ${words}, whenever one stops`;

function askedIn(plan: Plan): Asked {
  const [first, second] = [plan.primary.first, plan.primary.second].map(nameIn(plan)) as [string, string];
  const words = (share: number): string => percentBeside(share, turningShares(plan));
  if (plan.risks.smallest.kind === 'share') {
    return {
      one: 'net answer',
      many: 'net answers',
      whether: `${first} or ${second} is preferred`,
      shown: (preferred) =>
        preferred === plan.primary.second ? `${second} is preferred to ${first}` : `${first} is preferred to ${second}`,
      seen({ value, lower, upper, level }, { counted }) {
        const forward = value >= 0.5;
        const [share, from, to] = forward ? [value, lower, upper] : [1 - value, 1 - upper, 1 - lower];
        const many = Math.round(share * counted);
        return `${many} of ${counted} listeners with a net preference lean to ${forward ? first : second}, which is ${words(share)} (${interval(level, `${words(from)} to ${words(to)}`)})`;
      },
    };
  }
  const { whether, shown } = claimOf(plan);
  const chance = protocolOf(plan.method.id).chance ?? 0;
  return {
    one: 'answer',
    many: 'answers',
    whether,
    shown: () => shown,
    seen({ value, lower, upper, level }, { state, counted, share }) {
      const right = Math.round((share?.value ?? 0) * counted);
      const heard = `in ${words(value)} of trials (${interval(level, `${words(lower)} to ${words(upper)}`)})`;
      return `${right} of ${counted} were right, where guessing alone gives ${about(chance * counted)} on average, ${state === 'shown' ? `and it was truly heard ${heard}` : `as if it were truly heard ${heard}`}`;
    },
  };
}
