import { comparedIn, comparedPlan } from '../../protocols/controls';
import { methodOf, protocolOf } from '../../protocols/index';
import { codesLast, type Plan, planLimits, planSchema } from '../../shared/plan';
import type { Problem } from '../../shared/problem';
import { goodCodes } from '../blinding/codes';
import { codesPerSitting } from '../blinding/draw';
import { type Labels, problemsOf } from '../web/problems';
import { brokenLetters } from './broken-letters';
import { closingProblems } from './closing-problems';
import { controlProblems } from './control-problems';
import { fieldsOf, hasWindow } from './method-fields';
import { methodProblems, mostGradedWords } from './method-problems';
import { minutesOf } from './minutes';
import { poolingProblems } from './pooling-problems';
import { priceProblems } from './price-problems';
import { soundProblems } from './sound-problems';
import { isMethod } from './usual';
import { verdictDaysProblems } from './verdict-days-problems';

export const labels: Labels = {
  title: 'The name of the study',
  question: 'The question',
  product: 'The product being tuned',
  'method.id': 'The method',
  prototypes: 'The list of prototypes',
  'prototypes.*.name': 'The name of prototype *',
  'prototypes.*.units.*.serial': 'Prototype *: the serial of unit *',
  'prototypes.*.units.*.note': 'The note',
  'prototypes.*.priceClass.rank': 'The price class of prototype *',
  'prototypes.*.priceClass.words': 'The name of the price class of prototype *',
  'prototypes.*.anchor': 'The anchor of prototype *',
  'prototypes.*.anchor.lowPassHz': 'The frequency of the anchor of prototype *, in hertz,',
  audiences: 'The list of audiences',
  'audiences.*.name': 'The name of audience *',
  'audiences.*.listeners': 'The listeners of audience *',
  pooling: 'Whether all audiences together get a verdict',
  verdictDays: 'Which sittings the verdict counts',
  'verdictDays.from': 'The first sitting that the verdict counts',
  'verdictDays.to': 'The last sitting that the verdict counts',
  'sessions.count': 'The number of sessions',
  'sessions.minimumGapHours': 'The gap between two sittings, in hours,',
  'sessions.maximumSpanDays': 'The span from first to last sitting, in days,',
  'sessions.missed': 'The rule for a missed session',
  'checkIn.congestion': 'The rule for a blocked nose or ears',
  'checkIn.illness': 'The rule for illness',
  'checkIn.pain': 'The rule for pain in the ear',
  'checkIn.ringing': 'The rule for ringing in the ears',
  'checkIn.loud-sound': 'The rule for loud sound in the last day',
  'checkIn.tiredness': 'The rule for tiredness',
  'risks.alpha': 'The risk of a false find (α)',
  'risks.beta': 'The risk of missing it (β)',
  'risks.sides': 'The direction',
  'primary.scale': 'The scale that the verdict rests on',
  'firstImpression.windowSeconds': 'The window of a first impression, in seconds,',
  'firstImpression.answerSeconds': 'The time for rating after the window, in seconds,',
  'firstImpression.reset.kind': 'The rest before each sample',
  'firstImpression.reset.seconds': 'The rest before each sample, in seconds,',
  'firstImpression.reset.item': 'The neutral piece',
  'controls.hiddenRepeats': 'The number of hidden repeats',
  'controls.identicalPairs': 'The number of identical pairs',
  'controls.knownDifference.trials': 'The number of trials with a known difference',
  'controls.knownDifference.prototype': 'The sample of the known difference',
  'controls.units': 'The number of trials with two units of one prototype',
  aim: 'What the study is to show',
  'looks.kind': 'Who may look before the end',
  'looks.bounds': 'The kind of bounds',
  'risks.smallest.kind': 'The measure of the smallest effect',
  'timing.clean': 'The seconds of cleaning',
  'timing.pause': 'The seconds of rest between trials',
  'timing.listen': 'The seconds of listening',
  'timing.swap': 'The seconds of swapping',
  'timing.fit': 'The seconds for fit and seal',
  'timing.answer': 'The seconds of answering',
  'closingQuestion.labels.*.words': 'The wording for prototype *',
  handling: 'Who loads and who hands over',
  playback: 'Where the programme comes from',
  tips: 'The rule for tips',
  excerpts: 'The list of excerpts',
  'excerpts.*.name': 'The name of excerpt *',
  'sound.match.kind': 'What levels are matched by',
  'sound.match.low': 'The low end of the band, in hertz,',
  'sound.match.high': 'The high end of the band, in hertz,',
  'sound.alignment': 'Whether renders must begin together',
  'sound.minimumSeconds': 'The seconds that every sample must have played',
  'sound.interruption': 'The rule for interrupted sound',
  'sound.wireless': 'The rule for wireless playback',
  'levels.staleDays': 'The days for which a measured level holds',
  exclusions: 'The rules by which answers are left out',
  'exclusions.*': 'Rule * by which answers are left out',
  'noPreference.rule': 'What the analysis does with “no preference”',
};

