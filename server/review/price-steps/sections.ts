import type { PriceStepsFindings } from '../../../shared/findings-price-steps';
import type { Plan } from '../../../shared/plan';
import { chosenPercent, decimals, percent } from '../../number-words';
import { listeners, pWords } from '../figures';
import { listed } from '../listed';
import { nameIn } from '../plan-names';
import { measureOf } from '../rating/measure';
import { ranged, row, section, table } from '../rating/section';
import type { RatedSection } from '../view-models';
import { stepsChart } from './chart';

type Step = PriceStepsFindings['steps'][number];
type Told = NonNullable<Step['toldApart']>;

/** What the step from one price class to the next buys. As a section of an audience's part of the letter. */
export function priceStepsSections(found: PriceStepsFindings, plan: Plan): RatedSection[] {
  const { classes, steps, measure } = found;
  const last = steps.at(-1);
  if (!last) return [];
  const words = wordsOf(found, plan);
  const nameOf = (rank: number) => classes.find((one) => one.rank === rank)?.words ?? String(rank);
  const told = steps.some(({ toldApart }) => toldApart !== null);
  const names = nameIn(plan);
  return [
    section({
      id: 'price-steps',
      heading: 'What each step up in price buys',
      sentences: [...lastWords(last, steps.length, nameOf, words, measure), ...primaryWords(steps, nameOf)],
      charts: [
        ...(words && steps.some(({ gain }) => gain)
          ? [
              {
                svg: stepsChart(
                  classes.map((one) => one.words),
                  steps.map(({ gain }) => gain),
                  words.axis,
                ),
                caption: `${words.axis.title}, step by step from the lowest class to the highest, with ${levelWords(steps)} intervals over listeners.`,
              },
            ]
          : []),
        ...(told ? [toldChart(found)] : []),
      ],
      tables: [
        table(
          'Steps between price classes',
          'Step',
          [
            ...(words ? [words.column, 'interval', 'p', 'corrected'] : []),
            ...(told ? [toldWords[firstTold(steps)].column, 'interval'] : []),
            'listeners',
          ],
          steps.map((step) =>
            row(`${nameOf(step.from)} → ${nameOf(step.to)}`, [
              ...(words
                ? [
                    step.gain ? words.value(step.gain.value) : '–',
                    step.gain ? ranged(step.gain, words.value) : '–',
                    pWords(step.p),
                    pWords(step.pAdjusted),
                  ]
                : []),
              ...(told
                ? [
                    step.toldApart ? toldValue(step.toldApart)(step.toldApart.estimate.value) : '–',
                    step.toldApart ? ranged(step.toldApart.estimate, toldValue(step.toldApart)) : '–',
                  ]
                : []),
              String(step.listeners),
            ]),
          ),
        ),
      ],
      note: [
        `Explores, and decides nothing. Classes: ${classes.map((one) => `${one.words} (${listed(one.prototypes.map((id) => names(id)))})`).join(', ')}.`,
        ...(steps.some(({ pairs }) => pairs.length > 1)
          ? [
              'Where a class has several prototypes, a step is the mean over all pairs of one of each, listener by listener.',
            ]
          : []),
        ...(words
          ? [
              `${words.test}, over listeners; corrected by Holm over the ${steps.length === 1 ? 'one step' : `${steps.length} steps`} of this audience.`,
            ]
          : []),
      ].join(' '),
    }),
  ];
}

interface GainWords {
  column: string;
  value: (value: number) => string;
  /** What the dearer did, in a sentence. */
  said: (value: number) => string;
  /** Where there is nothing gained. */
  none: number;
  noneWords: string;
  test: string;
  axis: Parameters<typeof stepsChart>[2];
}

/** Null where nothing was asked that could be a gain. */
function wordsOf({ measure, scale }: PriceStepsFindings, plan: Plan): GainWords | null {
  if (measure === 'none') return null;
  if (measure === 'share' || measure === 'ranked') {
    const chosen = measure === 'share';
    const title = chosen ? 'Share of choices for the dearer of two' : 'Share of rankings with the dearer ahead';
    return {
      column: chosen ? 'choices for the dearer' : 'dearer ahead',
      value: percent,
      said: (value) =>
        chosen
          ? `the dearer is chosen in ${percent(value)} of comparisons`
          : `the dearer stands ahead in ${percent(value)} of rankings`,
      none: 0.5,
      noneWords: `half, which would be nothing gained`,
      test: 'p by flipping the signs of listeners’ own leanings',
      axis: { title, values: 'share', none: { at: 0.5, words: 'nothing gained' }, domain: [0, 1] },
    };
  }
  const own = measureOf({ ...plan, primary: { ...plan.primary, ...(scale === null ? {} : { scale }) } });
  const ticked = measure === 'ticked';
  const on = ticked ? `“${own.scale.name}”` : `on “${own.scale.name}”`;
  return {
    column: ticked ? 'ticked more' : `${own.unit} more`,
    value: (value) => `${value > 0 ? '+' : ''}${own.value(value)}`,
    said: (value) => {
      // As the table has it.
      const by = `${own.value(Math.abs(value))}\u00a0${own.unit}`;
      if (ticked) return `${on} is ticked ${by} ${value < 0 ? 'less' : 'more'} for the dearer`;
      return `the dearer comes out ${by} ${value < 0 ? 'lower' : 'higher'} ${on}`;
    },
    none: 0,
    noneWords: '0, which would be nothing gained',
    test: ticked ? 'p by flipping the signs of listeners’ own differences' : 'p by t',
    axis: {
      title: ticked ? `How much oftener ${on} is ticked for the dearer` : `How much higher the dearer comes out ${on}`,
      values: ticked ? 'points-of-share' : 'plain',
      none: { at: 0, words: 'nothing gained' },
    },
  };
}

