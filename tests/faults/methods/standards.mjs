import { fault } from '../fault.mjs';

/** Several stimuli, hidden reference and anchors, small impairments, category rating. */
export const standards = [
  fault(
    'rounds: a sample follows itself from one round to the next',
    'protocols/rounds.ts',
    [['order[0] === before[listener]?.at(-1)', 'order[0] === before[listener]?.at(0)']],
    'protocols/rounds',
  ),
  fault(
    'rounds: neighbours mirror each other',
    'protocols/rounds.ts',
    [['const dealt = dealtSeat(plan, seat, randomness);', 'const dealt = seat;']],
    'protocols/rounds',
  ),
  fault(
    'rounds: another excerpt for a trial put again',
    'protocols/rounds.ts',
    [['...(round === undefined ? {} : { round }),', '...(round === undefined ? {} : { round: round + 1 }),']],
    'protocols/rounds',
  ),
  fault(
    'small impairments: the hidden reference comes first throughout',
    'protocols/hidden-reference-order.ts',
    [['presentations: first ? [open, open, other] : [open, other, open]', 'presentations: [open, open, other]']],
    'protocols/hidden-reference-order',
  ),
  fault(
    'small impairments: a spoilt trial comes again the same way round',
    'protocols/hidden-reference-order.ts',
    [["[other, at('again', again.ordinal).below(2) === 0]", '[other, presentations[1] === open]']],
    'protocols/hidden-reference-order',
  ),
  fault(
    'small impairments: the hidden reference’s grade is not taken off',
    'protocols/difference-grades.ts',
    [['(outcome.value - own.value) * 10', '(outcome.value - 5) * 10']],
    'protocols/difference-grades',
  ),
  fault(
    'small impairments: a two-sided test leaves listeners out',
    'protocols/difference-grades.ts',
    [["alternative: 'less' }", "alternative: 'two-sided' }"]],
    'protocols/difference-grades',
  ),
  fault(
    'post-screening: 3 of 20 are too many',
    'protocols/reference-screening.ts',
    [['100 * misses > most * of', '100 * misses >= most * of']],
    'protocols/reference-screening',
  ),
  fault(
    'post-screening: 90 is a miss',
    'protocols/reference-screening.ts',
    [['value < least', 'value <= least']],
    'protocols/reference-screening',
  ),
  fault(
    'post-screening: misses of reference and anchor together',
    'protocols/reference-screening.ts',
    [['missed: (value: number) => value > least', 'missed: (value: number) => value > least - 40']],
    'protocols/reference-screening',
  ),
  fault(
    'post-screening: whom the rule keeps find against the reference alone',
    'protocols/held-by-everybody.ts',
    [['if (open || (verdictOfAll', 'if (result.verdict || (verdictOfAll']],
    'protocols/held-by-everybody',
  ),
  fault(
    'post-screening: by all grades, and free between two samples',
    'protocols/small-impairments.ts',
    [['const leans = () => true;', 'const leans = (first: string) => first.length === 0;']],
    'protocols/held-by-everybody',
  ),
  fault(
    'post-screening: pairs beside the verdict are as sure as whom the rule keeps',
    'protocols/ratings-analysis.ts',
    [['pair.p = pHeld(pair, theirs);', 'pair.p = pHeld(pair, pair);']],
    'protocols/held-by-everybody',
  ),
  fault(
    'blocks: who rates some samples only counts as one who rates all',
    'server/plan/assumed-ratings.ts',
    [['worth: blocks?.worth ?? 1', 'worth: 1']],
    'plan/assumed-ratings',
  ),
  fault(
    'blocks: what would settle is counted in those who rated both',
    'protocols/ratings-analysis.ts',
    [
      [
        'if (needed !== null && assumed && inBlocks(audience)) {',
        'if (needed === 0 && assumed && inBlocks(audience)) {',
      ],
    ],
    'protocols/grades-analysis',
  ),
  fault(
    'comparison: the sign is not turned',
    'protocols/comparison-results.ts',
    [['value: (both.turned - both.straight) / 2 + 0', 'value: (both.turned + both.straight) / 2 + 0']],
    'protocols/comparison-results',
  ),
  fault(
    'comparison: an order that was heard oftener weighs more',
    'protocols/comparison-results.ts',
    [['straight: meanOf(straight),', 'straight: meanOf([...straight, ...straight.slice(1).map(() => 0)]),']],
    'protocols/comparison-results',
  ),
  fault(
    'comparison: the order effect takes the sign of what was heard',
    'protocols/comparison-results.ts',
    [['(straight + turned) / 2', '(straight - turned) / 2']],
    'protocols/comparison-results',
  ),
  fault(
    'comparison: scores don’t sum to nothing',
    'protocols/comparison-results.ts',
    [['sum / ids.length + 0', 'sum / (ids.length - 1) + 0']],
    'protocols/comparison-results',
  ),
  fault(
    'comparison: a pair follows itself',
    'protocols/both-orders.ts',
    [['a.includes(b[0]) && a.includes(b[1])', 'a[0] === b[0] && a[1] === b[1]']],
    'protocols/both-orders',
  ),
  fault(
    'controls of grades: a repeat has scales in an order of its own',
    'protocols/controls.ts',
    [["methodOf(plan).form.kind === 'grades' ? design.shown : ", '']],
    'protocols/controls',
  ),
  fault(
    'controls of grades: a pair with one sample twice has another excerpt',
    'protocols/controls.ts',
    [['(trials[to - 1] ?? trials[to])?.round', 'trials.at(-1)?.round']],
    'protocols/controls',
  ),
  fault(
    'several stimuli: a half of a design counts as balanced',
    'protocols/several-stimuli.ts',
    [['(trials * sessions.count) % blocks === 0', 'trials * sessions.count >= blocks']],
    'protocols/standards-problems',
  ),
];
