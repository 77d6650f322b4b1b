import type { Findings } from '../../shared/findings';
import type { DoneItem, PlannedDone } from '../../shared/findings-done';
import type { ControlKind, Handling, Plan, Playback } from '../../shared/plan';
import { changeWords } from '../amendment-words';
import { chosenPercent } from '../number-words';
import {
  handlingWords,
  hoursWords,
  interruptionWords,
  matchingWords,
  playbackWords,
  tipRuleWords,
  wirelessWords,
} from '../plan-words';
import type { DoneRow } from './view-models';

/** Planned against done, in the words of the letter. Null for findings of before there was any of it. */
export function plannedDoneRows({ plannedDone }: Pick<Findings, 'plannedDone'>, plan: Plan): DoneRow[] | null {
  if (!plannedDone) return null;
  return plannedDone.map((one) => {
    const { label, planned, done } = wordsFor[one.item](one, plan);
    return {
      item: label,
      planned,
      done: one.outcome === 'not-recorded' && one.done === null ? 'Not recorded' : done,
      outcome: outcomeWords[one.outcome],
      kept: one.outcome === 'kept',
      why: whyOf(one),
    };
  });
}

export const outcomeWords: Record<PlannedDone['outcome'], string> = {
  kept: 'as planned',
  changed: 'otherwise',
  'not-recorded': 'can’t be told',
};

function whyOf({ amendments, reasons, outcome, item }: PlannedDone): string[] {
  return [
    ...(amendments.length === 0
      ? []
      : [`Amended: ${amendments.length === 1 ? 'amendment' : 'amendments'} ${amendments.join(', ')}`]),
    ...reasons,
    ...(outcome === 'changed' && amendments.length + reasons.length === 0 ? [whereTold[item]] : []),
  ].filter((words) => words !== '');
}

/** Where nobody gave a reason: where it is counted. */
const whereTold: Record<DoneItem, string> = {
  ...{
    listeners: 'Counted under “Who came, and what was lost”',
    sessions: '',
    'every-sitting': 'By cause under “Who came, and what was lost”',
  },
  ...{ gap: '', span: '', trials: 'By cause under “Who came, and what was lost”', practice: '', order: '' },
  ...{
    handling: '',
    units: 'Counted under “How it was done”',
    'unit-rework': '',
    levels: '',
    matched: 'Under “Sound and levels”',
  },
  ...{ playback: '', wireless: 'Under “Sound and levels”', interrupted: '', tips: '', 'check-in': '' },
  ...{ controls: '', looks: '', 'left-out': 'Under “What was left out”', late: 'Analysed by the rule of the plan' },
  ...{
    power: 'Too few listeners or trials to find the smallest worth finding that often',
    pooling: '',
    amended: '',
  },
};

interface Words {
  label: string;
  planned: string;
  done: string;
}

const audienceIn = (plan: Plan, id: string | null): string =>
  plan.audiences.length < 2 ? '' : `, ${plan.audiences.find((one) => one.id === id)?.name ?? 'all audiences together'}`;

const many = (count: number | string | null, one: string, several = `${one}s`): string =>
  `${count} ${count === 1 ? one : several}`;
const ofAll = ({ done, outOf }: PlannedDone): string => `${done} of ${outOf}`;
const days = (value: number | string | null): string => (value === 1 ? '1 day' : `${value} days`);
const hours = (value: number | string | null): string => (value === 0 ? 'none' : hoursWords(Number(value)));

const controlNames: Record<ControlKind, string> = {
  hiddenRepeats: 'repeats under new codes',
  identicalPairs: 'pairs of one sample with itself',
  knownDifference: 'a difference that everybody should tell',
  units: 'two units of one prototype',
};