function lastWords(
  last: Step,
  steps: number,
  nameOf: (rank: number) => string,
  words: GainWords | null,
  measure: PriceStepsFindings['measure'],
): string[] {
  const what = `${steps === 1 ? 'The step' : 'The last step'} from ${nameOf(last.from)} to ${nameOf(last.to)}`;
  const { gain, toldApart } = last;
  const bought =
    words === null
      ? []
      : gain === null
        ? [`${what}: too few answered, or all alike, to tell what it buys.`]
        : [
            `${what} buys this: ${words.said(gain.value)} (${chosenPercent(gain.level)} interval ${ranged(gain, words.value)}; p ${equals(last.pAdjusted)}${steps > 1 ? ', corrected' : ''}). The interval ${includes(gain, words.none) ? 'takes in' : 'leaves out'} ${words.noneWords}${unborne(last, gain, words) ? ', but its p doesn’t bear that out' : ''}.`,
          ];
  return [
    ...bought,
    ...(toldApart ? [toldSentence(toldApart, measure === 'none' ? what : 'The two of that step')] : []),
    ...(measure === 'none' ? ['Whether it is liked better wasn’t asked, so what it is worth can’t be told.'] : []),
  ];
}

/** Few listeners may all lean one way, which narrows the interval and still is no rare chance. */
const unborne = ({ pAdjusted }: Step, gain: NonNullable<Step['gain']>, words: GainWords): boolean =>
  !includes(gain, words.none) && (pAdjusted === null || pAdjusted > 1 - gain.level);

const equals = (p: number | null): string => (pWords(p).startsWith('<') ? pWords(p) : `= ${pWords(p)}`);
const includes = ({ lower, upper }: { lower: number; upper: number }, at: number): boolean =>
  lower <= at + 1e-12 && upper >= at - 1e-12;

/** The verdict stands above, and isn't given twice. */
function primaryWords(steps: readonly Step[], nameOf: (rank: number) => string): string[] {
  const one = steps.find(({ primary }) => primary);
  if (!one) return [];
  return [
    `The step from ${nameOf(one.from)} to ${nameOf(one.to)} is the comparison that the verdict above is about: what is decided of it stands there.`,
  ];
}

const firstTold = (steps: readonly Step[]): Told['by'] =>
  steps.find(({ toldApart }) => toldApart)?.toldApart?.by ?? 'right-answers';

const points = (share: number): string => `${share > 0 ? '+' : ''}${decimals(share * 100, 0)}`;
const pointsWords = (share: number): string => `${points(share)}\u00a0percentage points`;

const toldWords: Record<Told['by'], { column: string; title: string; none: string; domain: [number, number] }> = {
  'right-answers': {
    column: 'truly heard',
    title: 'Share of trials in which the step is truly heard',
    none: 'never heard',
    domain: [0, 1],
  },
  'yes-no': {
    column: 'oftener where true, percentage points',
    title: 'How much oftener yes was said where it is true, in percentage points',
    none: 'not told apart',
    domain: [-1, 1],
  },
  'identical-pairs': {
    column: 'oftener than of the same, percentage points',
    title: 'How much oftener one was chosen at all than of two of the same, in percentage points',
    none: 'as of two of the same',
    domain: [-1, 1],
  },
};

const toldValue = ({ by }: Told) => (by === 'right-answers' ? percent : points);

function toldSentence({ by, estimate }: Told, what: string): string {
  const interval = `(${chosenPercent(estimate.level)} interval ${ranged(estimate, by === 'right-answers' ? percent : points)})`;
  switch (by) {
    case 'right-answers':
      return `${what}: truly heard in ${percent(estimate.value)} of trials ${interval}, lucky guesses taken off.`;
    case 'yes-no':
      return `${what}: yes was said oftener where it is true than where it isn’t, by ${pointsWords(estimate.value)} ${interval}.`;
    case 'identical-pairs':
      return `${what}: one was chosen at all oftener than between two of the same sample, by ${pointsWords(estimate.value)} ${interval}.`;
  }
}

function toldChart({ classes, steps }: PriceStepsFindings) {
  const by = firstTold(steps);
  const { title, none, domain } = toldWords[by];
  return {
    svg: stepsChart(
      classes.map((one) => one.words),
      steps.map(({ toldApart }) => toldApart?.estimate ?? null),
      { title, values: by === 'right-answers' ? 'share' : 'points-of-share', none: { at: 0, words: none }, domain },
    ),
    caption: `${title}, with ${levelWords(steps)} intervals over ${listeners(steps.at(-1)?.listeners ?? 0)}.`,
  };
}

const levelWords = (steps: readonly Step[]): string =>
  chosenPercent(
    steps
      .flatMap(({ gain, toldApart }) => [gain?.level, toldApart?.estimate.level])
      .find((level) => level !== undefined) ?? 0.95,
  );
