import type { Findings } from '../../shared/findings';
import type { AudienceFlow } from '../../shared/findings-flow';
import type { ExclusionRule, Plan } from '../../shared/plan';
import { mishapWords } from '../mishap-words';
import { exclusionRuleWords } from '../plan-words';
import { type FlowStep, flowPicture } from './flow-picture';
import { row, section } from './rating/section';
import type { RatedSection, RatedTable } from './view-models';

/** Who came and what was lost, audience by audience: the picture, and every loss by its cause. */
export function flowSections({ flowByAudience }: Pick<Findings, 'flowByAudience'>, plan: Plan): RatedSection[] {
  if (!flowByAudience) return [];
  const several = flowByAudience.length > 1;
  return [
    section({
      id: 'flow',
      heading: 'From the plan to the verdict',
      charts: flowByAudience.map((flow, i) => pictureOf(flow, several ? nameOf(flow, plan) : null, i === 0)),
    }),
    section({
      id: 'flow-causes',
      heading: several ? 'Audience by audience, every loss by its cause' : 'Every loss by its cause',
      tables: [causesTable(flowByAudience, plan)],
      note: 'What is missing is taken for missing: nothing is filled in. The verdict is about everybody who answered, whether or not they came every time, but for what stands here as left out or apart.',
    }),
  ];
}

const nameOf = ({ audience }: AudienceFlow, plan: Plan): string =>
  plan.audiences.find(({ id }) => id === audience)?.name ?? audience;

function pictureOf(flow: AudienceFlow, name: string | null, first: boolean) {
  const of = name === null ? '' : `, ${name}`;
  return {
    svg: flowPicture(`Listeners and trials from the plan to the verdict${of}`, [
      { heading: `Listeners${of}`, steps: listenerSteps(flow) },
      { heading: `Scored trials${of}`, steps: trialSteps(flow) },
    ]),
    // Once for all of them.
    caption: first
      ? 'The bar in a box shows how much of the largest is left. Counts of trials have neither practice nor what came too late.'
      : null,
  };
}

type Change = FlowStep['changes'][number];
const changes = (...all: (Change | false)[]): Change[] =>
  all.filter((one): one is Change => one !== false && one.count > 0);

function listenerSteps({ listeners, lost }: AudienceFlow): FlowStep[] {
  const { planned, joined, seated, finished, analysed, counting } = listeners;
  const { neverSat, unfinished, notAnalysed } = lost;
  const short = [
    ...(unfinished.left > 0 ? [`${unfinished.left} left one early`] : []),
    ...(unfinished.missed > 0 ? [`${unfinished.missed} missed one`] : []),
    ...(unfinished.open > 0 ? [`${unfinished.open} not done at closing`] : []),
  ];
  const end = 'In the verdict';
  return [
    {
      count: planned,
      label: 'Planned',
      of: [],
      changes: changes(
        { count: planned - joined, words: 'never came' },
        { count: joined - planned, words: 'beyond the plan', more: true },
      ),
    },
    {
      count: joined,
      label: 'Joined',
      of: [],
      changes: changes(
        { count: neverSat.putOff, words: 'put off at check-in, never sat' },
        { count: neverSat.other, words: 'joined and never sat' },
      ),
    },
    {
      count: seated,
      label: 'Took a seat',
      of: [`${finished} finished every sitting`, ...short],
      changes: changes(
        { count: notAnalysed.unanswered, words: 'left before the first answer' },
        { count: notAnalysed.leftOut, words: 'with every answer left out' },
      ),
    },
    {
      count: analysed,
      label: counting === analysed ? end : 'Analysed',
      of: [],
      changes: notCountingChanges(lost.notCounting, true),
    },
    ...(counting === analysed ? [] : [{ count: counting, label: end, of: [], changes: [] }]),
  ];
}

