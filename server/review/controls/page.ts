import type { Findings } from '../../../shared/findings';
import type { ControlFindings, ControlOf } from '../../../shared/findings-controls';
import type { Plan } from '../../../shared/plan';
import { chosenPercent, decimals } from '../../number-words';
import { about, pWords } from '../figures';
import { nameIn } from '../plan-names';
import { measureOf } from '../rating/measure';
import type { ControlsPart } from '../view-models';

type Kind = ControlsPart['kinds'][number];
type Said = Omit<Kind, 'heading'>;

/** What control trials say, for the letter; null where the plan adds none. */
export function controlsPart({ controls }: Pick<Findings, 'controls'>, plan: Plan): ControlsPart | null {
  if (!controls) return null;
  return { kinds: controls.map((one) => ({ heading: headings[one.kind], ...saidOf(one, plan) })) };
}

const headings: Record<ControlFindings['kind'], string> = {
  hiddenRepeats: 'Put once more',
  identicalPairs: 'One sample twice',
  knownDifference: 'A known difference',
  units: 'Two units of one prototype',
};

function saidOf(one: ControlFindings, plan: Plan): Said {
  if (one.trials === 0) return { sentence: 'No answer came in that counts.', caution: null, table: null };
  switch (one.measure) {
    case 'right':
      return one.kind === 'units' ? unitsTold(one, plan) : knownTold(one, plan);
    case 'choice':
      return knownChosen(one, plan);
    case 'place':
      return placesTaken(one, plan);
    case 'unit':
      return unitsChosen(one, plan);
    case 'again':
      return {
        sentence: `${one.same} of ${trialsWords(one.trials)} that were put once more in the same sitting were answered as the first time.`,
        caution: null,
        table: {
          of: 'Listener',
          columns: ['The same again'],
          rows: one.listeners.map(({ listener, same, trials }) => ({
            name: listener,
            cells: [`${same} of ${trials}`],
          })),
        },
      };
    case 'points':
      return pointsApart(one, plan);
    case 'second':
      return secondSaid(one, plan);
    case 'order':
      return {
        sentence: `${one.trials === 1 ? '1 ranking was' : `${one.trials} rankings were`} put once more in the same sitting. Kendall’s τ between the two orders is ${decimals(one.tau ?? 0)} on average: 1 is the same order, 0 is what chance gives.`,
        caution: null,
        table: {
          of: 'Listener',
          columns: ['τ', 'Rankings'],
          rows: one.listeners.map(({ listener, tau, trials }) => ({
            name: listener,
            cells: [decimals(tau), String(trials)],
          })),
        },
      };
  }
}

const trialsWords = (count: number): string => (count === 1 ? '1 trial' : `${count} trials`);

function rightWords({ right, trials, chance, p }: ControlOf<'right'>): string {
  const beside = chance === null ? '' : `, where guessing gives ${about(chance * trials)} on average`;
  return `${right} of ${trials} answers were right${beside} (p ${pSaid(p)}).`;
}

const pSaid = (p: number | null): string => (p === null || p < 0.001 ? pWords(p) : `= ${pWords(p)}`);

const rightsTable = ({ listeners }: ControlOf<'right'>): Kind['table'] => ({
  of: 'Listener',
  columns: ['Right'],
  rows: listeners.map(({ listener, right, trials }) => ({ name: listener, cells: [`${right} of ${trials}`] })),
});

const knownName = (plan: Plan): string => nameIn(plan)(plan.controls.knownDifference?.prototype ?? '');

function knownTold(one: ControlOf<'right'>, plan: Plan): Said {
  const told = one.p !== null && one.p <= plan.risks.alpha;
  return {
    sentence: `${knownName(plan)} was put against what is compared, as a difference that everybody should tell. ${rightWords(one)}`,
    caution: told
      ? null
      : 'The panel isn’t shown to tell even this. Where a verdict stays open, it may be for the listeners, or for how it was heard.',
    table: rightsTable(one),
  };
}

function unitsTold(one: ControlOf<'right'>, plan: Plan): Said {
  const told = one.p !== null && one.p <= plan.risks.alpha;
  return {
    sentence: `Two units of one prototype were put as if they were the two that are compared. ${rightWords(one)}${told ? '' : ' No sign that they can be told apart, which doesn’t show that they are alike.'}`,
    caution: told
      ? 'Units of one prototype can be told apart. The difference between prototypes may be one between units.'
      : null,
    table: rightsTable(one),
  };
}

