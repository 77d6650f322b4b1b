import fc from 'fast-check';
import { expect, test } from 'vitest';
import { decidedBlind, isLeftOut } from '../../server/blinding/left-out';
import { outcomesOf } from '../../server/blinding/outcomes';
import { storyOf } from '../../server/blinding/story';
import { flowOf } from '../../server/review/flow';
import { chained, handLines } from '../blinding/hand-ledger';
import { anyAsked, playedAs } from './any-study';

test('the hand-written study, counted by hand', () => {
  expect(flowOf(storyOf(chained(handLines())))).toEqual({
    // Three planned, three joined, two sat; Mo finished, Li left.
    listeners: { planned: 3, joined: 3, seated: 2, finished: 1, analysed: 2 },
    sittings: { held: 2, finished: 1, cut: 1, open: 0, postponed: 0, marked: 0, outside: 0 },
    // Twice three; five answered and one spoilt and put again; Li's last was never answered.
    trials: {
      planned: 6,
      answered: 5,
      void: 1,
      again: 1,
      lost: 1,
      practice: 2,
      analysed: 5,
      leftOut: 0,
      partly: 0,
      late: 0,
      quarantined: 0,
    },
    voidReasons: { 'wrong-sample': 1 },
  });
});

test('before anybody came: all zero', () => {
  const flow = flowOf(storyOf(chained(handLines().slice(0, 2))));
  expect(flow.listeners).toEqual({ planned: 3, joined: 0, seated: 0, finished: 0, analysed: 0 });
  for (const part of [flow.trials, flow.sittings]) expect(new Set(Object.values(part))).toEqual(new Set([0]));
});

test('property: it adds up for any method, whatever went wrong', () => {
  fc.assert(
    fc.property(anyAsked, (asked) => {
      const { plan, wish, record, lines } = playedAs(asked);
      const story = storyOf(record.ledger);
      const { listeners, sittings, trials, voidReasons } = flowOf(story);
      const all = outcomesOf(story);
      const outcomes = all.filter((one) => !isLeftOut(one, plan, decidedBlind(story)));
      expect(trials.planned + trials.again).toBe(trials.answered + trials.void + trials.lost);
      expect(trials.analysed + trials.leftOut).toBe(trials.answered);
      expect(trials.answered).toBe(new Set(all.map(({ trial }) => trial)).size);
      expect(trials.analysed).toBe(new Set(outcomes.map(({ trial }) => trial)).size);
      expect(trials.late).toBe(new Set(outcomes.filter(({ late }) => late).map(({ trial }) => trial)).size);
      expect(listeners.analysed).toBe(new Set(outcomes.map(({ listener }) => listener)).size);
      expect(sittings.held).toBe(sittings.finished + sittings.cut + sittings.open);
      // Counted once more, straight from the lines.
      const counted = (kind: string, which: (body: Record<string, unknown>) => boolean = () => true) =>
        lines.filter(([, of, body]) => of === kind && which(body)).length;
      expect(trials.void).toBe(counted('trial-voided', ({ trial }) => !String(trial).endsWith('-0')));
      expect(trials.again).toBe(counted('trial-added'));
      expect(Object.values(voidReasons).reduce((sum, count) => sum + count, 0)).toBe(trials.void);
      expect(sittings).toMatchObject({
        held: counted('seated'),
        cut: counted('sitting-cut'),
        postponed: counted('postponed'),
        marked: counted('checked-in', ({ marked }) => marked === true),
        outside: counted('checked-in', ({ outside }) => outside === true),
      });
      expect(listeners.planned).toBe(plan.audiences.reduce((sum, audience) => sum + audience.listeners, 0));
      expect(listeners.joined).toBe(counted('joined'));
      expect(listeners.finished <= listeners.seated && listeners.seated <= listeners.joined).toBe(true);
      if (wish.leave === 0) expect([trials.lost, trials.void]).toEqual([0, trials.again]);
    }),
    { seed: 1, numRuns: 60 },
  );
});
