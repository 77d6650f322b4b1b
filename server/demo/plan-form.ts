import { protocolOf } from '../../protocols/index';
import {
  type Aim,
  type Condition,
  type ConditionRule,
  conditions,
  type ExclusionRule,
  handsOver,
  type Plan,
  type SoundPlan,
} from '../../shared/plan';
import { type Scale, starterScales } from '../../shared/scales';
import type { Form, Page } from './page';
import { textOf } from './page';

/** A scale by the id of a starter scale, or one of the team's own. */
export type ScaleInMind = string | (Pick<Scale, 'name' | 'low' | 'high'> & Partial<Pick<Scale, 'polarity' | 'points'>>);

/** A plan as a person has it in mind: names, not ids. What is left out stays as the page offers it. */
export interface PlanInMind {
  title: string;
  question: string;
  /** What is being tuned. */
  product?: string;
  /** Left out: paired preference. */
  method?: Plan['method']['id'];
  /** What is to be known; left out, what the method is mostly taken for. */
  aim?: Aim;
  prototypes: { name: string; units: { serial: string; note?: string }[]; price?: { rank: number; words: string } }[];
  audiences: { name: string; listeners: number }[];
  /** Paired preference. */
  /** All audiences together, too, where they aren’t shown to differ. */
  pooling?: Plan['pooling'];
  turns?: number;
  noPreference?: Plan['noPreference']['rule'];
  sides?: Plan['risks']['sides'];
  /** Methods that show a difference. */
  trials?: number;
  /** Directional ones: what one has more of. */
  attribute?: string;
  /** Duo-trio. */
  reference?: 'balanced' | 'constant';
  /** A–not-A. */
  showOther?: boolean;
  /** Hidden reference: the prototype by its name, and anchors by their frequency. */
  openReference?: string;
  anchors?: (3500 | 7000)[];
  /** Ranking. */
  size?: number;
  rankings?: number;
  predicted?: boolean;
  /** Attribute profile, and first impressions from here on. */
  scales?: ScaleInMind[];
  /** The scale that the verdict rests on: id of a starter scale, or name of one's own. The first when left out. */
  primaryScale?: string;
  windowSeconds?: number;
  answerSeconds?: number;
  /** A rest in silence, or to a piece. */
  reset?: { seconds: number; item?: string };
  /** All that take it. */
  hiddenRepeats?: number;
  identicalPairs?: number;
  /** The prototype by its name. */
  knownDifference?: { trials: number; prototype: string };
  unitPairs?: number;
  /** Pieces of programme by name, where the page plays, and what isn't as the page offers it. */
  excerpts?: string[];
  sound?: Partial<SoundPlan>;
  staleDays?: number;
  /** All methods again. */
  sessions?: number;
  gapHours?: number;
  spanDays?: number;
  missed?: Plan['sessions']['missed'];
  /** The sittings that the verdict counts. */
  verdictDays?: Plan['verdictDays'];
  checkIn?: Partial<Record<Condition, ConditionRule>>;
  /** Marks by which answers are left out. */
  exclusions?: ExclusionRule[];
  /** `server` with renders, which nobody handles; then the page asks nothing. */
  handling: Plan['handling'];
  playback?: Plan['playback'];
  tips?: Plan['tips'];
  alpha?: number;
  beta?: number;
  smallest?: number;
  primary?: [first: string, second: string];
  /** What listeners may know the prototypes as, in their order; asked about after everything. */
  closingQuestion?: string[];
}

const methodOf = (plan: PlanInMind) => plan.method ?? 'paired-preference';
export const aimOf = (plan: PlanInMind): Aim => plan.aim ?? (protocolOf(methodOf(plan)).aims[0] as Aim);

/** The next button to press so that the page has a place for everything, or null when it has. */
export function nextButton(page: Page, plan: PlanInMind): string | null {
  const wanted = methodOf(plan);
  // A method stands there once it can answer what is asked.
  const aim = page.find('input[name="aim"]')?.getAttribute('value');
  if (aim !== undefined && aim !== aimOf(plan)) return `aim:${aimOf(plan)}`;
  if (page.find('input[name="method.id"]')?.getAttribute('value') !== wanted) return `method:${wanted}`;
  const shown = page.all('fieldset.prototype').map((one) => one.querySelectorAll('.unit').length);
  if (shown.length < plan.prototypes.length) return 'add-prototype';
  if (shown.length > plan.prototypes.length) return `remove-prototype:${shown.length}`;
  // Renders have no units; the page keeps a place for them, which nothing is filled into.
  const handed = handsOver({ playback: plan.playback ?? 'bench-player' });
  for (const [index, { units }] of (handed ? plan.prototypes : []).entries()) {
    const there = shown[index] ?? 0;
    if (there < units.length) return `add-unit:${index + 1}`;
    if (there > units.length) return `remove-unit:${index + 1}.${there}`;
  }
  const excerpts = page.all('.excerpt').length;
  const wished = plan.excerpts?.length ?? excerpts;
  if (excerpts < wished) return 'add-excerpt';
  if (excerpts > wished) return `remove-excerpt:${excerpts}`;
  const audiences = page.all('fieldset.audience').length;
  if (audiences < plan.audiences.length) return 'add-audience';
  if (audiences > plan.audiences.length) return `remove-audience:${audiences}`;
  return withOwnScales.includes(wanted) ? nextScale(page, plan.scales ?? []) : null;
}