const wordsFor: Record<DoneItem, (one: PlannedDone, plan: Plan) => Words> = {
  listeners: ({ of, planned, done }, plan) => ({
    label: `Listeners${audienceIn(plan, of)}`,
    planned: String(planned),
    done: `${done} took a seat`,
  }),
  sessions: ({ planned, done }) => ({ label: 'Sessions', planned: String(planned), done: `${done} held` }),
  'every-sitting': (one) => ({
    label: 'Sittings of each listener',
    planned: one.planned === 1 ? '1' : `${one.planned} each`,
    done: `all finished by ${ofAll(one)} who took a seat`,
  }),
  gap: ({ planned, done }) => ({
    label: 'Gap between two sittings',
    planned: planned === 0 ? 'none set' : `at least ${hours(planned)}`,
    done: `the shortest: ${done === 0 ? 'under 6 minutes' : hours(done)}`,
  }),
  span: ({ planned, done }) => ({
    label: 'From first sitting to last',
    planned: planned === null ? 'no end set' : `at most ${days(planned)}`,
    done: `the longest: ${done === 0 ? 'under 3 hours' : days(done)}`,
  }),
  trials: (one) => ({
    label: 'Scored trials',
    planned: `${many(one.planned, 'trial')} a sitting`,
    done: `answered: ${ofAll(one)} planned for the sittings held`,
  }),
  practice: (one) => ({ label: 'Practice', planned: 'begins each sitting', done: `answered: ${ofAll(one)}` }),
  order: ({ done, outOf }) => ({
    label: 'Codes and orders',
    planned: 'drawn from the seed committed to when the plan was locked',
    done: `${done === 'committed' ? 'the seed is that one' : 'the published seed is another one'}; ${outOf === 0 ? 'nothing put again' : `${many(outOf, 'trial')} drawn and put again`}`,
  }),
  handling: ({ planned, done }) => ({
    label: 'Handling',
    planned: handlingWords[planned as Handling].name,
    done: done === 'single-blind' ? 'became single blind' : 'no other is noted',
  }),
  units: (one) => ({ label: 'Units', planned: many(one.planned, 'unit'), done: `heard: ${ofAll(one)}` }),
  'unit-rework': ({ done }) => ({
    label: 'Work on units meanwhile',
    planned: 'none',
    done: done === 0 ? 'none noted' : `noted ${done === 1 ? 'once' : `${done} times`}`,
  }),
  levels: (one) => ({
    label: 'Levels of units',
    planned:
      one.planned === 'matched'
        ? 'measured, and within the tolerance'
        : 'measured; the trim of each file makes up for them',
    done: `measured: ${ofAll(one)}${one.reasons.length > 0 ? '; otherwise only by a signed deviation' : ''}`,
  }),
  matched: (one) => ({
    label: 'Files matched',
    planned: `by ${matchingWords[one.planned as 'loudness' | 'band']?.name.toLowerCase() ?? 'what the plan says'}, within the tolerance`,
    done: `excerpts within it: ${ofAll(one)}`,
  }),
  playback: ({ planned }) => ({
    label: 'What the programme was played by',
    planned: playbackWords[planned as Playback],
    done: 'Not recorded',
  }),
  wireless: (one) => ({
    label: 'Wireless in-ears',
    planned: wirelessWords[one.planned as 'refused' | 'allowed']?.name.toLowerCase() ?? 'nothing set',
    done: `sittings over a wireless link: ${ofAll(one)}`,
  }),
  interrupted: ({ planned, done }) => ({
    label: 'Interrupted sound',
    planned: interruptionWords[planned as 'mark' | 'void']?.name.toLowerCase() ?? 'nothing set',
    done: done === 0 ? 'never happened' : `so it was done in ${many(done, 'trial')}`,
  }),
  tips: ({ planned }) => ({ label: 'Ear tips', planned: tipRuleWords[planned as Plan['tips']], done: 'Not recorded' }),
  'check-in': (one) => ({
    label: 'Check-in',
    planned: 'by the rules of the plan, before each sitting',
    done: `marked by them: ${ofAll(one)} sittings`,
  }),
  controls: (one) => ({
    label: `Controls: ${controlNames[one.of as ControlKind] ?? one.of}`,
    planned: `${one.planned} a sitting`,
    done: `answered: ${ofAll(one)}`,
  }),
  looks: ({ planned, done }) => ({
    label: 'Looks on the way',
    planned:
      planned === 'fixed' ? 'none' : planned === 'sequential' ? 'after any answer, by Wald’s bounds' : 'at any time',
    done: done === 0 ? 'none' : done === 1 ? 'one' : String(done),
  }),
  'left-out': (one) => ({
    label: 'Trials left out',
    planned: one.planned === 0 ? 'no rule' : many(one.planned, 'rule'),
    done: `${ofAll(one)} answered, by rule or by code before unsealing`,
  }),
  late: (one) => ({
    label: 'Answers in time',
    planned: `within ${many(one.planned, 'second')} of the window`,
    done: `late: ${ofAll(one)} analysed`,
  }),
  power: ({ of, planned, done }, plan) => ({
    label: `Power${audienceIn(plan, of)}`,
    planned: `${chosenPercent(Number(planned))} wished for (1 − β), for the smallest worth finding`,
    done: `${chosenPercent(Math.round(Number(done) * 100) / 100)} with those who came`,
  }),
  pooling: ({ done }) => ({
    label: 'All audiences together',
    planned: 'a verdict, where they aren’t shown to differ',
    done: done === 'pooled' ? 'given' : 'not given',
  }),
  amended: ({ of, planned, done }, plan) => {
    const words = changeWords(plan, { path: of ?? '', from: planned, to: done });
    return { label: words.label, planned: words.from, done: words.to };
  },
};
