import { analysed } from '../../../protocols/analysed';
import type { LinkedSide } from '../../../protocols/linked-studies';
import { gainMeasure } from '../../../protocols/pair-gains';
import { isVerdictDay } from '../../../protocols/verdict-days';
import type { StudyRecord } from '../../../shared/record';
import { decidedBlind, isLeftOut } from '../../blinding/left-out';
import { outcomesOf } from '../../blinding/outcomes';
import { storyOf } from '../../blinding/story';

/**
 * What the verdicts of an unsealed study rest on, by audience, to be put beside another study at that level.
 * @throws Error for a record that is sealed
 */
export function countedIn({ ledger }: StudyRecord, level: number): (audience: string) => LinkedSide {
  const story = storyOf(ledger.slice(0, ledger.findIndex(({ kind }) => kind === 'unsealed') + 1));
  const plan = { ...story.plan, risks: { ...story.plan.risks, alpha: 1 - level } };
  const blind = decidedBlind(story);
  const kept = outcomesOf(story).filter((one) => one.control === undefined && !isLeftOut(one, plan, blind));
  const counted = kept.filter((one) => isVerdictDay(one, plan));
  // Only these need the method's own word.
  const { screening } = plan.method.spec as { screening?: boolean };
  const heardOnly = gainMeasure(plan) === 'none';
  const results = heardOnly || screening ? analysed(kept, plan, { verdictOnly: !heardOnly }).results : [];
  return (audience) => {
    const result = results.find((one) => one.audience === audience);
    const dropped = new Set(result?.ratings?.screening?.dropped.map(({ listener }) => listener));
    return {
      plan,
      outcomes: counted.filter((one) => one.audience === audience && !dropped.has(one.listener)),
      heard: result?.difference?.heard ?? result?.yesNo?.apart ?? null,
    };
  };
}