const withOwnScales: readonly Plan['method']['id'][] = ['first-impressions', 'attribute-profile'];

/** Adds before it takes away, since one scale always stays. */
function nextScale(page: Page, scales: readonly ScaleInMind[]): string | null {
  const shown = scalesOn(page);
  const starters = scales.filter((scale) => typeof scale === 'string');
  const own = shown.filter((id) => !isStarter(id));
  const missing = starters.find((id) => !shown.includes(id));
  const add =
    missing !== undefined ? `add-scale:${missing}` : own.length < scales.length - starters.length ? 'add-scale' : null;
  const surplus = shown.findIndex((id) =>
    isStarter(id) ? !starters.includes(id) : own.indexOf(id) >= scales.length - starters.length,
  );
  const full = !page.find('button[value="add-scale"]');
  return surplus >= 0 && (add === null || full) ? `remove-scale:${surplus + 1}` : add;
}

const scalesOn = (page: Page): string[] =>
  page.all('fieldset.scale').map((one) => one.getAttribute('data-scale') ?? '');
const isStarter = (id: string): boolean => starterScales.some((scale) => scale.id === id);

/** Which scale of the plan in mind stands in each place of the page. */
function scalesInPlace(page: Page, scales: readonly ScaleInMind[]): { id: string; scale: ScaleInMind | undefined }[] {
  const own = scales.filter((scale) => typeof scale !== 'string');
  return scalesOn(page).map((id) => ({
    id,
    scale: isStarter(id) ? scales.find((scale) => scale === id) : own.shift(),
  }));
}

type Given = [name: string, value: string | number | undefined];

/** The form of the plan page as it is sent, filled in. */
export function filledIn(form: Form, page: Page, plan: PlanInMind): Record<string, string> {
  const fields: Record<string, string> = {
    ...form.fields,
    title: plan.title,
    question: plan.question,
    do: 'save',
  };
  plan.prototypes.forEach(({ name, units, price }, i) => {
    fields[`prototypes.${i}.name`] = name;
    if (price) {
      fields[`prototypes.${i}.priceClass.rank`] = String(price.rank);
      fields[`prototypes.${i}.priceClass.words`] = price.words;
    }
    units.forEach(({ serial, note }, j) => {
      fields[`prototypes.${i}.units.${j}.serial`] = serial;
      fields[`prototypes.${i}.units.${j}.note`] = note ?? '';
    });
  });
  plan.audiences.forEach(({ name, listeners }, i) => {
    fields[`audiences.${i}.name`] = name;
    fields[`audiences.${i}.listeners`] = String(listeners);
  });
  const given: Given[] = [
    ...ofMethod(page, plan),
    ['product', plan.product],
    ['pooling', plan.pooling],
    ['verdictDays', plan.verdictDays && 'range'],
    ['verdictDays.from', plan.verdictDays?.from],
    ['verdictDays.to', plan.verdictDays?.to],
    ['sessions.count', plan.sessions],
    ['sessions.minimumGapHours', plan.gapHours],
    ['sessions.maximumSpanDays', plan.spanDays],
    ['sessions.missed', plan.missed],
    ...conditions.map((condition): Given => [`checkIn.${condition}`, plan.checkIn?.[condition]]),
    ...(plan.exclusions ?? []).map((rule): Given => [`exclusions.${rule}`, 'yes']),
    ['handling', plan.handling === 'server' ? undefined : plan.handling],
    ['playback', plan.playback],
    ...(plan.excerpts ?? []).map((name, i): Given => [`excerpts.${i}.name`, name]),
    ...ofSound(plan),
    ['tips', plan.tips],
    ['controls.hiddenRepeats', plan.hiddenRepeats],
    ['controls.identicalPairs', plan.identicalPairs],
    ['controls.knownDifference.trials', plan.knownDifference?.trials],
    [
      'controls.knownDifference.prototype',
      plan.knownDifference &&
        optionOf(page, 'controls.knownDifference.prototype', plan.knownDifference.prototype, plan),
    ],
    ['controls.units', plan.unitPairs],
    ['risks.alpha', plan.alpha],
    ['risks.beta', plan.beta],
    ['risks.smallest.value', plan.smallest ?? usualSmallest(plan)],
    ['primary.first', plan.primary && optionOf(page, 'primary.first', plan.primary[0], plan)],
    ['primary.second', plan.primary && optionOf(page, 'primary.second', plan.primary[1], plan)],
    ['closingQuestion.asked', plan.closingQuestion && 'yes'],
    ...(plan.closingQuestion ?? []).map((words, i): Given => [`closingQuestion.labels.${i}.words`, words]),
  ];
  for (const [name, value] of given) if (value !== undefined) fields[name] = String(value);
  return fields;
}

