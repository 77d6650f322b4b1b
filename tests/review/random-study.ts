import { codesTell, type Form, gradedIn } from '../../protocols/form';
import type { GradesAnswer } from '../../protocols/grades';
import { methodOf } from '../../protocols/index';
import type { SentAnswer, SentGrades, TrialPast, Truth } from '../../protocols/protocol';
import type { Random } from '../../protocols/random';
import { type Draw, type DrawnTrial, drawNext, drawSitting } from '../../server/blinding/draw';
import { commitmentOf, planHash } from '../../server/blinding/key';
import type { AudienceId } from '../../shared/brands';
import { codesLast, type Plan } from '../../shared/plan';
import type { StudyRecord } from '../../shared/record';
import { seededRandom } from '../../stats/seeded-random';
import { type Line, recordOfLines } from '../blinding/hand-ledger';
import { RandomSound, type SoundWish } from './random-sound';

export interface Wish extends SoundWish {
  seed: number;
  truth?: Truth;
  /** What differs from it in an audience. */
  truthOf?: Record<string, Truth>;
  /** The same, by worth alone. */
  worth?: Record<string, number>;
  /** Chance that a trial is spoilt, that a listener leaves at a trial, that there are words. */
  spoilt?: number;
  leave?: number;
  words?: number;
  /** Chance that a listener stays away from a session, or is put off at check-in. */
  miss?: number;
  postponed?: number;
  /** Chance that a rating comes late, that a page is loaded anew meanwhile, that a rest was too short. */
  late?: number;
  reloaded?: number;
  shortRest?: number;
  /** Chance that a sitting is marked at check-in, and that samples were heard elsewhere and how often is declared. */
  marked?: number;
  outside?: number;
  /** Listeners beyond, or short of, those planned in each audience. */
  extra?: number;
  /** Chance that an answered trial, a sitting or a listener is left out by code; and that a trial is, afterwards. */
  excluded?: number;
  excludedAfterwards?: number;
  /** Chance that a trial that was never answered has an answer that came too late. */
  quarantined?: number;
}