const smallestLabels: Record<Plan['risks']['smallest']['kind'], string> = {
  share: 'The smallest share worth finding',
  heard: 'The smallest share of trials truly heard',
  points: 'The smallest difference worth finding, in points,',
  ticked: 'The smallest difference worth finding, as a share of listeners,',
  'd-prime': 'The smallest difference worth finding, as d′,',
};

const specLabels: Labels = {
  turns: 'Turns for each listener',
  trials: 'The number of trials of a sitting',
  attribute: 'The word for what one sample has more of',
  reference: 'The reference',
  showOther: 'Whether the other is shown while learning',
  size: 'The number of samples in one ranking',
  rankings: 'The number of rankings of a sitting',
  predicted: 'Whether an order is expected',
  scales: 'The list of scales',
  'scales.*.id': 'The id of scale *',
  'scales.*.name': 'The name of scale *',
  'scales.*.low': 'The word at the low end of scale *',
  'scales.*.high': 'The word at the high end of scale *',
  'scales.*.polarity': 'The kind of scale *',
  'scales.*.points': 'The points of scale *',
  'scales.*.definition': 'What is meant by scale *',
  words: 'The line in their own words',
  rounds: 'The number of rounds',
  screening: 'The rule for who doesn’t know the reference again',
  liking: 'The scale of liking',
  'liking.id': 'The id of the scale of liking',
  'liking.name': 'The name of the scale of liking',
  'liking.low': 'The word at the low end of liking',
  'liking.high': 'The word at the high end of liking',
  'liking.polarity': 'The kind of the scale of liking',
  'liking.points': 'The points of liking',
  attributes: 'The list of words to tick',
  'attributes.*.id': 'The id of word *',
  'attributes.*.name': 'Word *',
  'attributes.*.definition': 'What is meant by word *',
  '': 'What the method is set to',
};

/** Every field of a plan by its path, whatever the method. */
export const planLabels: Labels = {
  ...labels,
  'risks.smallest.value': 'The smallest effect worth finding',
  'primary.first': 'The first of the primary comparison',
  'primary.second': 'The second of the primary comparison',
  'noPreference.offered': 'Whether “no preference” is offered',
  'controls.knownDifference': 'The known difference',
  ...Object.fromEntries(
    Object.entries(specLabels).map(([path, words]) => [path === '' ? 'method.spec' : `method.spec.${path}`, words]),
  ),
};

/** What is usually taken, for who took what can't be. */
const usuals: Record<string, string> = {
  'risks.alpha': '0.05 is usual.',
  'risks.beta': '0.2 is usual, and 0.05 where sameness is to be shown.',
};
const withUsual = (problem: Problem): Problem => {
  const usual = usuals[problem.path];
  const told = usual === undefined || !problem.code.startsWith('too-') || problem.message.includes(' write ');
  return told ? problem : { ...problem, message: `${problem.message} ${usual}` };
};

export type Checked = { plan: Plan; problems: [] } | { plan: null; problems: Problem[] };

/** A plan that could be locked, or all that stands against it, each with the path of its field. */
export function checkPlan(raw: unknown): Checked {
  const parsed = planSchema.safeParse(raw);
  if (!parsed.success) {
    const id = wordIn((raw as Raw)?.method?.id);
    const problems = problemsOf(parsed.error, labelsFor(raw), raw).map(asShare).map(withUsual).map(asGraded(id));
    return { plan: null, problems: [...problems, ...specProblems(raw)] };
  }
  const plan = parsed.data;
  const protocol = protocolOf(plan.method.id);
  const spec = protocol.spec.safeParse(plan.method.spec);
  if (!spec.success) return { plan: null, problems: specProblems(raw) };
  const together = [
    ...brokenLetters(plan),
    ...repeated(plan),
    ...readsLikeCode(plan),
    ...primaryProblems(plan),
    ...closingProblems(plan),
    ...methodProblems(plan),
    ...controlProblems(plan),
    ...priceProblems(plan),
    ...poolingProblems(plan),
    ...soundProblems(plan),
    ...spanProblems(plan),
    ...verdictDaysProblems(plan),
    ...protocol.problems(spec.data, comparedPlan(plan)),
  ];
  // How many codes it takes can be told of a plan only that fits together.
  const problems = together.length > 0 ? together : tooManyCodes(plan);
  return problems.length === 0 ? { plan, problems: [] } : { plan: null, problems };
}

