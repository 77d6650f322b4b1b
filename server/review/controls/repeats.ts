import type { Outcome } from '../../../protocols/protocol';
import type { ControlOf } from '../../../shared/findings-controls';
import type { Plan } from '../../../shared/plan';
import { byListener, count } from './by-listener';

type Repeats = ControlOf<'again'> | ControlOf<'order'>;

/**
 * A trial that was put once more in the same sitting, held against the one that it repeats: the last one about the same
 * samples before it, or after it where that was put again. A repeat of what was never answered is in no count.
 */
export function repeatsOf(
  repeats: readonly Outcome[],
  kept: readonly Outcome[],
  _plan: Plan,
  label: (listener: string) => string,
): Repeats {
  const own = kept.filter(({ control }) => control === undefined);
  const paired = repeats.flatMap((repeat) => {
    const about = own.filter((one) => one.sitting === repeat.sitting && samplesOf(one) === samplesOf(repeat));
    const original = about.findLast(({ position }) => position < repeat.position) ?? about[0];
    return original ? [{ ...repeat, same: forLower(original) === forLower(repeat) }] : [];
  });
  const same = new Set(paired.filter((one) => one.same).map(({ trial }) => trial));
  const isSame = ({ trial }: Outcome) => same.has(trial);
  return {
    kind: 'hiddenRepeats',
    measure: 'again',
    trials: paired.length,
    same: count(paired, isSame),
    listeners: byListener(paired, label).map(({ listener, own: theirs }) => ({
      listener,
      same: count(theirs, isSame),
      trials: theirs.length,
    })),
  };
}

const samplesOf = ({ prototypes }: Outcome): string => [...prototypes].sort().join(' ');

/** The answer whichever way round the two were heard: 1 for the one whose id comes first, −1 for the other, 0 for none. */
function forLower({ prototypes, value }: Outcome): number {
  const [first = '', second = ''] = prototypes as string[];
  return Math.sign(value) * (first < second ? 1 : -1) + 0;
}