/** A study played by the book: the draw is the real one, listeners are virtual, mishaps come by chance. */
export function randomStudy(plan: Plan, wish: Wish): { record: StudyRecord; lines: Line[] } {
  const random = seededRandom(`study ${wish.seed}`);
  const chance = (rate = 0) => random.uniform() < rate;
  const { protocol, form } = methodOf(plan);
  const seed = Buffer.alloc(32, wish.seed % 256);
  const draw: Draw = { seed, planVersion: 1, plan };
  const hash = planHash(plan);
  const commitment = commitmentOf(seed, hash);
  const truth: Truth = {
    gamma: 0.4,
    worth: wish.worth ?? {},
    noneRate: plan.noPreference.offered ? 0.2 : 0,
    listenerSd: 0.5,
    interactionSd: 0.5,
    residualSd: 1,
    ...wish.truth,
  };
  const lines: Line[] = [
    ['staff:Ada', 'plan-locked', { plan, planVersion: 1, planHash: hash, commitment, tool: '0.1.0' }],
  ];
  const sound = new RandomSound(plan, wish);
  lines.push(...sound.matched());
  const people = plan.audiences.flatMap(({ id: audience, listeners }) =>
    Array.from({ length: Math.max(0, listeners + (wish.extra ?? 0)) }, (_, i) => ({
      audience: audience as AudienceId,
      planned: listeners,
      id: `${audience}-${i + 1}`,
      truth: { ...truth, ...wish.truthOf?.[audience] },
      ears: protocol.listener({ ...truth, ...wish.truthOf?.[audience] }, plan, random),
      ordinal: 0,
      sittings: 0,
    })),
  );
  for (const { id, audience } of people) lines.push([`listener:${id}`, 'joined', { listener: id, audience }]);
  const places = new Map<string, number>();
  const key: unknown[] = [];
  for (let session = 1; session <= plan.sessions.count; session++) {
    lines.push(['staff:Cy', 'session-opened', { session: `SE${session}`, number: session }]);
    let spares = 0;
    for (const person of people) {
      if (chance(wish.miss)) continue;
      const { audience, id, ears } = person;
      const sitting = `${id}-${session}`;
      lines.push([`listener:${id}`, 'arrived', { listener: id, sitting }]);
      if (chance(wish.postponed)) {
        lines.push([`listener:${id}`, 'postponed', { sitting }]);
        continue;
      }
      const outside = chance(wish.outside);
      lines.push([`listener:${id}`, 'checked-in', { sitting, marked: chance(wish.marked), outside }]);
      if (outside) {
        const prototype = plan.prototypes[random.below(plan.prototypes.length)]?.id;
        lines.push([
          'staff:Cy',
          'exposure-declared',
          { listener: id, prototype, times: 1 + random.below(5), how: 'open' },
        ]);
      }
      if (person.ordinal === 0) {
        person.ordinal = (places.get(audience) ?? 0) + 1;
        places.set(audience, person.ordinal);
      }
      person.sittings++;
      const address = { audience, ordinal: person.ordinal, session, sitting: person.sittings };
      const planned = drawSitting(draw, address, spares).trials;
      if (person.ordinal > person.planned) spares += planned.flatMap(({ codes }) => codes).length;
      const blind = ({ design, codes }: DrawnTrial) => ({
        trial: `${sitting}-${design.ordinal}`,
        ordinal: design.ordinal,
        practice: design.practice,
        codes,
        shown: design.shown,
      });
      const at = { sitting, session: `SE${session}`, sessionNumber: session, listener: id, audience };
      lines.push([
        'staff:Cy',
        'seated',
        { ...at, ordinal: person.ordinal, number: person.sittings, seat: person.ordinal, trials: planned.map(blind) },
      ]);
      lines.push(...sound.seated(id, sitting));
      const trials = [...planned];
      const history: TrialPast[] = trials.map(({ design }) => ({ design, state: 'open' }));
      let left = false;
      for (let i = 0; i < trials.length && !left; i++) {
        left = chance(wish.leave);
        if (left) break;
        const { design, codes, excerpt } = trials[i] as DrawnTrial;
        const trial = { trial: `${sitting}-${design.ordinal}`, sitting };
        const answer = protocol.simulate(person.truth, ears, { design, form, sitting: person.sittings }, random);
        const silent = heardAndAnswered(answer, codes, design.practice, wish, random, plan);
        const [hearing, answered] = sound.trial(trial, codes, excerpt, silent);
        for (const [kind, body] of hearing) lines.push([`listener:${id}`, kind, { ...trial, ...body }]);
        const spoilt = chance(wish.spoilt);
        if (!spoilt || chance(0.5)) {
          lines.push([`listener:${id}`, 'answered', { ...trial, ...answered, practice: design.practice }]);
        }
        if (form.kind === 'pick-one' && form.words && chance(wish.words)) {
          const words = [{ code: codes[0], text: 'warm, “soft”' }];
          lines.push([`listener:${id}`, 'worded', { ...trial, words, practice: design.practice }]);
        }
        if (spoilt) {
          const reason = ['wrong-sample', 'disturbed', 'other'][random.below(3)];
          lines.push(['staff:Cy', 'trial-voided', { ...trial, step: 'asking', reason, text: '' }]);
        }
        (history[i] as TrialPast).state = spoilt ? 'void' : 'answered';
        if (i < trials.length - 1) continue;
        const next = drawNext(draw, address, history, spares);
        if (!next) continue;
        spares += codesLast(plan) ? 0 : next.codes.length;
        trials.push(next);
        history.push({ design: next.design, state: 'open' });
        lines.push(['system', 'trial-added', { sitting, ...blind(next), replaces: next.design.replaces }]);
      }
      lines.push(['system', left ? 'sitting-cut' : 'sitting-finished', { sitting }]);
      key.push({
        session,
        audience,
        ordinal: person.ordinal,
        sitting: person.sittings,
        trials: trials.map(({ design, units, codes, excerpt }) => ({
          ordinal: design.ordinal,
          practice: design.practice,
          replaces: design.replaces,
          prototypes: design.presentations,
          units,
          codes,
          ...(excerpt === undefined ? {} : { excerpt }),
          ...(design.control === undefined ? {} : { control: design.control }),
        })),
      });
    }
    lines.push(['staff:Cy', 'session-closed', { session: `SE${session}`, number: session }]);
  }
  lines.push(['staff:Ada', 'study-closed', {}]);
  // From a source of their own, so that studies without any stay as they were.
  const after = seededRandom(`left out ${wish.seed}`);
  const answered = lines.filter(([, kind, body]) => kind === 'answered' && body.practice !== true);
  const leaveOut = (rate = 0) => {
    for (const [actor, , { trial, sitting }] of answered) {
      if (after.uniform() >= rate) continue;
      const targets = { trial, sitting, listener: actor.slice('listener:'.length) };
      const what = (['trial', 'trial', 'sitting', 'listener'] as const)[after.below(4)] ?? 'trial';
      lines.push(['staff:Ada', 'excluded', { what, id: targets[what], reason: 'coughed', decided: 'blind' }]);
    }
  };
  leaveOut(wish.excluded);
  const open = new Map(
    lines
      .filter(([, kind]) => kind === 'seated')
      .flatMap(([, , { sitting, trials }]) => (trials as Body[]).map(({ trial }) => [trial, sitting] as const)),
  );
  for (const [, kind, { trial }] of lines) if (kind === 'answered' || kind === 'trial-voided') open.delete(trial);
  for (const [trial, sitting] of open) {
    if (after.uniform() >= (wish.quarantined ?? 0)) continue;
    const practice = String(trial).endsWith('-0');
    const body = {
      act: `late-${trial}`,
      kind: 'answer',
      trial,
      sitting,
      why: 'study-closed',
      answer: 'none',
      practice,
    };
    lines.push(['listener:late', 'quarantined', body]);
  }
  lines.push(['staff:Ada', 'unsealed', { seed: seed.toString('hex'), key, commitment, findings: 2 }]);
  leaveOut(wish.excludedAfterwards);
  return { record: recordOfLines(lines), lines };
}