/** Whoever means a share and writes a percentage is told how a share is written. */
function asShare(problem: Problem): Problem {
  const typed = /^(\d+(?:[.,]\d+)?)\s*%?$/.exec(String(problem.got).trim())?.[1];
  const percent = Number(typed?.replace(',', '.'));
  const most = { 'risks.alpha': 20, 'risks.beta': 50, 'risks.smallest.value': 99 }[problem.path] ?? 0;
  const share = !/in points|d′/.test(problem.message) && ['too-large', 'wrong-type'].includes(problem.code);
  return share && percent > 1 && percent <= most
    ? { ...problem, message: `${problem.message} For ${percent}\u00a0% write ${percent / 100}.` }
    : problem;
}

/** Where all samples of a trial stand together, it is said what counts among them. */
const asGraded =
  (method: string) =>
  (problem: Problem): Problem =>
    problem.path === 'prototypes' && problem.code === 'too-many' && fieldsOf(method).anchors
      ? { ...problem, message: mostGradedWords(planLimits.prototypes.max, Number.parseInt(problem.got ?? '', 10)) }
      : problem;

type Raw = { method?: { id?: unknown; spec?: unknown }; risks?: { smallest?: { kind?: unknown } } } | null;

/** What came may be anything; not all of it can be made into words. */
const wordIn = (value: unknown): string => (typeof value === 'string' ? value : '');

function labelsFor(raw: unknown): Labels {
  const kind = wordIn((raw as Raw)?.risks?.smallest?.kind);
  const words = Object.hasOwn(smallestLabels, kind) ? smallestLabels[kind as keyof typeof smallestLabels] : undefined;
  return { ...labels, 'risks.smallest.value': words ?? 'The smallest effect worth finding' };
}

function specProblems(raw: unknown): Problem[] {
  const method = (raw as Raw)?.method;
  const id = wordIn(method?.id);
  if (!isMethod(id)) return [];
  const parsed = protocolOf(id).spec.safeParse(method?.spec);
  if (parsed.success) return [];
  const own = id === 'duo-trio' ? { ...specLabels, reference: 'What stands first' } : specLabels;
  return problemsOf(parsed.error, own, method?.spec).map((problem) => ({
    ...problem,
    path: problem.path === '' ? 'method.spec' : `method.spec.${problem.path}`,
  }));
}

/** Two names that read the same would make a report nobody can trust. */
function repeated(plan: Plan): Problem[] {
  const problems: Problem[] = [];
  const once = (what: string, entries: { path: string; value: string }[]): void => {
    const seen = new Set<string>();
    for (const { path, value } of entries) {
      const key = value.normalize('NFKC').toLowerCase();
      if (seen.has(key)) {
        problems.push({
          code: 'repeated',
          path,
          message: `${what} “${value}” stands there twice. Give each its own.`,
          got: value,
        });
      }
      seen.add(key);
    }
  };
  once(
    'The name',
    plan.prototypes.map(({ name }, i) => ({ path: `prototypes.${i}.name`, value: name })),
  );
  once(
    'The audience',
    plan.audiences.map(({ name }, i) => ({ path: `audiences.${i}.name`, value: name })),
  );
  once(
    'The serial',
    plan.prototypes.flatMap(({ units }, i) =>
      units.map(({ serial }, j) => ({ path: `prototypes.${i}.units.${j}.serial`, value: serial })),
    ),
  );
  once(
    'The excerpt',
    plan.excerpts.map(({ name }, i) => ({ path: `excerpts.${i}.name`, value: name })),
  );
  const ids = [
    ...plan.audiences.map(({ id }) => id),
    ...plan.excerpts.map(({ id }) => id),
    ...plan.prototypes.flatMap(({ id, units }) => [id, ...units.map((unit) => unit.id)]),
  ];
  const again = ids.find((id, index) => ids.indexOf(id) !== index);
  if (again)
    problems.push({ code: 'repeated', path: 'prototypes', message: `The id ${again} stands there twice.`, got: again });
  return problems;
}

