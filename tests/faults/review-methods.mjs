import { fault } from './fault.mjs';

/** Faults in what the review says of methods about a difference, of controls, and of answers by place. */
export const reviewMethods = [
  fault(
    'controls count for the verdict',
    'server/review/findings.ts',
    [['kept.filter(({ control }) => control === undefined)', 'kept']],
    'flows/controls',
  ),
  fault(
    'controls that are left out are counted all the same',
    'server/review/findings.ts',
    [['controlsOf(kept, plan', 'controlsOf(all, plan']],
    'review/controls/findings',
  ),
  fault(
    'units that are not told apart are warned of',
    'server/review/controls/warnings.ts',
    [['one.p !== null && one.p <= alpha', 'one.p !== null']],
    'review/controls/controls',
  ),
  fault(
    'a known difference that is taken for the learnt one is right',
    'server/review/controls/rights.ts',
    [['form.presentations === 1 ? 0 : 1', 'form.presentations === 1 ? 1 : 1']],
    'review/controls/controls',
  ),
  fault(
    '“different” of units is held against all pairs of the sitting',
    'server/review/controls/rights.ts',
    [['control === undefined && (second', 'control === undefined || (second']],
    'review/controls/controls',
  ),
  fault(
    'a repeat the other way round is another answer',
    'server/review/controls/repeats.ts',
    [['(first < second ? 1 : -1)', '1']],
    'review/controls/controls',
  ),
  fault(
    'a repeat is held against another day',
    'server/review/controls/repeats.ts',
    [['one.sitting === repeat.sitting && ', '']],
    'review/controls/controls',
  ),
  fault(
    'ranks put once more are compared by place',
    'server/review/controls/repeats.ts',
    [['repeat.values[repeat.prototypes.indexOf(id)] ?? 0', 'repeat.values[original.prototypes.indexOf(id)] ?? 0']],
    'review/controls/controls',
  ),
  fault(
    'units chosen are counted by place, not by unit',
    'server/review/controls/unit-choices.ts',
    [['(one as string) === first ? value : -value', '(one as string) === first ? value : value']],
    'review/controls/controls',
  ),
  fault(
    'similarity is said with the share of guessing for its limit',
    'server/review/difference/chart.ts',
    [['const right = chance + (1 - chance) * limit;', 'const right = chance;']],
    'review/difference/similarity',
  ),
  fault(
    'a limit of 0 is said to be how little is heard',
    'server/review/difference/similarity.ts',
    [['similarity.upper === 0', 'similarity.upper < 0']],
    'review/difference/similarity',
  ),
  fault(
    'which one has more is turned round',
    'server/review/difference/claim.ts',
    [['[plan.primary.first, plan.primary.second]', '[plan.primary.second, plan.primary.first]']],
    'review/difference/methods',
  ),
  fault(
    'rates of yes are swapped',
    'server/review/yes-no/sentence.ts',
    [['percent(hits / signalTrials)', 'percent(falseAlarms / signalTrials)']],
    'review/yes-no/letter',
  ),
  fault(
    'codes of the day that tell are shown to whoever reviews by code',
    'server/review/data-page.ts',
    [['if (last && codesTell(form))', 'if (!last && codesTell(form))']],
    'review/data-page',
  ),
  fault(
    'the answer is named by the place before',
    'server/review/answer-words.ts',
    [['name(Number(place) - 1)', 'name(Number(place) - 2)']],
    'review/answers-csv-methods',
    'review/data-page',
  ),
  fault(
    'the second of three counts as the last',
    'server/review/tells/named.ts',
    [['picked.includes(choices.at(-1) ?? -1)', '!picked.includes(choices[0] ?? -1)']],
    'review/tells/named',
  ),
  fault(
    'the sample of a known difference is looked over for tells',
    'server/review/tells/tests.ts',
    [['compared.has(group) && ', '']],
    'review/tells/tests',
  ),
  fault(
    'a yes counts as right whatever was heard, by excerpt',
    'server/review/right-answer.ts',
    [['return yes === (value === 1);', 'return value === 1;']],
    'review/sound',
  ),
];
