import { type GradesForm, gradedIn } from '../protocols/form';
import { methodOf } from '../protocols/index';
import { codesLast, type Plan } from '../shared/plan';
import type { AskedScale, Said } from '../shared/scales';
import type { WordKey } from '../shared/words/en';
import { say } from '../shared/words/say';
import { screeningRule } from './method-words';
import { minus } from './number-words';

/** Rows of a plan whose method grades samples: the scales in all their words, and what stands in a trial. */

interface PlanRow {
  label: string;
  value: string;
}

interface GradesSpec {
  reference?: string;
  screening?: boolean;
  rounds?: number;
  trials?: number;
}

export const saidWords = (said: Said): string => ('own' in said ? said.own : say(said.key as WordKey));

/** What the verdict rests on, where that is a scale or a word to tick; null for an id that the plan doesn't have. */
export function verdictOn(plan: Plan): string | null {
  const { form } = methodOf(plan);
  const { scale: id } = plan.primary;
  if (form.kind === 'scales') return form.scales.find((scale) => scale.id === id)?.name ?? null;
  // Where a pair itself is rated there is nothing else that it could rest on.
  if (form.kind !== 'grades' || plan.method.id === 'comparison-rating') return null;
  const scale = form.scales.find((one) => one.id === id);
  const word = form.attributes.find((one) => one.id === id);
  return scale ? saidWords(scale.name) : word ? `“${word.name}”, ticked or not` : null;
}

export function gradesRows(plan: Plan, form: GradesForm, trials: number): PlanRow[] {
  const { reference, screening } = plan.method.spec as GradesSpec;
  const name = plan.prototypes.find(({ id }) => id === reference)?.name;
  return [
    ...form.scales.map((scale, index) => ({ label: `Scale ${index + 1}`, value: scaleWords(scale) })),
    ...(form.attributes.length === 0
      ? []
      : [
          {
            label: 'Words to tick',
            value: `All that apply, or none: ${form.attributes.map(({ name, definition }) => (definition ? `${name} (${definition})` : name)).join(' · ')}`,
          },
        ]),
    ...(form.scales.length + form.attributes.length > 1
      ? [{ label: 'Order on the page', value: orderWords(form) }]
      : []),
    ...(name === undefined
      ? []
      : [
          {
            label: 'Reference',
            value: `${name}. Everybody is told which sample it is; it stands among the others once more, hidden`,
          },
        ]),
    { label: form.presentations > 1 ? 'Trials' : 'Samples', value: samplesWords(plan, form, trials) },
    ...(screening === undefined
      ? []
      : [
          {
            label: 'Screening of listeners',
            value: screening
              ? `${screeningRule(plan.method.id)}${missesWords(plan)} Fixed before the first answer; the verdict is told with them, too${
                  reference === plan.primary.first || reference === plan.primary.second
                    ? '. Since the rule keeps who grades the reference above, a difference from the reference itself counts as shown only if everybody’s answers show it'
                    : plan.method.id === 'small-impairments'
                      ? '. Since the rule looks at the grades of both that are compared, a verdict counts only if everybody’s answers say the same'
                      : ''
                }`
              : 'None',
          },
        ]),
  ];
}

/** Of few trials a share of 15 % is soon passed. */
function missesWords({ method, sessions }: Plan): string {
  if (method.id !== 'reference-and-anchors') return '';
  const trials = ((method.spec as GradesSpec).trials ?? 1) * sessions.count;
  const first = Math.floor((15 * trials) / 100) + 1;
  if (first > 1) return ` Of ${trials} trials in all that is ${first}.`;
  return trials === 1
    ? ' Of one trial that is a single miss: with seven trials and more one miss is forgiven.'
    : ` Of ${trials} trials in all that is a single miss: with seven and more one is forgiven.`;
}

const orderWords = ({ scales, attributes }: GradesForm): string => {
  const what = scales.length === 0 ? 'Words' : attributes.length === 0 ? 'Scales' : 'Scales and words';
  const liking = scales.some(({ id }) => id === 'liking') ? '; liking always comes first' : '';
  return `${what} in an order drawn for each listener, the same for all samples${liking}`;
};

/** "Quality, in words: bad 1 · poor 2 …"; "Bass (how much …): little 1 … much 7". */
export function scaleWords(scale: AskedScale): string {
  const { name, definition, low, high, from, to, per, shape, marks } = scale;
  const head = `${saidWords(name)}${definition === undefined ? '' : ` (${definition})`}`;
  const at = (value: number) => valueWords(value / per, from);
  const marked = marks.map((mark) => `${saidWords(mark.says)} ${at(mark.at)}`).join(' · ');
  if (shape === 'words') return `${head}, in words: ${marked}`;
  if (shape === 'line') {
    const step = per === 1 ? 'whole numbers' : 'one decimal';
    return `${head}: any place from ${at(from)} to ${at(to)}, to ${step}${marked === '' ? '' : `; words stand at ${marked}`}`;
  }
  const middle = marks
    .filter((mark) => mark.at !== from && mark.at !== to)
    .map((mark) => `${saidWords(mark.says)} ${at(mark.at)} … `)
    .join('');
  return `${head}: ${saidWords(low)} ${at(from)} … ${middle}${saidWords(high)} ${at(to)}`;
}

/** Between opposites with its sign. */
const valueWords = (value: number, from: number): string =>
  `${from < 0 && value > 0 ? '+' : ''}${minus(String(value))}`;

/** How many, of what, in which orders, and what comes before. */
function samplesWords(plan: Plan, form: GradesForm, trials: number): string {
  const { protocol, spec } = methodOf(plan);
  const { rounds = 1 } = plan.method.spec as GradesSpec;
  const { length } = plan.prototypes;
  const sitting = `${trials} for each listener in a sitting`;
  const repeats = plan.controls.hiddenRepeats ?? 0;
  const practice = protocol.practicePresentations(spec);
  const before =
    practice === 0
      ? 'the page is tried out first, without a sample'
      : `after one for practice${practice > 1 ? ` with ${practice} samples` : ''}, which doesn’t count`;
  const often = rounds === 1 ? '' : rounds === 2 ? ' twice' : ` ${rounds} times`;
  return `${sitting}: ${inTrial(plan, form, length, often)}${repeats > 0 && protocol.controls.hiddenRepeats === 'own' ? `, ${repeats} of them once more under a new code` : ''}; ${before}${codesLast(plan) ? '. Codes last for the session' : ''}`;
}

function inTrial(plan: Plan, form: GradesForm, prototypes: number, often: string): string {
  const graded = gradedIn(form, form.presentations).length;
  switch (plan.method.id) {
    case 'several-stimuli':
      return graded < prototypes
        ? `${graded} of ${prototypes} prototypes at a time, in balanced incomplete blocks`
        : `all ${prototypes} prototypes at a time, in balanced orders`;
    case 'reference-and-anchors':
      return `the open reference, then ${graded} samples with the hidden reference${plan.prototypes.some(({ anchor }) => anchor) ? ' and the anchors' : ''} among them, in balanced orders`;
    case 'small-impairments':
      return `the open reference, then that and one other prototype, hidden, in drawn order; each of the others${often === '' ? ' once' : often}`;
    case 'comparison-rating':
      return `each pair in both orders${often}, in drawn order; only the second is rated`;
    default:
      return `all ${prototypes} prototypes${often === '' ? '' : often}, one by one, in balanced orders`;
  }
}
