import type { UnitEffectsFindings } from '../../../shared/findings-unit-effects';
import type { Plan } from '../../../shared/plan';
import { chosenPercent, decimals, percent } from '../../number-words';
import { pWords } from '../figures';
import { listed } from '../listed';
import { markedIn } from '../marked';
import { nameIn } from '../plan-names';
import { ranged, row, section, table } from '../rating/section';
import { scaleIn } from '../shown-scale';
import type { RatedSection, RatedTable } from '../view-models';
import { type UnitAxis, unitsChart } from './chart';

type Each = UnitEffectsFindings['prototypes'][number];

/** Units of one prototype beside each other, and what can't be told where there is one. As a section of the letter. */
export function unitEffectsSections(found: UnitEffectsFindings, plan: Plan): RatedSection[] {
  const { prototypes, level } = found;
  const several = prototypes.filter(({ units }) => units.length > 1);
  const words = wordsOf(found, plan);
  const svg = several.length > 0 ? unitsChart(prototypes, words.axis, plan) : null;
  return [
    section({
      id: 'unit-effects',
      heading: 'Unit by unit',
      sentences: [
        ...singleWords(found, plan),
        ...testWords(several, found, plan),
        ...(found.measure === 'points' && several.length > 0
          ? [
              'Each answer of a listener counts the same here, and not each sitting: means may lie a little beside those above.',
            ]
          : []),
      ],
      cautions: [...apartCautions(several, found, plan), ...togetherCautions(found, plan)],
      charts: svg
        ? [
            {
              svg,
              caption: `${words.what} Prototypes as large marks, their units under them as small ones, with ${chosenPercent(level)} intervals over listeners. Who heard which unit was drawn, so part of what sets units apart is who heard them.`,
            },
          ]
        : [],
      tables: [unitTable(found, words, plan), ...spreadTables(found)],
      note: spreadNote(found, words),
      folded:
        several.length === 0 || several.every(({ pAdjusted }) => pAdjusted === null || pAdjusted > plan.risks.alpha),
    }),
  ];
}

interface Words {
  what: string;
  column: string;
  value: (value: number) => string;
  /** A standard deviation. */
  spread: (value: number) => string;
  axis: UnitAxis;
}

function wordsOf({ measure, scale, prototypes }: UnitEffectsFindings, plan: Plan): Words {
  const share = (what: string, column: string, mark: UnitAxis['mark'], short = column): Words => ({
    what,
    column,
    value: percent,
    spread: (value) => `${decimals(value * 100, 1)}\u00a0percentage points`,
    axis: { label: what.replace(/\.$/, ''), short, domain: [0, 1], percent: true, mark },
  });
  switch (measure) {
    case 'right':
      return share('Share of right answers in trials with each unit.', 'Right answers', null);
    case 'preferred':
      return share('Share of choices, of the trials with each unit.', 'Preferred', { at: 0.5, words: 'half' });
    case 'ticked':
      return share(`How often “${scaleIn(plan, scale ?? '').name}” was ticked.`, 'Ticked', null);
    case 'rank': {
      const most = Math.max(2, ...prototypes.flatMap(({ value, upper }) => [value, upper ?? value]).map(Math.ceil));
      return {
        what: 'Mean rank, 1 the best.',
        column: 'Mean rank',
        value: decimals,
        spread: (value) => `${decimals(value)} ranks`,
        axis: { label: 'Mean rank, 1 the best', short: 'Mean rank', domain: [1, most], percent: false, mark: null },
      };
    }
    default: {
      const shown = scaleIn(plan, scale ?? '');
      const values = prototypes.flatMap(({ value, units }) => [value, ...units.map((unit) => unit.value)]);
      const whole: [number, number] =
        shown.shape === 'derived'
          ? [Math.floor(Math.min(0, ...values)) - 1, Math.ceil(Math.max(0, ...values)) + 1]
          : [shown.from, shown.to];
      return {
        what: `Mean on the scale “${shown.name}”.`,
        column: 'Mean',
        value: decimals,
        spread: (value) => `${decimals(value)} points`,
        axis: {
          label: `Mean on the scale “${shown.name}”`,
          short: `Mean, ${shown.name}`,
          domain: whole,
          percent: false,
          mark: shown.middle,
        },
      };
    }
  }
}

/** What one unit can't tell, and what a second would. */
function singleWords({ prototypes, spread }: UnitEffectsFindings, plan: Plan): string[] {
  const single = prototypes.filter(({ units }) => units.length === 1);
  if (single.length === 0) return [];
  const name = nameIn(plan);
  const all = single.length === prototypes.length;
  const which = all
    ? 'Each prototype was'
    : `${listed(single.map(({ prototype }) => name(prototype)))} ${single.length === 1 ? 'was' : 'were each'}`;
  return [
    `${which} heard as one unit, so what is peculiar to that unit counts as the prototype’s: this is about ${single.length === 1 && !all ? 'that unit' : 'these units'} only. A second unit of ${single.length === 1 ? 'it' : 'each'}, dealt out alike, would show how far units of one prototype lie apart${spread?.by === 'model' ? ', and the verdict would take it into account' : ''}.`,
  ];
}