/** Why answers, or those who gave them, are analysed and count for no verdict. */
const notCountingChanges = (
  { controls, otherDays, screened, afterDecision }: AudienceFlow['notCounting'],
  people: boolean,
): Change[] => {
  return changes(
    { count: controls, words: people ? 'answered controls only' : 'controls' },
    { count: otherDays, words: people ? 'answered only on days that don’t count' : 'on days that don’t count' },
    { count: screened, words: people ? 'left out by screening' : 'of listeners left out by screening' },
    { count: afterDecision, words: people ? 'answered only after the decision' : 'after the decision' },
  );
};

function trialSteps({ trials, missing, voidReasons, leftOutReasons, notCounting }: AudienceFlow): FlowStep[] {
  const nobody = trials.byPlan - missing.notHeld - trials.planned;
  const reasons = Object.entries(voidReasons).map(([key, count]) => `${mishapWords(key).toLowerCase()} ${count}`);
  const end = 'In the verdict';
  const whole = trials.counting === trials.analysed;
  return [
    {
      count: trials.byPlan,
      label: 'By the plan',
      of: [],
      changes: changes(
        { count: nobody, words: 'of listeners who never sat' },
        { count: -nobody, words: 'of listeners beyond the plan', more: true },
        { count: missing.notHeld, words: 'in sittings missed' },
      ),
    },
    {
      count: trials.planned,
      label: 'In sittings held',
      of: [],
      changes: changes(
        { count: trials.void, words: `voided${reasons.length > 0 ? `: ${reasons.join(', ')}` : ''}` },
        { count: trials.again, words: 'put again', more: true },
        { count: missing.cut + missing.other, words: 'never answered: the sitting ended' },
        { count: missing.open, words: 'never answered: closed first' },
      ),
    },
    {
      count: trials.answered,
      label: 'Answered',
      of: [],
      changes: changes(
        ...Object.entries(leftOutReasons).map(([reason, count]) => ({
          count,
          words: `left out: ${leftOutWords(reason)}`,
        })),
      ),
    },
    {
      count: trials.analysed,
      label: whole ? end : 'Analysed',
      of: [],
      changes: notCountingChanges(notCounting, false),
    },
    ...(whole ? [] : [{ count: trials.counting, label: end, of: [], changes: [] }]),
  ];
}

const leftOutWords = (reason: string): string =>
  reason === 'blind' ? 'by code, before unsealing' : (exclusionRuleWords[reason as ExclusionRule]?.noun ?? reason);

type Counted = (flow: AudienceFlow) => number;
const before = { loss: '−', more: '+', of: 'of them:', apart: 'apart:' } as const;
/** A step always has a row; what was lost on the way to the next only where something was. */
type Line = [label: string, count: Counted, kind?: keyof typeof before];

