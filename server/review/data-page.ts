import { codesTell, type Form, type GradesForm, gradedIn } from '../../protocols/form';
import { methodOf } from '../../protocols/index';
import type { SentGrades } from '../../protocols/protocol';
import { codesLast, type ExclusionRule } from '../../shared/plan';
import type { Problem } from '../../shared/problem';
import type { LedgerEntry } from '../../shared/record';
import { type Exclusion, exclusionsOf } from '../blinding/exclusions';
import { isAbout, isLeftOut, type Judged, judgedOf, rulesAgainst } from '../blinding/left-out';
import type { Quarantined } from '../blinding/quarantined';
import { type SittingStory, type StudyStory, storyOf } from '../blinding/story';
import { string, type TrialStory } from '../blinding/trial-story';
import { mishapWords } from '../mishap-words';
import { minus } from '../number-words';
import { exclusionRuleWords } from '../plan-words';
import { utcMinute } from '../time-words';
import type { Values } from '../web/forms';
import { answerNaming, ordinalWord } from './answer-words';
import type { Data, DataListener, DataTrial } from './data-view';
import { labelOf } from './listener-label';
import { saidWords, valueOn } from './shown-scale';

/**
 * The answers of a study by code: who answered what, when, with which marks. It is made from the ledger without the key,
 * and shows nothing that tells which answers are right, nor which trials are controls.
 */

export interface DataAsked {
  stage: 'sealed' | 'unsealed' | 'decided';
  /** Whether whoever asks may leave something out. */
  may: boolean;
  /** The listener whose answers are unfolded, by place in the list from 1. */
  open: number | null;
  values: Values;
  problems: readonly Problem[];
}

export function dataOf(ledger: readonly LedgerEntry[], asked: DataAsked): Data {
  const story = storyOf(ledger);
  const exclusions = exclusionsOf(ledger);
  const values = new Map<string, Judged[]>();
  for (const one of judgedOf(story)) values.set(one.trial, [...(values.get(one.trial) ?? []), one]);
  const seen = new Map(ledger.map(({ seq, at }) => [seq, at]));
  const sat = [...new Set(story.sittings.map(({ listener }) => listener))].map((listener) => ({
    label: labelOf(story, listener),
    listener,
    own: story.sittings.filter((one) => one.listener === listener),
  }));
  const listeners = sat.sort((a, b) => byName.compare(a.label, b.label));
  const at = { story, exclusions, values, seen, asked };
  return {
    openedBy: [...new Map(opened(ledger).map(({ actor, at: when }) => [actor, when]))]
      .map(([actor, when]) => `${nameOf(actor)}, ${utcMinute(when)}`)
      .join('; '),
    queries: queriesOf(story, ledger),
    incidents: incidentsOf(story, ledger),
    apart: story.quarantined.filter(({ practice }) => !practice).map((one) => apartOf(one, story)),
    leftOut: exclusions.map((one) => ({
      what: whatOf(one, story),
      why: one.reason,
      decided: `${one.decided === 'blind' ? 'By code' : 'After unsealing'}: ${one.by}, ${utcMinute(one.at)}`,
      target: mayChange(one, asked) ? `${one.what}:${one.id}` : null,
    })),
    listeners: listeners.map((one, i) => listenerOf(one, i + 1, at)),
  };
}

const byName = new Intl.Collator('en', { numeric: true });
const nameOf = (actor: string): string => actor.replace(/^staff:/, '');
const opened = (ledger: readonly LedgerEntry[]) => ledger.filter(({ kind }) => kind === 'blind-review-opened');

const mayChange = ({ decided }: Exclusion, { stage, may }: DataAsked): boolean =>
  may && (stage === 'sealed' || (stage === 'unsealed' && decided === 'afterwards'));

interface At {
  story: StudyStory;
  exclusions: readonly Exclusion[];
  /** By trial. */
  values: ReadonlyMap<string, Judged[]>;
  /** When an entry was made, by its number. */
  seen: ReadonlyMap<number, string>;
  asked: DataAsked;
}