function testWords(several: readonly Each[], { permutations }: UnitEffectsFindings, plan: Plan): string[] {
  const tested = several.filter(({ p }) => p !== null);
  if (several.length === 0) return [];
  if (tested.length === 0) return ['Too few heard more than one unit of a prototype to tell whether units differ.'];
  const apart = tested.filter(({ pAdjusted }) => (pAdjusted ?? 1) <= plan.risks.alpha);
  const how = `Units were dealt out again ${permutations.toLocaleString('en')} times among listeners who came on the same days; p is corrected by Holm, and is about the units that were heard. No verdict rests on it.`;
  return [
    apart.length === 0
      ? 'Nothing here shows that units of one prototype differ; nor does that show that they are alike.'
      : `Not everywhere are units of one prototype answered alike: ${apart.map((one) => farthest(one, plan)).join('; ')}.`,
    how,
  ];
}

function farthest({ prototype, units, pAdjusted }: Each, plan: Plan): string {
  const sorted = units.toSorted((a, b) => a.value - b.value);
  const [low, high] = [sorted[0], sorted.at(-1)];
  return `${nameIn(plan)(prototype)}, ${low?.serial} against ${high?.serial}, p\u00a0${pWords(pAdjusted)}`;
}

const apartCautions = (several: readonly Each[], { spread }: UnitEffectsFindings, plan: Plan): string[] =>
  several.some(({ pAdjusted }) => pAdjusted !== null && pAdjusted <= plan.risks.alpha)
    ? [
        spread?.by === 'model'
          ? 'Units of one prototype differ: what is said of the prototype is an average over its units, and the verdict was made more cautious for it.'
          : 'Units of one prototype differ: what is said of the prototype may hang on which unit was heard. The verdict is about these units.',
      ]
    : [];

/** Of answers about several samples at once nobody knows which of two units they are about. */
function togetherCautions({ together, measure }: UnitEffectsFindings, plan: Plan): string[] {
  if (together.length === 0 || measure === 'points' || measure === 'ticked') return [];
  const serial = new Map(
    plan.prototypes.flatMap(({ units }) => units.map(({ id, serial: own }) => [id as string, own])),
  );
  const sets = together.map((set) => listed(set.map((id) => serial.get(id) ?? id)));
  return [
    `Some units were always heard together (${sets.join('; ')}), and an answer is about all that stand in its trial: which of them it is that differs can’t be told.`,
  ];
}

function unitTable({ prototypes }: UnitEffectsFindings, words: Words, plan: Plan): RatedTable {
  const marked = markedIn(plan);
  const tested = prototypes.some(({ p }) => p !== null);
  const interval = ({ lower, upper }: Pick<Each, 'lower' | 'upper'>) =>
    lower === null || upper === null ? '–' : ranged({ lower, upper }, words.value);
  return {
    caption: words.what,
    of: 'Unit',
    columns: [words.column, 'Interval', 'Listeners', 'Answers', ...(tested ? ['p, corrected'] : [])],
    groups: prototypes.map((one) => {
      const mark = marked(one.prototype);
      const cells = (own: Pick<Each, 'value' | 'lower' | 'upper' | 'listeners' | 'answers'>, p: string) => [
        words.value(own.value),
        interval(own),
        String(own.listeners),
        String(own.answers),
        ...(tested ? [p] : []),
      ];
      const units = one.units.map((unit) => row(unit.serial, cells(unit, '')));
      return {
        heading: null,
        rows:
          one.units.length === 1
            ? [row(`${mark.prototype}, ${one.units[0]?.serial ?? ''}`, cells(one, '–'), { mark })]
            : [row(`${mark.prototype}, all units`, cells(one, pWords(one.pAdjusted)), { mark }), ...units],
      };
    }),
  };
}

const terms = {
  'listener-prototype': 'Listeners’ own tastes',
  session: 'A listener’s days',
  trial: 'Trials of a day',
  unit: 'Units of a prototype',
  rest: 'What is left: chance',
} as const;

const spreadTables = ({ spread }: UnitEffectsFindings): RatedTable[] =>
  spread && spread.terms.length > 0
    ? [
        table(
          'Where ratings vary, as the model of the verdict has it',
          'Source',
          ['Standard deviation', 'Share of the variance'],
          spread.terms.map(({ term, standardDeviation, share }) =>
            row(terms[term], [decimals(standardDeviation), percent(share)]),
          ),
        ),
      ]
    : [];

function spreadNote({ spread }: UnitEffectsFindings, words: Words): string | null {
  if (!spread || spread.units === null) return null;
  if (spread.by === 'model') {
    return 'The model takes units as drawn from all that might be built, so that its verdict is about the prototype; the p of each prototype is about these units alone. Of so few units nobody knows their share of the variance well.';
  }
  return `Best guess of how far units of one prototype lie apart, beyond what comes of who heard them: a standard deviation of ${words.spread(spread.units)} (by moments; 0 where they lie no farther apart than that). So few units tell it badly.`;
}
