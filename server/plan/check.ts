import { protocolOf } from '../../protocols/index';
import { type Plan, planSchema } from '../../shared/plan';
import type { Problem } from '../../shared/problem';
import { goodCodes } from '../blinding/codes';
import { codesPerSitting } from '../blinding/draw';
import { type Labels, problemsOf } from '../web/problems';
import type { Draft } from './draft';

export const labels: Labels = {
  title: 'The name of the study',
  question: 'The question',
  'prototypes.*.name': 'The name of prototype *',
  'prototypes.*.units.*.serial': 'Prototype *: the serial of unit *',
  'prototypes.*.units.*.note': 'The note',
  'audiences.*.name': 'The name of audience *',
  'audiences.*.listeners': 'The listeners of audience *',
  'method.spec.turns': 'Turns for each listener',
  'sessions.count': 'The number of sessions',
  'risks.alpha': 'The risk of a false find (α)',
  'risks.beta': 'The risk of missing it (β)',
  'risks.smallest.value': 'The smallest share worth finding',
  'risks.sides': 'The direction',
  'timing.listen': 'The seconds of listening',
  'timing.swap': 'The seconds of swapping',
  'timing.fit': 'The seconds for fit and seal',
  'timing.answer': 'The seconds of answering',
  handling: 'Who loads and who hands over',
  playback: 'Where the programme comes from',
  tips: 'The rule for tips',
  'noPreference.rule': 'What the analysis does with “no preference”',
};

/** A number as people type it, with a point or a comma; anything else stays text and is refused by its field. */
function number(typed: string): number | string | undefined {
  const text = typed.trim().replace(',', '.');
  if (text === '') return undefined;
  return /^-?\d+(\.\d+)?$/.test(text) ? Number(text) : typed;
}

/** The plan that a draft would be, unchecked. */
export function candidate(draft: Draft): unknown {
  return {
    format: 'fair-hearing/plan',
    version: 1,
    title: draft.title,
    question: draft.question,
    aim: 'preference',
    method: { id: 'paired-preference', spec: { turns: number(draft.turns) } },
    prototypes: draft.prototypes.map(({ id, name, units }) => ({
      id,
      name,
      units: units.map((unit) => ({
        id: unit.id,
        serial: unit.serial,
        ...(unit.note.trim() ? { note: unit.note } : {}),
      })),
    })),
    excerpts: [],
    audiences: draft.audiences.map(({ id, name, listeners }) => ({ id, name, listeners: number(listeners) })),
    sessions: { count: number(draft.sessions), minimumGapHours: 0, maximumSpanDays: 0 },
    handling: draft.handling,
    playback: draft.playback,
    tips: draft.tips,
    risks: {
      alpha: number(draft.alpha),
      beta: number(draft.beta),
      smallest: { kind: 'share', value: number(draft.smallest) },
      sides: draft.sides,
    },
    primary: draft.primary,
    family: 'holm',
    looks: { kind: 'fixed' },
    exclusions: [],
    controls: {},
    noPreference: draft.noPreference,
    timing: {
      listen: number(draft.timing.listen),
      swap: number(draft.timing.swap),
      fit: number(draft.timing.fit),
      answer: number(draft.timing.answer),
    },
  };
}

export type Checked = { plan: Plan; problems: [] } | { plan: null; problems: Problem[] };

/** A plan that could be locked, or all that stands against it, each with the path of its field. */
export function checkPlan(raw: unknown): Checked {
  const parsed = planSchema.safeParse(raw);
  if (!parsed.success)
    return { plan: null, problems: [...problemsOf(parsed.error, labels, raw), ...specProblems(raw)] };
  const plan = parsed.data;
  const protocol = protocolOf(plan.method.id);
  const spec = protocol.spec.safeParse(plan.method.spec);
  if (!spec.success) return { plan: null, problems: specProblems(raw) };
  const problems = [
    ...repeated(plan),
    ...primaryProblems(plan),
    ...protocol.problems(spec.data, plan),
    ...tooManyCodes(plan),
  ];
  return problems.length === 0 ? { plan, problems: [] } : { plan: null, problems };
}

function specProblems(raw: unknown): Problem[] {
  const spec = (raw as { method?: { spec?: unknown } } | null)?.method?.spec;
  const parsed = protocolOf('paired-preference').spec.safeParse(spec);
  if (parsed.success) return [];
  return problemsOf(parsed.error, { turns: 'Turns for each listener' }, spec).map((problem) => ({
    ...problem,
    path: `method.spec.${problem.path}`,
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
  const ids = [
    ...plan.audiences.map(({ id }) => id),
    ...plan.prototypes.flatMap(({ id, units }) => [id, ...units.map((unit) => unit.id)]),
  ];
  const again = ids.find((id, index) => ids.indexOf(id) !== index);
  if (again)
    problems.push({ code: 'repeated', path: 'prototypes', message: `The id ${again} stands there twice.`, got: again });
  return problems;
}

function primaryProblems(plan: Plan): Problem[] {
  const ids = plan.prototypes.map(({ id }) => id);
  const { first, second } = plan.primary;
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

/** Codes kept back for walk-ins and for trials put again. */
const reserve = 75;

function tooManyCodes(plan: Plan): Problem[] {
  if (plan.handling !== 'two-person') return [];
  const listeners = plan.audiences.reduce((sum, audience) => sum + audience.listeners, 0);
  const needed = listeners * codesPerSitting(plan);
  const most = goodCodes.length - reserve;
  if (needed <= most) return [];
  return [
    {
      code: 'too-many-codes',
      path: 'handling',
      message: `Fresh carriers for every trial would need ${needed} codes in one session; three digits give ${most}. Take day codes, fewer turns, or split the panel over two studies.`,
      allowed: `at most ${most} codes`,
      got: String(needed),
    },
  ];
}
