import { methodOf } from '../../protocols/index';
import type { Plan } from '../../shared/plan';
import { inSessions, samplesWords } from './finds-words';
import { turnsOf } from './minutes';

/** What stands in a sitting of a method that grades samples, and what comes before it. */
export function roundsWords(plan: Plan): string {
  const { protocol, spec, form } = methodOf(plan);
  const repeats = protocol.controls.hiddenRepeats === 'own' ? (plan.controls.hiddenRepeats ?? 0) : 0;
  const hidden = repeats === 0 ? '' : `, ${repeats} of them ${repeats === 1 ? 'a hidden repeat' : 'hidden repeats'}`;
  const count = turnsOf(plan);
  const trials =
    form.presentations > 1 ? samplesWords(count, plan) : `${count} ${count === 1 ? 'sample' : 'samples'}, one by one`;
  const before =
    protocol.practicePresentations(spec) === 0 ? 'The page is tried out first.' : 'One for practice before.';
  return `${trials}${hidden}${inSessions(plan)}. ${before}`;
}