/** Whatever reads like the code of a carrier is mistaken for one at the bench, and no eye or machine can tell it in a text. */
function readsLikeCode(plan: Plan): Problem[] {
  const named = [
    ...(plan.product === undefined ? [] : [{ path: 'product', what: 'product', value: plan.product }]),
    ...plan.prototypes.flatMap(({ name, units, priceClass }, i) => [
      { path: `prototypes.${i}.name`, what: 'name', value: name },
      ...(priceClass
        ? [{ path: `prototypes.${i}.priceClass.words`, what: 'price class', value: priceClass.words }]
        : []),
      ...units.map(({ serial }, j) => ({ path: `prototypes.${i}.units.${j}.serial`, what: 'serial', value: serial })),
    ]),
    ...plan.excerpts.map(({ name }, i) => ({ path: `excerpts.${i}.name`, what: 'name', value: name })),
  ];
  return named
    .filter(({ value }) => /^\d{3}$/.test(value))
    .map(({ path, what, value }) => ({
      code: 'reads-like-code',
      path,
      message: `The ${what} ${value} reads like the code of a carrier. Put a letter to it, for instance “P${value}”.`,
      allowed: 'anything but three digits',
      got: value,
    }));
}

function primaryProblems(plan: Plan): Problem[] {
  // Anchors are compared with nothing.
  const ids = comparedIn(plan).flatMap(({ id, anchor }) => (anchor ? [] : [id]));
  const { first, second } = plan.primary;
  // That the sample of the known difference stands in the pair is said of that sample.
  const known = plan.controls.knownDifference?.prototype;
  if (known !== undefined && (first === known || second === known)) return [];
  if (ids.includes(first) && ids.includes(second) && first !== second) return [];
  return [
    {
      code: 'not-a-pair',
      path: 'primary.first',
      message: 'The primary comparison needs two different prototypes of this plan.',
      allowed: 'two different prototypes',
    },
  ];
}

/** Gaps that don't fit between the first sitting and the last. */
function spanProblems(plan: Plan): Problem[] {
  const { count, minimumGapHours: gap, maximumSpanDays: span } = plan.sessions;
  // The rest counts from the end of a sitting, the span from the begin of the first.
  const windowed = !hasWindow(plan.method.id) || plan.firstImpression !== undefined;
  const needed = ((gap + (windowed ? minutesOf(plan) : 0) / 60) * (count - 1)) / 24;
  if (span === 0 || needed <= span) return [];
  const days = Number((Math.ceil(needed * 10 - 1e-9) / 10).toFixed(1));
  return [
    {
      code: 'too-short',
      path: 'sessions.maximumSpanDays',
      message: `${count} sittings with ${gap} hours between them take ${days} days at least, and the span is ${span}. Allow more days, a shorter gap, or fewer sessions.`,
      allowed: `at least ${days}`,
      got: String(span),
    },
  ];
}

/** Codes kept back for walk-ins and for trials put again: nine of these at least, however many samples a trial has. */
const reserveOf = (plan: Plan): number => Math.max(75, 9 * methodOf(plan).form.presentations);

function tooManyCodes(plan: Plan): Problem[] {
  if (codesLast(plan)) return [];
  const listeners = plan.audiences.reduce((sum, audience) => sum + audience.listeners, 0);
  const needed = listeners * codesPerSitting(plan);
  const most = goodCodes.length - reserveOf(plan);
  if (needed <= most) return [];
  if (plan.handling === 'server') {
    return [
      {
        code: 'too-many-codes',
        path: 'playback',
        message: `A code of its own for every sample would need ${needed} codes in one session; three digits give ${most}. Take fewer trials in a session and more sessions, or split the panel over two studies.`,
        allowed: `at most ${most} codes`,
        got: String(needed),
      },
    ];
  }
  return [
    {
      code: 'too-many-codes',
      path: 'handling',
      message: `Fresh carriers for every trial would need ${needed} codes in one session; three digits give ${most}. Take day codes, fewer trials, or split the panel over two studies.`,
      allowed: `at most ${most} codes`,
      got: String(needed),
    },
  ];
}
