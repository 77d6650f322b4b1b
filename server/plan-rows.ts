import { comparedIn, comparedPlan } from '../protocols/controls';
import { methodOf } from '../protocols/index';
import { hasLooks, lookedBy } from '../protocols/looks';
import { poolingLevel, pools } from '../protocols/pooling';
import { conditions, type Looks, type MethodId, type Plan, type SoundPlan } from '../shared/plan';
import { methodWords } from '../shared/words/methods';
import { looksKindWords } from './looks-words';
import { gradesRows, verdictOn } from './plan-grades-rows';
import { askedRows, controlRows, nameIn, similarityRows } from './plan-method-rows';
import {
  blindWeakness,
  conditionRuleWords,
  conditionWords,
  exclusionRuleWords,
  handlingWords,
  hoursWords,
  missedWords,
  noneRuleWords,
  playbackWords,
  scaleEnds,
  smallestWords,
  tipRuleWords,
} from './plan-words';

/** A plan in words, for the page of the locked plan and for the report. */

interface PlanRow {
  label: string;
  value: string;
}

/** A locked plan, line by line. */
export function planRows(plan: Plan): PlanRow[] {
  const { follows, handling } = plan;
  const weakness = blindWeakness(plan);
  return [
    { label: 'Question', value: plan.question },
    ...(plan.product === undefined ? [] : [{ label: 'Product', value: plan.product }]),
    ...(follows
      ? [{ label: 'Goes on from', value: `Study ${follows.study}, hash of its plan ${follows.planHash}` }]
      : []),
    { label: 'Method', value: methodRow(plan) },
    ...(plan.quick
      ? [{ label: 'Quick check', value: 'Two files, and one listener, who brought them and ran the study' }]
      : []),
    ...plan.prototypes.map((prototype, index) => ({
      label: `Prototype ${index + 1}`,
      value: [
        prototype.name,
        prototype.id === plan.controls.knownDifference?.prototype
          ? 'the known difference, compared with nothing else'
          : '',
        prototype.anchor
          ? `made of the reference, at its level: what lies below ${prototype.anchor.lowPassHz / 1000}\u00a0kHz alone; compared with nothing`
          : '',
        prototype.priceClass ? `price class ${prototype.priceClass.rank}, ${prototype.priceClass.words}` : '',
        prototype.units.map(unitWords).join(', '),
      ]
        .filter((part) => part !== '')
        .join(': '),
    })),
    { label: 'Panel', value: plan.audiences.map((audience) => `${audience.name}: ${audience.listeners}`).join(' · ') },
    ...trialRows(plan),
    ...askedRows(plan),
    ...controlRows(plan),
    ...sessionRows(plan),
    ...comparisonRows(plan),
    {
      label: 'Left out by rule',
      value:
        plan.exclusions.length === 0
          ? screens(plan)
            ? 'No answer for its marks; listeners as said under their screening'
            : 'Nothing: every answer counts'
          : `Answers with any of these marks: ${plan.exclusions.map((rule) => exclusionRuleWords[rule].noun).join(' · ')}`,
    },
    ...closingRows(plan),
    {
      label: 'Looks',
      value:
        plan.looks.kind === 'fixed'
          ? 'None before the study is closed'
          : `${looksKindWords(plan.looks)}. Noted by name; the bound that is met first decides, whatever comes after`,
    },
    {
      label: 'Handling',
      value: `${handlingWords[handling].name}. ${handlingWords[handling].how}${weakness ? ` ${weakness}` : ''}`,
    },
    { label: 'Programme', value: playbackWords[plan.playback] },
    ...soundRows(plan),
    { label: 'Tips', value: tipRuleWords[plan.tips] },
  ];
}

const lookedRow = (looks: Looks): string => {
  const words = lookedBy(looks);
  return `${words[0]?.toUpperCase()}${words.slice(1)}`;
};

/** Whether listeners are left out by a rule of the method. */
const screens = ({ method }: Plan): boolean => (method.spec as { screening?: boolean }).screening === true;

const unitWords = ({ serial, note }: Plan['prototypes'][number]['units'][number]): string =>
  note ? `${serial} (${note})` : serial;

