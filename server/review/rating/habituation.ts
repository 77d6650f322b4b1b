import type { HabituationFindings } from '../../../shared/findings';
import type { Plan } from '../../../shared/plan';
import { chosenPercent, decimals } from '../../number-words';
import { pWords } from '../figures';
import { markedIn } from '../marked';
import { type ShownScale, scaleIn } from '../shown-scale';
import type { HabituationPart } from '../view-models';
import { hasOwnFigure, measureOf } from './measure';
import { sittingsChart } from './sittings-chart';

type Estimate = HabituationFindings['drift'][number]['slope'];

/** What getting used to the samples did to one scale: in a word, in a sentence, prototype by prototype. */
export function habituationPart(one: HabituationFindings, plan: Plan): HabituationPart {
  const scale = scaleIn(plan, one.scale);
  const ofAll = <T extends { prototype: string | null }>(rows: readonly T[]): T | undefined =>
    rows.find(({ prototype }) => prototype === null);
  const { slope, listeners } = ofAll(one.drift) ?? { slope: null, listeners: 0 };
  const twice = one.drift.some(({ listeners }) => listeners > 0);
  return {
    scale: scale.name,
    heading: twice ? words[one.word] : 'Not asked twice',
    sentence: twice
      ? sentenceOf(one, { slope, listeners }, scale, plan)
      : 'Nobody rated in two sittings, so nothing can be said about getting used to the samples.',
    chart: one.scale === plan.primary.scale ? sittingsChart(one, scale, plan) : null,
    unit: measureOf(plan).unit,
    rows: twice
      ? plan.prototypes
          .map(({ id }) => id)
          .filter((id) => hasOwnFigure(plan, id))
          .map((id) => {
            const first = one.sittings.find(({ sitting, prototype }) => sitting === 1 && prototype === id);
            return {
              ...markedIn(plan)(id),
              first: first ? decimals(first.mean) : '–',
              change: ranged(one.firstAgainstLater.find(({ prototype }) => prototype === id)?.difference ?? null),
              drift: ranged(one.drift.find(({ prototype }) => prototype === id)?.slope ?? null),
            };
          })
      : [],
    all: twice
      ? {
          change: ranged(ofAll(one.firstAgainstLater)?.difference ?? null),
          drift: ranged(slope),
          p: pWords(one.pAdjusted),
        }
      : null,
    repeatability: [
      ...repeated('In the same sitting', one.repeatability.withinDay),
      ...repeated('On another day', one.repeatability.acrossDays),
    ],
  };
}

const words = { drifting: 'Drifting', stable: 'Stable', unknown: 'Not known' } as const;

function sentenceOf(
  { word }: HabituationFindings,
  { slope, listeners }: { slope: Estimate; listeners: number },
  scale: ShownScale,
  plan: Plan,
): string {
  if (slope === null) {
    return listeners < 2
      ? 'Only one listener rated in two sittings, too few to tell whether ratings move.'
      : `All ${listeners} listeners who rated in two sittings moved alike, or not at all. Without a spread between them it can’t be told how sure that is.`;
  }
  const interval = `${chosenPercent(slope.level)} interval ${decimals(slope.lower)} to ${decimals(slope.upper)}`;
  const per = `${decimals(slope.value)} ${measureOf(plan).unit} from one sitting to the next (${interval})`;
  if (word === 'drifting') {
    return `From sitting to sitting ratings move toward “${slope.value > 0 ? scale.high : scale.low}”, all prototypes together by ${per}.`;
  }
  if (word === 'stable') {
    return `Over the ${plan.sessions.count} planned sittings ratings move by less than ${measureOf(plan).amount(plan.risks.smallest.value)}, all prototypes together: ${per}.`;
  }
  return `It can’t be told whether ratings move. The data allow, for all prototypes together, ${decimals(slope.lower)} to ${decimals(slope.upper)} ${measureOf(plan).unit} from one sitting to the next (${chosenPercent(slope.level)} interval; best guess ${decimals(slope.value)}).`;
}

const ranged = (one: Estimate): string =>
  one ? `${decimals(one.value)} (${decimals(one.lower)} to ${decimals(one.upper)})` : '–';

function repeated(
  when: string,
  one: HabituationFindings['repeatability']['withinDay'],
): HabituationPart['repeatability'] {
  if (!one) return [];
  const { icc } = one;
  return [
    {
      when,
      pairs: String(one.pairs),
      icc: icc ? `${decimals(icc.value)} (${decimals(icc.lower)} to ${decimals(icc.upper)})` : '–',
      limits: `${decimals(one.lower, 1)} to ${decimals(one.upper, 1)}`,
    },
  ];
}