const noneCell = (none: number, plan: Plan): string[] => (plan.noPreference.offered ? [String(none)] : []);
const noneColumn = (plan: Plan): string[] => (plan.noPreference.offered ? ['No preference'] : []);
const noneSaid = (none: number, plan: Plan): string =>
  plan.noPreference.offered ? `, “no preference” in ${none}` : '';

function knownChosen({ known, other, none, trials, listeners }: ControlOf<'choice'>, plan: Plan): Said {
  const name = knownName(plan);
  return {
    sentence: `${name} was put against what is compared, as a difference that everybody should tell. It was chosen in ${known} of ${trialsWords(trials)}, the other in ${other}${noneSaid(none, plan)}.`,
    caution: null,
    table: {
      of: 'Listener',
      columns: [name, 'The other', ...noneColumn(plan)],
      rows: listeners.map((one) => ({
        name: one.listener,
        cells: [String(one.known), String(one.other), ...noneCell(one.none, plan)],
      })),
    },
  };
}

function placesTaken({ first, second, none, p, trials, listeners }: ControlOf<'place'>, plan: Plan): Said {
  const leans = p !== null && p <= plan.risks.alpha;
  return {
    sentence: `In ${trialsWords(trials)} both samples were one and the same. The one heard first was chosen in ${first}, the second in ${second}${noneSaid(none, plan)}; p ${pSaid(p)} for a leaning to one place.`,
    caution: leans
      ? `Listeners lean to the sample heard ${first > second ? 'first' : 'second'}. Order is balanced, so it moves no verdict, but it hides small preferences.`
      : null,
    table: {
      of: 'Listener',
      columns: ['First', 'Second', ...noneColumn(plan)],
      rows: listeners.map((one) => ({
        name: one.listener,
        cells: [String(one.first), String(one.second), ...noneCell(one.none, plan)],
      })),
    },
  };
}

function pointsApart({ trials, apart, listeners }: ControlOf<'points'>, plan: Plan): Said {
  const { scale, unit } = measureOf(plan);
  return {
    sentence: `${trials === 1 ? '1 trial was' : `${trials} trials were`} put once more in the same sitting. On the scale “${scale.name}” the two ratings of a sample are ${decimals(apart ?? 0)} ${unit} apart on average.`,
    caution: null,
    table: {
      of: 'Listener',
      columns: [`Apart, in ${unit}`, 'Trials'],
      rows: listeners.map((one) => ({ name: one.listener, cells: [decimals(one.apart), String(one.trials)] })),
    },
  };
}

function secondSaid({ trials, mean, p, listeners }: ControlOf<'second'>, plan: Plan): Said {
  const { unit } = measureOf(plan);
  const leans = p !== null && p <= plan.risks.alpha;
  const said =
    mean === null
      ? 'Too few answered to tell whether they lean to one place.'
      : `The second was said to be ${decimals(Math.abs(mean.value))} ${unit} ${mean.value < 0 ? 'worse' : 'better'} than the first on average (${chosenPercent(mean.level)} interval ${decimals(mean.lower)} to ${decimals(mean.upper)}; p ${pSaid(p)}).`;
  return {
    sentence: `In ${trialsWords(trials)} both samples were one and the same. ${said}`,
    caution: leans
      ? `Listeners lean to the sample heard ${(mean?.value ?? 0) < 0 ? 'first' : 'second'}. Order is balanced, so it moves no verdict, but it hides small differences.`
      : null,
    table: {
      of: 'Listener',
      columns: ['The second beside the first', 'Trials'],
      rows: listeners.map((one) => ({ name: one.listener, cells: [decimals(one.mean), String(one.trials)] })),
    },
  };
}

function unitsChosen({ trials, pairs }: ControlOf<'unit'>, plan: Plan): Said {
  const told = pairs.some(({ pAdjusted }) => pAdjusted !== null && pAdjusted <= plan.risks.alpha);
  const serial = (id: string) =>
    plan.prototypes.flatMap(({ units }) => units).find((unit) => unit.id === id)?.serial ?? id;
  return {
    sentence: `In ${trialsWords(trials)} both samples were units of one prototype.${told ? '' : ' No sign that one is preferred to the other, which doesn’t show that they are alike.'}`,
    caution: told ? 'Units of one prototype aren’t liked alike. What is said of prototypes may be about units.' : null,
    table: {
      of: 'Units',
      columns: ['For the first', 'For the second', ...noneColumn(plan), 'p, Holm'],
      rows: pairs.map((pair) => ({
        name: `${nameIn(plan)(pair.prototype)}: ${serial(pair.first)} against ${serial(pair.second)}`,
        cells: [String(pair.forFirst), String(pair.forSecond), ...noneCell(pair.none, plan), pWords(pair.pAdjusted)],
      })),
    },
  };
}