/** What is played, how it is matched, and what a listener has to do about it. */
function soundRows(plan: Plan): PlanRow[] {
  const { sound, excerpts, levels } = plan;
  const stale = levels
    ? [
        {
          label: 'Levels of units',
          value: `A measurement holds for ${levels.staleDays === 1 ? '1 day' : `${levels.staleDays} days`}`,
        },
      ]
    : [];
  if (!sound) return stale;
  const { match, minimumSeconds, interruption, wireless } = sound;
  const by =
    match.kind === 'band' ? `The level from ${match.low} to ${match.high} Hz` : 'Programme loudness (ITU-R BS.1770)';
  const renders = plan.playback === 'renders';
  return [
    { label: excerpts.length === 1 ? 'Excerpt' : 'Excerpts', value: excerpts.map(({ name }) => name).join(' · ') },
    { label: 'Matched by', value: `${by}, ${renders ? 'to the quietest' : 'unit by unit, to the quietest'}` },
    ...(renders
      ? [
          {
            label: 'Beginning together',
            value:
              sound.alignment === 'checked'
                ? 'Checked: all renders of an excerpt begin within one sample of each other'
                : 'Not asked for, by the team’s word',
          },
        ]
      : []),
    ...(plan.method.id === 'first-impressions'
      ? []
      : [
          {
            label: 'Heard at least',
            value: `${minimumSeconds === 1 ? '1 second' : `${minimumSeconds} seconds`} of each sample, before an answer counts`,
          },
        ]),
    {
      label: 'Interrupted sound',
      value: interruptedWords(plan.method.id, interruption),
    },
    { label: 'Wireless in-ears', value: wireless === 'refused' ? 'Refused' : 'Allowed' },
    ...stale,
  ];
}

/** Put again, a first impression would be a second one, so there the rule has no say. */
const interruptedWords = (method: MethodId, rule: SoundPlan['interruption']): string =>
  method === 'first-impressions' || rule === 'mark' ? 'Marks the answer' : 'Voids the trial, which comes again';

function methodRow(plan: Plan): string {
  const { standards } = methodOf(plan).protocol;
  return `${methodWords[plan.method.id].how}${standards.length > 0 ? ` (${standards.join('; ')})` : ''}`;
}

function trialRows(plan: Plan): PlanRow[] {
  const { protocol, spec, form } = methodOf(plan);
  const trials = protocol.trials(spec, comparedPlan(plan));
  if (form.kind === 'grades') return gradesRows(plan, form, trials);
  if (form.kind !== 'scales') {
    const { offered, rule } = plan.noPreference;
    const practised = `${trials} for each listener in a sitting, after one for practice`;
    if (protocol.family === 'ranking') return [{ label: 'Rankings', value: practised }];
    if (protocol.family !== 'preference') return [{ label: 'Trials', value: practised }];
    return [
      { label: 'Turns', value: practised },
      { label: '“No preference”', value: offered ? `Offered; ${noneRuleWords[rule]}` : 'Not offered' },
    ];
  }
  const { windowSeconds, answerSeconds, reset } = form.impression;
  const repeats = plan.controls.hiddenRepeats ?? 0;
  return [
    ...form.scales.map((scale, index) => ({
      label: `Scale ${index + 1}`,
      value: `${scale.name}: ${scaleEnds(scale)}`,
    })),
    {
      label: 'Samples',
      value: `${trials} for each listener in a sitting${repeats > 0 ? `, ${repeats} of them a prototype once more under a new code` : ''}; the scales are tried out first, without a sample`,
    },
    {
      label: 'First impression',
      value: `${windowSeconds} seconds, heard once; rated from the first sound until ${answerSeconds} seconds after the window, later counts as late`,
    },
    {
      label: 'Rest before each',
      value: `${reset.seconds} seconds ${reset.item === undefined ? 'of silence' : `of a neutral piece: ${reset.item}`}`,
    },
    ...(form.words ? [{ label: 'In their own words', value: 'One line after each rating, as they like' }] : []),
  ];
}

function sessionRows(plan: Plan): PlanRow[] {
  const { count, minimumGapHours: gap, maximumSpanDays: span, missed } = plan.sessions;
  const between = [
    gap > 0 ? `at least ${hoursWords(gap)} between two` : 'no gap set between two',
    span > 0 ? `at most ${span === 1 ? '1 day' : `${span} days`} from first to last` : 'no end set',
  ].join(', ');
  const rules = conditions.map(
    (condition) => `${conditionWords[condition]}: ${conditionRuleWords[plan.checkIn[condition]].toLowerCase()}`,
  );
  return [
    {
      label: 'Sittings',
      value: count === 1 ? 'One for each listener' : `${count} for each listener; ${between}`,
    },
    ...(plan.verdictDays ? [{ label: 'The verdict counts', value: verdictDaysWords(plan.verdictDays, count) }] : []),
    ...(count === 1 ? [] : [{ label: 'A missed session', value: missedWords[missed] }]),
    { label: 'Check-in', value: rules.join(' · ') },
  ];
}

/** Sittings are counted by listener, from their own first. */
function verdictDaysWords({ from, to }: NonNullable<Plan['verdictDays']>, count: number): string {
  const which =
    from === to
      ? from === 1
        ? 'Each listener’s first sitting'
        : from === count
          ? 'Each listener’s last planned sitting'
          : `Each listener’s sitting ${from}`
      : `Each listener’s sittings ${from} to ${to}`;
  return `${which}. The others are told beside, and decide nothing`;
}

