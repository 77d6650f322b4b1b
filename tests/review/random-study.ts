import { pairedPreference } from '../../protocols/paired-preference';
import type { TrialPast } from '../../protocols/protocol';
import { type Draw, type DrawnTrial, drawNext, drawSitting } from '../../server/blinding/draw';
import { commitmentOf, planHash } from '../../server/blinding/key';
import type { AudienceId, PrototypeId } from '../../shared/brands';
import type { Plan } from '../../shared/plan';
import type { StudyRecord } from '../../shared/record';
import { seededRandom } from '../../stats/seeded-random';
import { type Line, recordOfLines } from '../blinding/hand-ledger';

export interface Wish {
  seed: number;
  /** Chance that a trial is spoilt, that it is never answered, that a listener leaves at a trial, that there are words. */
  spoilt?: number;
  leave?: number;
  words?: number;
  /** Listeners beyond, or short of, those planned in each audience. */
  extra?: number;
  worth?: Record<string, number>;
}

/** A study played by the book: the draw is the real one, listeners are virtual, mishaps come by chance. */
export function randomStudy(plan: Plan, wish: Wish): { record: StudyRecord; lines: Line[] } {
  const random = seededRandom(`study ${wish.seed}`);
  const chance = (rate = 0) => random.uniform() < rate;
  const seed = Buffer.alloc(32, wish.seed % 256);
  const draw: Draw = { seed, planVersion: 1, plan };
  const hash = planHash(plan);
  const commitment = commitmentOf(seed, hash);
  const ids = plan.prototypes.map(({ id }) => id as PrototypeId);
  const truth = { gamma: 0.4, worth: wish.worth ?? {}, noneRate: plan.noPreference.offered ? 0.2 : 0 };
  const lines: Line[] = [
    ['staff:Ada', 'plan-locked', { plan, planVersion: 1, planHash: hash, commitment, tool: '0.1.0' }],
  ];
  const people = plan.audiences.flatMap(({ id: audience, listeners }) =>
    Array.from({ length: Math.max(0, listeners + (wish.extra ?? 0)) }, (_, i) => ({
      audience: audience as AudienceId,
      ordinal: i + 1,
      id: `${audience}-${i + 1}`,
      taste: pairedPreference.listener(truth, ids, random),
    })),
  );
  for (const { id, audience, ordinal } of people) {
    lines.push([`listener:${id}`, 'joined', { listener: id, audience, ordinal }]);
  }
  const key: unknown[] = [];
  for (let session = 1; session <= plan.sessions.count; session++) {
    lines.push(['staff:Cy', 'session-opened', { session: `SE${session}`, number: session }]);
    let spares = 0;
    for (const person of people) {
      const { audience, ordinal, id, taste } = person;
      const address = { audience, ordinal, session, sitting: session };
      const sitting = `${id}-${session}`;
      const planned = drawSitting(draw, address, spares).trials;
      if (ordinal > (plan.audiences.find((one) => one.id === audience)?.listeners ?? 0)) {
        spares += planned.flatMap(({ codes }) => codes).length;
      }
      const blind = ({ design, codes }: DrawnTrial) => ({
        trial: `${sitting}-${design.ordinal}`,
        ordinal: design.ordinal,
        practice: design.practice,
        codes,
        shown: design.shown,
      });
      const at = { sitting, session: `SE${session}`, sessionNumber: session, listener: id, audience, ordinal };
      lines.push([`listener:${id}`, 'arrived', { listener: id, sitting }]);
      lines.push(['staff:Cy', 'seated', { ...at, number: session, seat: ordinal, trials: planned.map(blind) }]);
      const trials = [...planned];
      const history: TrialPast[] = trials.map(({ design }) => ({ design, state: 'open' }));
      let left = false;
      for (let i = 0; i < trials.length && !left; i++) {
        left = chance(wish.leave);
        if (left) break;
        const { design, codes } = trials[i] as DrawnTrial;
        const trial = `${sitting}-${design.ordinal}`;
        const { picked } = pairedPreference.simulate(truth, taste, design, random);
        const times = { sincePlaying: 1000 + random.below(9000), wall: 1 };
        const answer = picked === null ? 'none' : codes[picked - 1];
        lines.push([`listener:${id}`, 'heard', { trial, sitting, times }]);
        const spoilt = chance(wish.spoilt);
        if (!spoilt || chance(0.5)) {
          lines.push([`listener:${id}`, 'answered', { trial, sitting, answer, practice: design.practice, times }]);
        }
        if (chance(wish.words)) {
          const words = [{ code: codes[0], text: 'warm, “soft”' }];
          lines.push([`listener:${id}`, 'worded', { trial, sitting, words, practice: design.practice }]);
        }
        if (spoilt) {
          const reason = ['wrong-sample', 'disturbed', 'other'][random.below(3)];
          lines.push(['staff:Cy', 'trial-voided', { trial, sitting, step: 'asking', reason, text: '' }]);
        }
        (history[i] as TrialPast).state = spoilt ? 'void' : 'answered';
        if (i < trials.length - 1) continue;
        const next = drawNext(draw, address, history, spares);
        if (!next) continue;
        spares += plan.handling === 'two-person' ? next.codes.length : 0;
        trials.push(next);
        history.push({ design: next.design, state: 'open' });
        lines.push(['system', 'trial-added', { sitting, ...blind(next), replaces: next.design.replaces }]);
      }
      lines.push(['system', left ? 'sitting-cut' : 'sitting-finished', { sitting }]);
      key.push({
        session,
        audience,
        ordinal,
        sitting: session,
        trials: trials.map(({ design, units, codes }) => ({
          ordinal: design.ordinal,
          practice: design.practice,
          replaces: design.replaces,
          prototypes: design.presentations,
          units,
          codes,
        })),
      });
    }
    lines.push(['staff:Cy', 'session-closed', { session: `SE${session}`, number: session }]);
  }
  lines.push(['staff:Ada', 'study-closed', {}]);
  lines.push(['staff:Ada', 'unsealed', { seed: seed.toString('hex'), key, commitment }]);
  return { record: recordOfLines(lines), lines };
}