type Sat = { label: string; listener: string; own: readonly SittingStory[] };

function listenerOf({ label, listener, own }: Sat, number: number, at: At): DataListener {
  const { story, exclusions, values, asked } = at;
  const scored = own.flatMap(({ trials }) => trials.filter(({ practice }) => !practice));
  const answered = scored.filter(({ state }) => state === 'answered');
  const leftOut = answered.filter(({ id }) => isGone(values.get(id), at)).length;
  return {
    number,
    label,
    summary: [
      own.length === 1 ? '1 sitting' : `${own.length} sittings`,
      `${answered.length} of ${scored.filter(({ state }) => state !== 'void').length} answered`,
      ...(leftOut > 0 ? [`${leftOut} left out`] : []),
    ].join(' · '),
    open: asked.open === number,
    sittings: own.map((sitting) => ({
      heading: `Session ${sitting.sessionNumber}, ${utcMinute(at.seen.get(sitting.from) ?? '')}`,
      marks: [
        ...(sitting.ended === 'finished' ? [] : ['cut short']),
        ...(sitting.marked ? ['marked at check-in'] : []),
        ...(sitting.outside ? ['samples heard elsewhere'] : []),
      ].join(' · '),
      trials: sitting.trials.filter(({ practice }) => !practice).map((trial) => trialOf(trial, at)),
    })),
    form: !asked.may || asked.stage === 'decided' || answered.length === 0 ? null : formOf(listener, own, number, at),
  };

  function formOf(who: string, sittings: readonly SittingStory[], n: number, { asked: { open, values: typed } }: At) {
    const mine = open === n ? asked : { problems: [] };
    const error = (path: string) => mine.problems.find((one) => one.path === path)?.message ?? null;
    const target = (value: string, words: string) => ({
      value,
      label: words,
      chosen: open === n && typed.target === value,
    });
    const free = (what: Exclusion['what'], id: string) => !exclusions.some((one) => one.what === what && one.id === id);
    const several = story.plan.sessions.count > 1 || sittings.length > 1;
    const there = sittings.filter(({ trials }) => trials.some(isScored));
    return {
      targets: [
        ...there.flatMap(({ id, sessionNumber, trials }) => [
          ...trials
            .filter((trial) => isScored(trial) && free('trial', trial.id))
            .map((trial) =>
              target(`trial:${trial.id}`, `${several ? `Session ${sessionNumber}, ` : ''}trial ${numberOf(trial)}`),
            ),
          ...(several && free('sitting', id) ? [target(`sitting:${id}`, `All of session ${sessionNumber}`)] : []),
        ]),
        ...(free('listener', who) ? [target(`listener:${who}`, `Everything of ${label}`)] : []),
      ],
      targetId: `target-${n}`,
      targetError: error('target'),
      reason: {
        id: `reason-${n}`,
        name: 'reason',
        value: open === n ? (typed.reason ?? '') : '',
        error: error('reason'),
      },
    };
  }
}

const isScored = ({ practice, state }: TrialStory): boolean => !practice && state === 'answered';
const numberOf = ({ ordinal, replaces }: TrialStory): string =>
  replaces === null ? String(ordinal) : `${ordinal} (${replaces} again)`;

/** All values of an answer are left out, by whatever was decided. */
const isGone = (values: readonly Judged[] = [], { story, exclusions }: At): boolean =>
  values.length > 0 && values.every((one) => isLeftOut(one, story.plan, exclusions));