/** What a preset starts with is its own affair; a preference that says nothing is after three in four. */
const usualSmallest = (plan: PlanInMind): number | undefined =>
  protocolOf(methodOf(plan)).smallest === 'share' ? 0.75 : undefined;

const ofSound = ({ sound, staleDays }: PlanInMind): Given[] => [
  ['sound.match.kind', sound?.match?.kind],
  ...(sound?.match?.kind === 'band'
    ? ([
        ['sound.match.low', sound.match.low],
        ['sound.match.high', sound.match.high],
      ] satisfies Given[])
    : []),
  ['sound.alignment', sound?.alignment],
  ['sound.minimumSeconds', sound?.minimumSeconds],
  ['sound.interruption', sound?.interruption],
  ['sound.wireless', sound?.wireless],
  ['levels.staleDays', staleDays],
];

function ofMethod(page: Page, plan: PlanInMind): Given[] {
  switch (methodOf(plan)) {
    case 'paired-preference':
      return [
        ['method.spec.turns', plan.turns],
        ['noPreference.rule', plan.noPreference],
        ['noPreference.offered', plan.noPreference && 'yes'],
        ['risks.sides', plan.sides],
      ];
    case 'first-impressions':
      return [
        ...ofScales(page, plan),
        ['firstImpression.windowSeconds', plan.windowSeconds],
        ['firstImpression.answerSeconds', plan.answerSeconds],
        ['firstImpression.reset.kind', plan.reset && (plan.reset.item === undefined ? 'silence' : 'neutral')],
        ['firstImpression.reset.seconds', plan.reset?.seconds],
        ['firstImpression.reset.item', plan.reset?.item],
      ];
    case 'attribute-profile':
      return ofScales(page, plan);
    case 'ranking':
      return [
        ['method.spec.size', plan.size],
        ['method.spec.rankings', plan.rankings],
        ['method.spec.predicted', plan.predicted ? 'yes' : undefined],
      ];
    case 'reference-and-anchors':
    case 'small-impairments':
      return [
        ['method.spec.trials', plan.trials],
        [
          'method.spec.reference',
          plan.openReference && optionOf(page, 'method.spec.reference', plan.openReference, plan),
        ],
        ...(plan.anchors ?? []).map((hertz): Given => [`anchors.${hertz}`, 'yes']),
      ];
    default:
      return [
        ['method.spec.trials', plan.trials],
        ['method.spec.attribute', plan.attribute],
        ['method.spec.reference', plan.reference],
        ['method.spec.showOther', plan.showOther ? 'yes' : undefined],
      ];
  }
}

function ofScales(page: Page, { scales = [], primaryScale }: PlanInMind): Given[] {
  const placed = scalesInPlace(page, scales);
  const nameOf = (scale: ScaleInMind | undefined) => (typeof scale === 'object' ? scale.name : scale);
  const primary = primaryScale ?? nameOf(scales[0]);
  return [
    ...placed.flatMap(({ scale }, i): Given[] =>
      typeof scale === 'object'
        ? Object.entries(scale).map(([name, value]) => [`method.spec.scales.${i}.${name}`, value])
        : [],
    ),
    ['primary.scale', placed.find(({ scale }) => nameOf(scale) === primary)?.id],
  ];
}

/** Options are named once the names are saved, and numbered before; they stand in the order of the plan. */
function optionOf(page: Page, select: string, name: string, plan: PlanInMind): string {
  const options = page.all(`select[name="${select}"] option`);
  const index = plan.prototypes.findIndex((prototype) => prototype.name === name);
  const found = options.find((option) => textOf(option) === name) ?? options[index];
  return found?.getAttribute('value') ?? '';
}