type Body = Record<string, unknown>;

/** What a phone sends in a trial, up to its answer, and the answer. */
function heardAndAnswered(
  answer: unknown,
  codes: readonly string[],
  practice: boolean,
  wish: Wish,
  random: Random,
  plan: Plan,
): [hearing: [kind: string, body: Body][], answered: Body] {
  const chance = (rate = 0) => random.uniform() < rate;
  if (plan.firstImpression) {
    const { windowSeconds, answerSeconds } = plan.firstImpression;
    const limit = (windowSeconds + answerSeconds) * 1000;
    const wall = 1_000_000;
    const reloaded = !practice && chance(wish.reloaded);
    const { ratings } = answer as Extract<SentAnswer, { ratings: unknown }>;
    const sent = ratings.map(({ scale, value, touchedMs }) => {
      const touched = chance(wish.late) ? limit + 1 + random.below(20_000) : (touchedMs ?? 0);
      const since = practice || reloaded ? null : touched;
      return { scale, value, touched: { sincePlaying: since, wall: wall + touched } };
    });
    const last = Math.max(...sent.map(({ touched }) => touched.wall)) - wall + 500;
    const times = { sincePlaying: practice || reloaded ? null : last, wall: wall + last };
    const [code] = codes;
    const first = { presentation: 1, code };
    const hearing: [string, Body][] = practice
      ? []
      : [
          ['rested', first],
          ['fitted', { ...first, retries: random.below(2), plays: false }],
          [
            'started',
            { ...first, times: { sincePlaying: null, wall }, ...(chance(wish.shortRest) ? { shortRest: true } : {}) },
          ],
          ...(reloaded ? [['resumed', first] as [string, Body]] : []),
        ];
    return [hearing, { ratings: sent, times }];
  }
  const times = { sincePlaying: 1000 + random.below(9000), wall: 1 };
  const { form } = methodOf(plan);
  if (form.kind === 'grades') {
    const sent = gradesSent(answer as GradesAnswer);
    const places = gradedIn(form, codes.length);
    const hearing = codes.flatMap((code, place): [string, Body][] => {
      const at = { presentation: place + 1, code };
      const fitted: [string, Body] = ['fitted', { ...at, retries: 0 }];
      if (!places.includes(place)) return [fitted, ['heard', { ...at, times }]];
      const own = <T extends { place: number }>(all: readonly T[]) => all.filter((one) => one.place === place + 1);
      const kept: Body = { ...at, grades: own(sent.grades), ticks: own(sent.ticks), practice, times };
      // The only one that is graded is the answer itself, where it is the last.
      return places.length === 1 && place === codes.length - 1 ? [fitted] : [fitted, ['graded', kept]];
    });
    return [hearing, { ...sent, times }];
  }
  const hearing = codes.map((code, i): [string, Body] => ['fitted', { presentation: i + 1, code, retries: 0 }]);
  return [[...hearing, ['heard', { times }]], { answer: asSent(answer, codes, form), times }];
}

/** Places count from 1 on the wire. */
const gradesSent = ({ grades, ticks }: GradesAnswer): SentGrades => ({
  grades: grades.map((one) => ({ ...one, place: one.place + 1 })),
  ticks: ticks.map((one) => ({ ...one, place: one.place + 1 })),
});

/** An answer of any method that isn't graded, as a phone sends it. */
function asSent(answer: unknown, codes: readonly string[], form: Form): string {
  const { picked, yes, order } = answer as { picked?: number | null | number[]; yes?: boolean; order?: number[] };
  if (order) return order.map((place) => codes[place]).join('>');
  if (yes !== undefined) return yes ? 'yes' : 'no';
  if (Array.isArray(picked)) return picked.join('+');
  if (picked === null || picked === undefined) return 'none';
  return codesTell(form) ? String(picked) : (codes[picked - 1] ?? '');
}