function trialOf(trial: TrialStory, at: At): DataTrial {
  const { story, exclusions, values } = at;
  const own = values.get(trial.id) ?? [];
  const rules = new Set(own.flatMap((one) => rulesAgainst(one, story.plan)));
  const decided = exclusions.filter((exclusion) => own.some((one) => isAbout(exclusion, one)));
  return {
    trial: numberOf(trial),
    ...answered(trial, story),
    at: trial.answeredAt === null ? '' : `${trial.answeredAt.slice(11, 19)}`,
    took: trial.answeredMs === null ? '' : `${(trial.answeredMs / 1000).toFixed(1)}\u00a0s`,
    marks: [
      ...(trial.state === 'void' ? [`voided: ${mishapWords(trial.voidReason ?? 'other')}`] : []),
      ...(trial.state === 'open' ? ['never answered'] : []),
      ...(own.some(({ late }) => late) ? ['late'] : []),
      ...trial.flags.map(flagWords),
      ...[...rules].map((rule) => `left out by rule: ${exclusionRuleWords[rule].noun}`),
      ...decided.map(({ reason }) => `left out: ${reason}`),
    ].join(' · '),
    leftOut: isGone(own, at),
  };
}

const otherFlags: Record<string, string> = { 'saw-key': 'saw the key before', revealed: 'a code was revealed before' };
const flagWords = (flag: string): string => exclusionRuleWords[flag as ExclusionRule]?.noun ?? otherFlags[flag] ?? flag;

/**
 * With codes of the day the third sample of an ABX bears its twin's, which would be the answer; and where equal codes are
 * equal samples, as in every method that names samples by place, all of them would tell.
 */
function shownCodes({ codes }: TrialStory, { plan }: StudyStory): string[] {
  const { form } = methodOf(plan);
  const last = codesLast(plan);
  if (last && codesTell(form)) return [codes.length === 1 ? '1 sample' : `${codes.length} samples`];
  const hidden = form.kind === 'pick-one' && last ? form.matched : null;
  // That one is the reference everybody was told.
  const reference = form.kind === 'grades' ? form.reference : null;
  return codes.map((code, place) => (place === hidden ? 'third' : place === reference ? 'reference' : spaced(code)));
}

/** More codes than these are said by their number where the answer has each of them. */
const fewCodes = 3;

/** What was heard and what was said of it; of several that were graded a line each. */
function answered(trial: TrialStory, story: StudyStory): Pick<DataTrial, 'codes' | 'answer' | 'each'> {
  const { form } = methodOf(story.plan);
  const codes = shownCodes(trial, story).join(' · ');
  if (trial.grades === null || form.kind !== 'grades' || gradedIn(form, trial.codes.length).length === 1) {
    return { codes, answer: answerOf(trial, story), each: [] };
  }
  const each = gradesByCode(trial.grades, trial.codes, form);
  const beside = form.reference === null ? '' : 'reference · ';
  return { codes: each.length > fewCodes ? `${beside}${each.length} samples` : codes, answer: '', each };
}

const spaced = (code: string): string => [...code].join('\u2009');

function answerOf(
  { answer, ratings, grades, codes }: Pick<TrialStory, 'answer' | 'ratings' | 'grades' | 'codes'>,
  { plan }: StudyStory,
): string {
  const { form } = methodOf(plan);
  if (grades !== null && form.kind === 'grades') return gradesByCode(grades, codes, form).join(' · ');
  if (ratings !== null) return ratingWords(ratings, form);
  if (answer === null) return '–';
  if (answer === 'none') return 'no preference';
  if (codesTell(form)) return answerNaming(form, answer, [], ordinalWord);
  return answer.split('>').map(spaced).join(' > ');
}

function ratingWords(ratings: readonly { scale: string; value: number }[], form: Form): string {
  if (form.kind !== 'scales') return '';
  return form.scales
    .flatMap(({ id, name, polarity }) => {
      const value = ratings.find(({ scale }) => scale === id)?.value;
      if (value === undefined) return [];
      return [`${name} ${polarity === 'bipolar' && value > 0 ? '+' : ''}${minus(String(value))}`];
    })
    .join(' · ');
}

