import { overTime } from '../../protocols/over-time';
import type { Outcome } from '../../protocols/protocol';
import type { Random } from '../../protocols/random';
import { figureMeasure } from '../../protocols/sitting-figures';
import { normalVariate } from '../../protocols/virtual-listener';
import { type DrawnPanel, drawnPanel } from '../../server/dry-run/drawn-panel';
import type { Plan } from '../../shared/plan';

/**
 * Answers whose figure is known exactly: in the measure of the plan, every listener's true figure begins at `begin` and
 * moves by `moves` from the first planned sitting to the last, evenly in log2 of the sitting, as hearings go.
 */
export interface TimeTruth {
  begin: number;
  moves: number;
  /** Standard deviations over listeners: of their figures, of how they move, and of a listener's days. */
  listenerSd?: number;
  moveSd?: number;
  daySd?: number;
  /** With points: of one answer. */
  residualSd?: number;
}

/** Draws a panel once; each call plays it with other listeners. */
export function playsOverTime(plan: Plan, truth: TimeTruth, seed = 1): (random: Random) => Outcome[] {
  const panel: DrawnPanel = drawnPanel(plan, seed, 0);
  const { of } = figureMeasure(plan);
  const range = Math.log2(Math.max(2, plan.sessions.count));
  return (random) => {
    const people = panel.people.map(() => ({
      level: truth.begin + (truth.listenerSd ?? 0) * normalVariate(random),
      moves: truth.moves + (truth.moveSd ?? 0) * normalVariate(random),
      days: Array.from({ length: plan.sessions.count }, () => (truth.daySd ?? 0) * normalVariate(random)),
    }));
    return panel.trials.flatMap(({ person, sitting, asked, design }) => {
      const { level, moves, days } = people[person] as (typeof people)[number];
      const figure = level + (moves * Math.log2(sitting)) / range + (days[sitting - 1] ?? 0);
      const yes = (share: number): number => (random.uniform() < share ? 1 : 0);
      const base = { ...asked, late: false };
      const [first, second] = design.presentations;
      const firstAhead = first === plan.primary.first;
      if (of === 'correct') return [{ ...base, scale: null, value: yes(figure) }];
      if (of === 'apart') {
        return [{ ...base, scale: null, value: yes(first === second ? 0.5 - figure / 2 : 0.5 + figure / 2) }];
      }
      if (of === 'share') return [{ ...base, scale: null, value: (yes(figure) === 1) === firstAhead ? 1 : -1 }];
      const scale = plan.primary.scale ?? null;
      const half = (firstAhead ? figure : -figure) / 2;
      if (of === 'ticked') return [{ ...base, scale, place: 0, value: yes(0.5 + half) }];
      return [{ ...base, scale, value: Math.round(half + (truth.residualSd ?? 1) * normalVariate(random)) }];
    });
  };
}

/** What many panels come to: how often each word is said, and how often the interval of the change has the truth. */
export function wordsOver(plan: Plan, truth: TimeTruth, panels: number, random: Random) {
  const play = playsOverTime(plan, truth);
  const range = Math.log2(Math.max(2, plan.sessions.count));
  // The mean of the later sittings less the first.
  const later = Array.from({ length: plan.sessions.count - 1 }, (_, i) => (truth.moves * Math.log2(i + 2)) / range);
  const change = later.reduce((sum, one) => sum + one, 0) / later.length;
  const counts = { drifting: 0, stable: 0, unknown: 0, told: 0, covered: 0 };
  for (let panel = 0; panel < panels; panel++) {
    for (const { again } of overTime(play(random), plan)) {
      if (!again) continue;
      counts[again.word]++;
      const { estimate } = again.change;
      if (!estimate) continue;
      counts.told++;
      if (estimate.lower <= change + 1e-12 && estimate.upper >= change - 1e-12) counts.covered++;
    }
  }
  return counts;
}