function closingRows({ closingQuestion, prototypes }: Plan): PlanRow[] {
  if (!closingQuestion) return [];
  const known = closingQuestion.labels.map(({ prototype, words }) => {
    const name = prototypes.find(({ id }) => id === prototype)?.name ?? prototype;
    return `“${words}” is ${name}`;
  });
  return [
    {
      label: 'Closing question',
      value: `After the last sitting: which one was the last sample, and how sure. ${known.join(' · ')}`,
    },
  ];
}

/** Who gets a verdict, as far as p is corrected over them. */
const questionsWords = (plan: Plan): string =>
  `the ${plan.audiences.length} audiences${pools(plan) ? ' and all of them together' : ''}`;

function comparisonRows(plan: Plan): PlanRow[] {
  const { primary } = plan;
  const { protocol } = methodOf(plan);
  const audiences = plan.audiences.length;
  const over = audiences > 1 ? ` over ${questionsWords(plan)}` : '';
  const corrected =
    protocol.family === 'ranking'
      ? `; half of the weight when all pairs${over} are corrected by Holm`
      : audiences > 1
        ? `, corrected${over} by Holm`
        : '';
  const scale = verdictOn(plan);
  return [
    {
      label: 'Primary comparison',
      value: `${nameIn(plan, primary.first)} against ${nameIn(plan, primary.second)}${scale ? ` on ${scale}` : ''}${corrected}`,
    },
    ...otherRows(plan),
    ...(pools(plan)
      ? [
          {
            label: 'All audiences together',
            value: `A verdict of their own where it isn’t shown that audiences answer differently (interaction, p above ${poolingLevel}); one question more, and corrected for as one`,
          },
        ]
      : []),
    ...(plan.aim === 'similarity' ? similarityRows(plan) : decisionRows(plan)),
  ];
}

/** At which risks, and by what, it is decided. */
function decisionRows(plan: Plan): PlanRow[] {
  const { risks, primary } = plan;
  const { protocol } = methodOf(plan);
  const late = plan.exclusions.includes('late')
    ? 'Late ratings are left out'
    : 'Late ratings count, and it is told without them, too';
  const { decidedBy } = methodWords[plan.method.id];
  const sided =
    protocol.family === 'difference'
      ? protocol.chance === null
        ? 'one-sided: yes more often where it is true'
        : 'one-sided: more right answers than by guessing'
      : risks.sides === 'two-sided'
        ? 'two-sided'
        : protocol.family === 'ranking'
          ? 'one-sided: in the expected order'
          : `one-sided: ${nameIn(plan, primary.first)} preferred`;
  const worth: Record<typeof risks.smallest.kind, string> = {
    share: `smallest share worth finding ${smallestWords(plan)}`,
    heard: `smallest difference worth finding: ${smallestWords(plan)}`,
    points: `smallest difference worth finding ${smallestWords(plan)}`,
    'd-prime': `smallest difference worth finding: ${smallestWords(plan)}`,
    ticked: `smallest difference worth finding: ${smallestWords(plan)}`,
  };
  return [
    { label: 'Risks', value: `α ${risks.alpha}, β ${risks.beta}, ${sided}; ${worth[risks.smallest.kind]}` },
    {
      label: 'Decided by',
      value: hasLooks(plan)
        ? lookedRow(plan.looks)
        : methodOf(plan).form.kind === 'scales'
          ? `${decidedBy}. ${late}`
          : decidedBy,
    },
  ];
}

/** What is compared beside, and what is asked of time. */
function otherRows(plan: Plan): PlanRow[] {
  const { protocol, form } = methodOf(plan);
  if (protocol.family === 'difference') return [];
  const rating = protocol.family === 'rating';
  const scales =
    form.kind === 'scales'
      ? form.scales.length
      : form.kind === 'grades'
        ? form.scales.length + form.attributes.length
        : 0;
  const compared = comparedIn(plan).filter(({ anchor }) => !anchor).length;
  const more = compared > 2 || scales > 1;
  const besides = form.kind === 'grades' && form.attributes.length > 0 ? ' and words' : scales > 1 ? ' and scales' : '';
  const audiences = plan.audiences.length > 1 ? ` over ${questionsWords(plan)}` : '';
  const others =
    protocol.family === 'ranking'
      ? `All other pairs, ${plan.risks.sides === 'two-sided' ? 'two-sided' : 'in the expected order'}, by the other half of that weight`
      : `All other pairs${besides}, two-sided, corrected together by Holm${audiences}`;
  return [
    { label: 'Other comparisons', value: more ? others : 'None' },
    ...(rating && onScales(plan) && plan.sessions.count > 1
      ? [
          {
            label: 'Over sessions',
            value: `Drift per sitting over listeners’ own slopes; called stable only when all sittings together are shown to stay within ${smallestWords(plan)}`,
          },
        ]
      : []),
  ];
}

/** Means on scales are followed over sittings; comparisons and ticks have none of their own. */
const onScales = ({ method }: Plan): boolean => method.id !== 'comparison-rating' && method.id !== 'check-all';