/** What was said of each sample, by its code: grades as they are read, then the words that were ticked. */
function gradesByCode({ grades, ticks }: SentGrades, codes: readonly string[], form: GradesForm): string[] {
  const of = (place: number) => [
    ...form.scales.flatMap(({ id, name, from, per }) => {
      const value = grades.find((one) => one.place === place && one.scale === id)?.value;
      if (value === undefined) return [];
      const words = valueOn(value / per, from / per, (value / per).toFixed(per === 1 ? 0 : 1));
      return [form.scales.length === 1 ? words : `${saidWords(name)} ${words}`];
    }),
    ...ticks
      .filter((one) => one.place === place)
      .map(({ attributes }) => {
        const names = form.attributes.filter(({ id }) => attributes.includes(id)).map(({ name }) => name);
        return names.length === 0 ? 'no word' : names.join(', ');
      }),
  ];
  const all = gradedIn(form, codes.length).map((place) => ({ code: spaced(codes[place] ?? ''), said: of(place + 1) }));
  // Of one sample alone its code stands beside.
  return codes.length === 1
    ? all.map(({ said }) => said.join(' · '))
    : all.map(({ code, said }) => `${code}: ${said.join(', ')}`);
}

function queriesOf(story: StudyStory, ledger: readonly LedgerEntry[]): Data['queries'] {
  const scored = story.sittings.flatMap(({ trials }) => trials.filter(({ practice }) => !practice));
  const queries = [
    {
      count: scored.filter(({ state }) => state === 'open').length,
      label: 'Trials never answered',
      detail: 'Their sitting ended first. They are in no analysis.',
    },
    {
      count: story.sittings.filter(({ ended }) => ended !== 'finished').length,
      label: 'Sittings cut short',
      detail: 'What was answered before counts, unless it is left out.',
    },
    {
      count: ledger.filter(({ kind, body }) => kind === 'incident' && typeof body.sitting !== 'string').length,
      label: 'Incidents that belong to nobody',
      detail: 'Noted for the room. Whoever sat then may have been disturbed.',
    },
    {
      count: story.quarantined.filter(({ practice }) => !practice).length,
      label: 'Answers kept apart',
      detail: 'They came after closing, and count nowhere.',
    },
  ];
  return queries.filter(({ count }) => count > 0);
}

function incidentsOf(story: StudyStory, ledger: readonly LedgerEntry[]): Data['incidents'] {
  const found = ledger.filter(({ kind }) => kind === 'incident');
  return found.map(({ at, body }) => {
    const sitting = story.sittings.find(({ id }) => id === body.sitting);
    const words = mishapWords(string(body, 'category'));
    return {
      at: utcMinute(at),
      what: body.text ? `${words}: ${string(body, 'text')}` : words,
      who: sitting ? labelOf(story, sitting.listener) : 'the room',
    };
  });
}

function apartOf(one: Quarantined, story: StudyStory): Data['apart'][number] {
  const sitting = story.sittings.find(({ id }) => id === one.sitting);
  const trial = sitting?.trials.find(({ id }) => id === one.trial);
  return {
    who: `${sitting ? labelOf(story, sitting.listener) : '?'}, session ${sitting?.sessionNumber ?? '?'}, trial ${trial ? numberOf(trial) : '?'}`,
    at: utcMinute(one.at),
    answer: answerOf(
      {
        answer: one.answer,
        ratings: one.ratings as TrialStory['ratings'],
        grades: one.grades,
        codes: trial?.codes ?? [],
      },
      story,
    ),
    why: one.why === 'study-closed' ? 'the study was closed' : 'its session was closed',
  };
}

function whatOf({ what, id }: Exclusion, story: StudyStory): string {
  if (what === 'listener') return `${labelOf(story, id)}, everything`;
  const sitting = story.sittings.find((one) => one.id === id || one.trials.some((trial) => trial.id === id));
  if (!sitting) return id;
  const trial = sitting.trials.find((one) => one.id === id);
  return [
    labelOf(story, sitting.listener),
    `session ${sitting.sessionNumber}`,
    ...(trial ? [`trial ${numberOf(trial)}`] : []),
  ].join(', ');
}