/** From top to bottom as it went, a column an audience. */
function causesTable(flows: readonly AudienceFlow[], plan: Plan): RatedTable {
  const rows = (lines: Line[]) =>
    lines
      .map(([label, count, kind]) => ({ label, kind, counts: flows.map(count) }))
      .filter(({ kind, counts }) => kind === undefined || counts.some((one) => one > 0))
      .map(({ label, kind, counts }) =>
        row(kind === undefined ? label : `${before[kind]} ${label}`, [
          ...counts.map(String),
          ...(flows.length > 1 ? [String(counts.reduce((sum, one) => sum + one, 0))] : []),
        ]),
      );
  const keysOf = (of: (flow: AudienceFlow) => Record<string, number>): string[] => [
    ...new Set(flows.flatMap((flow) => Object.keys(of(flow)))),
  ];
  return {
    caption: 'Listeners, sittings and scored trials',
    of: 'Step, and what was lost after it',
    columns: [...flows.map((flow) => nameOf(flow, plan)), ...(flows.length > 1 ? ['All'] : [])],
    groups: [
      { heading: 'Listeners', rows: rows(listenerLines) },
      { heading: 'Sittings', rows: rows(sittingLines) },
      {
        heading: 'Scored trials',
        rows: rows([
          ['By the plan, of all listeners planned', ({ trials }) => trials.byPlan],
          ['in sittings missed', ({ missing }) => missing.notHeld, 'loss'],
          ['Planned for the sittings held', ({ trials }) => trials.planned],
          ...keysOf(({ voidReasons }) => voidReasons).map(
            (key): Line => [
              `voided: ${mishapWords(key).toLowerCase()}`,
              ({ voidReasons }) => voidReasons[key] ?? 0,
              'loss',
            ],
          ),
          ['put again', ({ trials }) => trials.again, 'more'],
          ['never answered: sitting cut short', ({ missing }) => missing.cut + missing.other, 'loss'],
          ['never answered: not done at closing', ({ missing }) => missing.open, 'loss'],
          ['Answered', ({ trials }) => trials.answered],
          ...keysOf(({ leftOutReasons }) => leftOutReasons).map(
            (key): Line => [`left out: ${leftOutWords(key)}`, ({ leftOutReasons }) => leftOutReasons[key] ?? 0, 'loss'],
          ),
          ['Analysed', ({ trials }) => trials.analysed],
          ['with a scale left out by rule', ({ trials }) => trials.partly, 'of'],
          ['answered late', ({ trials }) => trials.late, 'of'],
          ['controls', ({ notCounting }) => notCounting.controls, 'loss'],
          ['on days that the verdict doesn’t count', ({ notCounting }) => notCounting.otherDays, 'loss'],
          ['of listeners left out by screening', ({ notCounting }) => notCounting.screened, 'loss'],
          ['after the decision', ({ notCounting }) => notCounting.afterDecision, 'loss'],
          ['In the verdict', ({ trials }) => trials.counting],
          ['voided and not put again', ({ missing }) => missing.voidOnly, 'apart'],
          ['practice, never analysed', ({ trials }) => trials.practice, 'apart'],
          ['came too late, in none of the counts above', ({ trials }) => trials.quarantined, 'apart'],
        ]),
      },
    ],
  };
}

const listenerLines: Line[] = [
  ['Planned', ({ listeners }) => listeners.planned],
  ['Joined', ({ listeners }) => listeners.joined],
  ['put off at check-in, never sat', ({ lost }) => lost.neverSat.putOff, 'loss'],
  ['joined and never sat', ({ lost }) => lost.neverSat.other, 'loss'],
  ['Took a seat', ({ listeners }) => listeners.seated],
  ['finished every sitting', ({ listeners }) => listeners.finished, 'of'],
  ['left a sitting early', ({ lost }) => lost.unfinished.left, 'of'],
  ['not done at closing', ({ lost }) => lost.unfinished.open, 'of'],
  ['missed a sitting', ({ lost }) => lost.unfinished.missed, 'of'],
  ['left before the first answer', ({ lost }) => lost.notAnalysed.unanswered, 'loss'],
  ['every answer left out', ({ lost }) => lost.notAnalysed.leftOut, 'loss'],
  ['Analysed', ({ listeners }) => listeners.analysed],
  ['answered controls only', ({ lost }) => lost.notCounting.controls, 'loss'],
  ['answered only on days that the verdict doesn’t count', ({ lost }) => lost.notCounting.otherDays, 'loss'],
  ['left out by screening', ({ lost }) => lost.notCounting.screened, 'loss'],
  ['answered only after the decision', ({ lost }) => lost.notCounting.afterDecision, 'loss'],
  ['In the verdict', ({ listeners }) => listeners.counting],
];

const sittingLines: Line[] = [
  ['Planned, of those who took a seat', ({ sittings }) => sittings.planned],
  ['missed', ({ sittings }) => sittings.missed, 'loss'],
  ['Held', ({ sittings }) => sittings.held],
  ['cut short by the listener or the desk', ({ sittings }) => sittings.cut, 'loss'],
  ['not done at closing', ({ sittings }) => sittings.open, 'loss'],
  ['Finished', ({ sittings }) => sittings.finished],
  ['put off at check-in, before anything was heard', ({ sittings }) => sittings.postponed, 'apart'],
  ['marked at check-in by the plan’s rules', ({ sittings }) => sittings.marked, 'of'],
  ['samples heard elsewhere before', ({ sittings }) => sittings.outside, 'of'],
];
